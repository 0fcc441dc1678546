"""Lots: what there is, what each was made of, where it went, and both ways from any thing."""

from fastapi import APIRouter, HTTPException, Request
from markupsafe import Markup
from starlette.responses import Response

from turnrow.foreman.lot_page import lot_list, lot_page, not_closed
from turnrow.foreman.lots import recalled
from turnrow.lots.recall import Recall
from turnrow.records.verdict import VERDICTS
from turnrow.web.asking import asked_of, keeper_of, name_after
from turnrow.web.render import page
from turnrow.yard.wrongs import Refusal, Refused

router = APIRouter(include_in_schema=False)


def standing_words(verdict: str) -> str:
    """A verdict inside a sentence: "proven hot"."""
    word = VERDICTS[verdict][0]
    return word[:1].lower() + word[1:]


@router.get("/lots")
def lots_page(request: Request, recall: str = "") -> Response:
    """Every lot; with `recall`, both ways from a load, row, lot, ticket, customer or complaint."""
    now = keeper_of(request).clock()
    with keeper_of(request).desk() as desk:
        wrong: tuple[Refusal, ...] = ()
        ways: tuple[Recall, ...] = ()
        if recall.strip():
            try:
                ways = recalled(desk, recall[:200])
            except Refused as refused:
                wrong = tuple(refused.refusals)
        return page(
            asked_of(request, desk),
            "lots.html",
            422 if wrong else 200,
            lots=lot_list(desk, now),
            open=not_closed(desk),
            recall=recall[:200],
            ways=ways,
            wrong=wrong,
            tickets=desk.lots.tickets,
            standing_words=standing_words,
        )


@router.get("/lots/{name:path}")
def one_lot(request: Request, name: str) -> Response:
    """A lot: matter, standing, tests, release, family, buyers."""
    lot = name_after(request, "/lots/")
    with keeper_of(request).desk() as desk:
        try:
            found = lot_page(desk, lot, keeper_of(request).clock())
        except KeyError:
            raise HTTPException(404, "There is no such lot.") from None
        return page(
            asked_of(request, desk),
            "lot.html",
            lot=found,
            picture=Markup(found.picture),
            standing_words=standing_words,
        )
