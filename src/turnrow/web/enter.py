"""The entry forms: shown, read, written once, and shown again with every refusal when turned away."""

from collections.abc import Mapping, Sequence
from math import floor
from typing import Annotated

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.responses import RedirectResponse, Response

from turnrow.foreman.desk import Desk
from turnrow.foreman.quality import asked_of_lots
from turnrow.foreman.stock import sources
from turnrow.gate.goods import lots
from turnrow.journal.book import NO_BLOBS, Receipt
from turnrow.sales.book import customers, products
from turnrow.web.asking import Asked, asked_of, keeper_of, remember
from turnrow.web.asks import Form
from turnrow.web.forms import FORMS, PARTS, composed
from turnrow.web.given import DEVICE, Given, given_of, new_id, photo_fields, sound_id
from turnrow.web.links import row_url, shows
from turnrow.web.quality_forms import ASKED
from turnrow.web.render import page
from turnrow.yard import goods
from turnrow.yard.numbers import MICRO, plain
from turnrow.yard.wrongs import NotStored, Refusal, Refused

router = APIRouter(include_in_schema=False)
Sent = Annotated[Given, Depends(given_of)]


@router.get("/write")
def choose(request: Request) -> Response:
    """Every form there is, by name."""
    with keeper_of(request).desk() as desk:
        return page(
            asked_of(request, desk),
            "write.html",
            forms=list(FORMS.values()),
            laid=bool(desk.diary.yard.name),
        )


@router.get("/write/{slug}")
def blank(request: Request, slug: str) -> Response:
    """The form, with what the address already knows filled in."""
    form = form_of(slug)
    known = {name: value for name, value in request.query_params.items() if len(value) <= 400}
    with keeper_of(request).desk() as desk:
        if form == ASKED:
            known = {**asked_now(desk), **known}
        return _form(desk, asked_of(request, desk), form, known, ())


@router.post("/write/{slug}")
def keep(request: Request, slug: str, given: Sent) -> Response:
    """Write the entry, once however often it is sent; back to where it shows."""
    form = form_of(slug)
    with keeper_of(request).desk() as desk:
        try:
            if given.wrong:
                raise Refused(given.wrong)
            named, blobs = photo_fields(given) if form.has_photo else ({}, NO_BLOBS)
            fields = {**composed(form, from_sources(desk, form, given.fields)), **named}
            receipt = write(request, desk, form.kind, fields, given, blobs)
        except NotStored:
            raise
        except Refused as wrong:
            return _form(desk, asked_of(request, desk), form, given.fields, wrong.refusals)
        numbers = [line.number for line in receipt.lines] or list(receipt.known)
        to = shows(desk.diary.line(numbers[0]).entry.what) if numbers else ""
    return kept(receipt, given, to)


def from_sources(desk: Desk, form: Form, given: Mapping[str, str]) -> Mapping[str, str]:
    """The fields with what a chosen load says of itself: its material, and all that is left where no amount
    was typed."""
    if not any(field.shape == "parts" for field in form.fields):
        return given
    known, filled = {one.key: one for one in sources(desk)}, dict(given)
    for place in range(1, PARTS + 1):
        one = known.get(given.get(f"source_{place}", ""))
        if one is None:
            continue
        if not filled.get(f"material_{place}", "").strip():
            filled[f"material_{place}"] = one.material
        if not filled.get(f"part_{place}", "").strip() and one.tonnes is not None:
            filled |= {f"part_{place}": plain(floor(one.tonnes * MICRO)), f"part_{place}_unit": "t"}
    return filled


def form_of(slug: str) -> Form:
    if slug not in FORMS:
        raise HTTPException(404, "There is no such form.")
    return FORMS[slug]


def write(
    request: Request,
    desk: Desk,
    kind: str,
    fields: Mapping[str, str],
    given: Given,
    blobs: Mapping[str, bytes] = NO_BLOBS,
) -> Receipt:
    """One call to the desk with what a form sent; sent twice it is written once."""
    return desk.write(
        kind,
        {**fields, **happened(given)},
        now=keeper_of(request).clock(),
        who=given.get("who"),
        device=DEVICE,
        id=sound_id(given.id),
        blobs=blobs,
    )


def happened(given: Given) -> dict[str, str]:
    """When it happened, if not now."""
    when = given.get("happened")
    return {"happened": when} if when else {}


def kept(receipt: Receipt, given: Given, to: str = "") -> Response:
    """See Other: the page on which the new lines show, which says their numbers once."""
    numbers = [line.number for line in receipt.lines] or list(receipt.known)
    row = given.get("row")
    target = to or (row_url(row) if row else "/lines")
    joint = "&" if "?" in target else "?"
    answer = RedirectResponse(f"{target}{joint}kept={','.join(map(str, numbers[:50]))}", 303)
    remember(answer, "who", given.get("who"))
    return answer


def beside(refusals: Sequence[Refusal], names: Sequence[str]) -> dict[str, list[Refusal]]:
    """Refusals by the field they speak of, where it can be told."""
    found: dict[str, list[Refusal]] = {}
    for one in refusals:
        words = one.where.replace(",", " ").split()
        name = next((name for name in names if name in words), "")
        if name:
            found.setdefault(name, []).append(one)
    return found


def _form(
    desk: Desk, asked: Asked, form: Form, known: Mapping[str, str], wrong: Sequence[Refusal]
) -> Response:
    names = [*(field.name for field in form.fields), "who", "happened"]
    return page(
        asked,
        "form.html",
        422 if wrong else 200,
        form=form,
        known=known,
        wrong=wrong,
        beside=beside(wrong, names),
        rows=open_rows(desk),
        things=things(desk) if any(field.known for field in form.fields) else {},
        parts=range(1, PARTS + 1),
        sources=sources(desk) if any(field.shape == "parts" for field in form.fields) else (),
        id=known.get("id") or new_id(),
        line=_line(desk, form, known),
    )


def open_rows(desk: Desk) -> list[str]:
    """Rows that were not pushed into another, newest first."""
    return [name for name in reversed(desk.diary.rows) if not desk.diary.history(name).gone]


def things(desk: Desk) -> dict[str, list[str]]:
    """Names of the diary's goods to choose among, newest first."""
    diary = desk.diary
    named = {
        "lots": [lot for _, lot in lots(diary)],
        "customers": [what.customer for _, what in customers(diary).values() if not what.ended],
        "products": list(products(diary)),
        "orders": [what.order for _, what in diary.all(goods.Ordered)],
        "tickets": [what.ticket for _, what in diary.all(goods.LoadOut)],
        "samples": [what.sample for _, what in diary.all(goods.Sampled)],
    }
    return {kind: list(dict.fromkeys(reversed(names))) for kind, names in named.items()}


def asked_now(desk: Desk) -> dict[str, str]:
    """What the yard asks of its lots, as the form's own fields: a new line takes the place of the last."""
    _, wanted = asked_of_lots(desk.diary)
    classes = {f"maturity.{scheme}": word for scheme, word in wanted.maturity.items()}
    return {"limits": ", ".join(wanted.limits), "plan": wanted.plan, "edge": wanted.edge, **classes}


def _line(desk: Desk, form: Form, known: Mapping[str, str]) -> object:
    """The line about to be struck, to be read once more."""
    number = known.get("line", "")
    if form.slug != "strike" or not number.isascii() or not number.isdecimal() or len(number) > 9:
        return None
    return desk.diary.line(int(number)) if 1 <= int(number) <= desk.diary.head else None
