"""The diary's pages: every line in the order written, and one line with all that is known of it."""

from collections.abc import Iterable

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import Response

from turnrow.foreman.desk import Desk
from turnrow.gate.photograph import PICTURES, photograph
from turnrow.web import saying
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.links import spans_of
from turnrow.web.render import page
from turnrow.yard.entries import JobDone, Line, Note, Struck, row_of

router = APIRouter(include_in_schema=False)
SHOWN = 100  # lines on one page


@router.get("/lines")
def lines(request: Request, before: str = "", row: str = "", only: str = "") -> Response:
    """Lines newest first: all, a row's, or those a fact rests on."""
    with keeper_of(request).desk() as desk:
        wanted = list(_chosen(desk, row, only))
        end = int(before) if before.isdecimal() and len(before) < 10 else desk.diary.head + 1
        wanted = [number for number in wanted if number < end]
        shown = [desk.book.line(number) for number in wanted[-SHOWN:]][::-1]
        older = shown[-1].number if shown and len(wanted) > SHOWN else 0
        return page(
            asked_of(request, desk),
            "lines.html",
            lines=shown,
            older=older,
            row=row,
            only=only,
            is_struck=desk.diary.is_struck,
        )


def _chosen(desk: Desk, row: str, only: str) -> Iterable[int]:
    """Numbers of the lines asked for, oldest first."""
    head = desk.diary.head
    if row and row not in desk.diary.rows:
        raise HTTPException(404, f"The diary speaks of no row {row!r}.")
    numbers: Iterable[int] = range(1, head + 1)
    if row:
        numbers = [line.number for line in desk.diary.history(row).lines]
    if not only:
        return numbers
    try:
        spans = spans_of(only)
    except ValueError as wrong:
        raise HTTPException(404, f"{wrong}.") from wrong
    return [number for number in numbers if any(first <= number <= last for first, last in spans)]


@router.get("/lines/{number}")
def line(request: Request, number: str) -> Response:
    """One line: who, when, with what, what was typed, its seal, and what struck it."""
    with keeper_of(request).desk() as desk:
        found = find(desk, number)
        return page(
            asked_of(request, desk),
            "line.html",
            line=found,
            rows=row_of(found.entry.what),
            typed=saying.typed(found),
            struck_by=struck_by(desk, found.number),
            strikes=found.entry.what.line if isinstance(found.entry.what, Struck) else 0,
            made=_made(desk, found),
            photo=photo_of(found),
        )


@router.get("/lines/{number}/photo")
def photo(request: Request, number: str) -> Response:
    """The picture of a note, of the kind its first bytes show; also an old one goes out without its place."""
    with keeper_of(request).desk() as desk:
        found = find(desk, number)
        if not photo_of(found) or not isinstance(found.entry.what, Note):
            raise HTTPException(404, f"Line {found.number} has no photograph.")
        shown = photograph(desk.book.blob(found.entry.what.photo), f"line {found.number}, photo")
    headers = {
        "Content-Security-Policy": "default-src 'none'; sandbox",
        "Cache-Control": "private, max-age=86400",
    }
    return Response(shown.data, media_type=shown.kind, headers=headers)


def find(desk: Desk, number: str) -> Line:
    """The line asked for, or the page that says there is none."""
    if (
        not number.isascii()
        or not number.isdecimal()
        or len(number) > 9
        or not 1 <= int(number) <= desk.diary.head
    ):
        raise HTTPException(404, f"The diary has no line {number[:12]}; it stands at line {desk.diary.head}.")
    return desk.book.line(int(number))


def struck_by(desk: Desk, number: int) -> Line | None:
    """The line that withdraws this one, if any."""
    if not desk.diary.is_struck(number):
        return None
    for later in desk.book.lines(after=number):
        if isinstance(later.entry.what, Struck) and later.entry.what.line == number:
            return later
    return None


def photo_of(line: Line) -> str:
    """The media type of the line's picture; empty without one that may be shown."""
    what = line.entry.what
    return what.photo_kind if isinstance(what, Note) and what.photo and what.photo_kind in PICTURES else ""


def _made(desk: Desk, line: Line) -> list[int]:
    """Lines written together with a ticked job."""
    what = line.entry.what
    if not isinstance(what, JobDone) or not what.entries:
        return []
    first = max(1, line.number - 20)
    near = (one for one in desk.book.lines(after=first - 1) if one.number <= line.number + 20)
    return [one.number for one in near if one.entry.id in what.entries]
