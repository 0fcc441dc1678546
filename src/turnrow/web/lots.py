"""Lots: what there is, what each was made of, where it went, and both ways from any thing."""

import re
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Request
from markupsafe import Markup
from starlette.responses import Response

from turnrow.foreman.desk import Desk
from turnrow.foreman.inspector import answers, by_question
from turnrow.foreman.lot_page import lot_list, lot_page, not_closed, taken_as_known
from turnrow.foreman.lot_papers import gives, labelled, lot_paper
from turnrow.foreman.lots import proof_beside, recalled
from turnrow.foreman.quality import lot_quality, release_fields
from turnrow.lots.recall import Recall
from turnrow.quality.maturity import in_schemes
from turnrow.records.label import label_sheet
from turnrow.records.lot_papers import LotPaper, lot_sheet, story_sheet
from turnrow.records.press import press
from turnrow.records.verdict import VERDICTS, beside_words
from turnrow.web.asking import asked_of, keeper_of, name_after
from turnrow.web.papers import PDF, sized
from turnrow.web.render import bare, page
from turnrow.web.rows import download
from turnrow.web.rows import sized as sized_picture
from turnrow.yard.temperature import Unit
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
            assumed=taken_as_known(desk),
            recall=recall[:200],
            ways=ways,
            besides={way.asked: beside_words(proof_beside(desk, way)) for way in ways},
            wrong=wrong,
            tickets=desk.lots.tickets,
            failed={one[0]: one for one in desk.stands(now).failed},
            doubts={one.lot: one for one in desk.stands(now).unproven},
            standing_words=standing_words,
        )


@router.get("/lots/{name:path}")
def one_lot(request: Request, name: str) -> Response:
    """A lot: matter, standing, tests, release, family, buyers."""
    lot, now = name_after(request, "/lots/"), keeper_of(request).clock()
    with keeper_of(request).desk() as desk:
        try:
            found = lot_page(desk, lot, now)
            quality = lot_quality(desk, lot, now)
        except KeyError:
            raise HTTPException(404, "There is no such lot.") from None
        return page(
            asked_of(request, desk),
            "lot.html",
            lot=found,
            picture=own_size(found.picture),
            standing_words=standing_words,
            quality=quality,
            in_schemes=in_schemes,
            gives=gives(quality),
            failed=[one for one in desk.stands(now).failed if one[0] == lot],
            doubts=[one for one in desk.stands(now).unproven if one.lot == lot],
            answers=by_question(answers(desk, lot, (one.line for one in quality.figures.counted))),
            to_release=release_fields(quality, "") if quality.release.can_be != "not at all" else None,
        )


@router.get("/story/{name:path}")
def story(request: Request, name: str) -> Response:
    """A lot's public story: nothing on it is private, and it leads nowhere else."""
    with keeper_of(request).desk() as desk:
        sheet = story_sheet(_paper(request, desk, name_after(request, "/story/")))
    pictures = [own_size(part.picture) for part in sheet.parts]
    return bare("story.html", 200, sheet=sheet, pictures=pictures)


@router.get("/papers/lot.pdf")
def lot_pdf(request: Request, name: str, size: str = "a4") -> Response:
    """The lot paper an inspector reads."""
    with keeper_of(request).desk() as desk:
        sheet = lot_sheet(_paper(request, desk, name))
    return download(press(sheet, sized(size)), f"lot {name}", "pdf", PDF)


@router.get("/papers/story.pdf")
def story_pdf(request: Request, name: str, size: str = "a4") -> Response:
    """The public story, on paper."""
    with keeper_of(request).desk() as desk:
        sheet = story_sheet(_paper(request, desk, name))
    return download(press(sheet, sized(size)), f"story of lot {name}", "pdf", PDF)


@router.get("/papers/label.pdf")
def label_pdf(request: Request, name: str, product: str = "", size: str = "a4") -> Response:
    """Eight labels; their code leads to the story on this server."""
    with keeper_of(request).desk() as desk:
        paper = _paper(request, desk, name)
        product, bag = labelled(desk, name, product[:40])
    address = f"{str(request.base_url).rstrip('/')}/story/{quote(name)}"
    return download(
        press(label_sheet(paper, product[:40], address, bag), sized(size)), f"label {name}", "pdf", PDF
    )


def own_size(svg: str) -> Markup:
    """The picture as wide as it was drawn; empty for none."""
    found = re.search(r'viewBox="0 0 ([0-9.]+) ', svg)
    return sized_picture(svg, round(float(found[1]))) if found else Markup("")


def _paper(request: Request, desk: Desk, lot: str) -> LotPaper:
    unit: Unit = "F" if request.cookies.get("unit") == "F" else "C"
    try:
        return lot_paper(desk, lot, unit)
    except KeyError:
        raise HTTPException(404, "There is no such lot.") from None
