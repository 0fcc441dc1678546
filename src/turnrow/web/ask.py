"""Ask the heap: why a heap is hot, why it cools, what it wants, by one of the yard's own rows."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from turnrow.foreman.outlooks import RowOutlook
from turnrow.records.held_picture import held_picture, held_words
from turnrow.records.outlook_words import CARE, Reader, over_now, part_rows, what_if_words
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.render import page
from turnrow.web.rows import sized
from turnrow.web.works import Waiting, works_of

router = APIRouter(include_in_schema=False)
WIDE, NARROW = 620, 284  # px


@router.get("/ask")
def ask(request: Request, row: str = "") -> Response:
    """The process in plain words, with what the model of one row says holds it back just now."""
    works = works_of(request)
    with keeper_of(request).desk() as desk:
        asked, now = asked_of(request, desk), keeper_of(request).clock()
        there = [name for name in desk.diary.rows if works and works.there(desk, name, now)]
        chosen = row if row in desk.diary.rows else next(iter(there), "")
        found = works.row(desk, chosen, now) if works and chosen else None
        reader = Reader(desk.zone, asked.unit)
    made = found if isinstance(found, RowOutlook) else None
    held = made.held if made else None
    return page(
        asked,
        "ask.html",
        row=chosen,
        rows=there,
        made=made,
        waiting=found if isinstance(found, Waiting) else None,
        held=held,
        parts=part_rows(held) if held else [],
        said=held_words(held, chosen, reader) if held else (),
        wide=sized(held_picture(held, WIDE), WIDE) if held else "",
        narrow=sized(held_picture(held, NARROW), NARROW) if held else "",
        changes=[(one.name, what_if_words(one, reader, over_now(made.outlook))) for one in made.usual[:1]]
        if made
        else [],
        care=CARE,
    )
