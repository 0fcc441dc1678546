"""Papers to print or keep: the row sheet, the day sheet, and their numbers as CSV."""

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import Response

from turnrow.foreman.desk import Desk
from turnrow.foreman.papers import row_paper, sheet_paper
from turnrow.foreman.sampling_papers import sampling_paper
from turnrow.foreman.season import season_book, years
from turnrow.records.day_sheet import day_sheet
from turnrow.records.press import Size, press
from turnrow.records.row_csv import days_csv, row_csv
from turnrow.records.row_sheet import row_sheet
from turnrow.records.sampling_sheet import sampling_sheet
from turnrow.records.season_book import season_sheet
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.render import page
from turnrow.web.rows import download, history_of
from turnrow.yard.entries import Line, SheetIssued

router = APIRouter(include_in_schema=False)
PDF = "application/pdf"
CSV = "text/csv; charset=utf-8"


@router.get("/papers")
def papers(request: Request) -> Response:
    """What can be printed or kept."""
    with keeper_of(request).desk() as desk:
        asked = asked_of(request, desk)
        rows = [(name, desk.choice(name).rule is not None) for name in reversed(desk.diary.rows)]
        sheets = [(line, what) for line, what in reversed(desk.diary.sheets())]
        lots = tuple(reversed(desk.lots.things("lot")))
        return page(asked, "papers.html", rows=rows, sheets=sheets[:60], lots=lots, years=years(desk))


@router.get("/papers/row.pdf")
def row_pdf(request: Request, row: str, size: str = "a4") -> Response:
    """The row sheet an inspector reads."""
    with keeper_of(request).desk() as desk:
        paper = row_paper(desk, known_row(desk, row), asked_of(request, desk).unit)
    return download(press(row_sheet(paper), sized(size)), f"row sheet {row}", "pdf", PDF)


@router.get("/papers/row.csv")
def readings_csv(request: Request, row: str) -> Response:
    """Every reading in force."""
    with keeper_of(request).desk() as desk:
        return download(row_csv(row_paper(desk, known_row(desk, row), "C")), f"readings {row}", "csv", CSV)


@router.get("/papers/days.csv")
def row_days_csv(request: Request, row: str) -> Response:
    """Coldest and hottest of each station and day."""
    with keeper_of(request).desk() as desk:
        return download(days_csv(row_paper(desk, known_row(desk, row), "C")), f"days {row}", "csv", CSV)


@router.get("/papers/season.pdf")
def season_pdf(request: Request, year: int, size: str = "a4") -> Response:
    """The season book of a calendar year."""
    with keeper_of(request).desk() as desk:
        if year not in years(desk):
            raise HTTPException(404, "Nothing happened in that year.")
        sheet = season_sheet(season_book(desk, year))
    return download(press(sheet, sized(size)), f"season book {year}", "pdf", PDF)


@router.get("/papers/sampling.pdf")
def sampling_pdf(request: Request, name: str, size: str = "a4") -> Response:
    """The sampling sheet of a lot, with its chain of custody."""
    with keeper_of(request).desk() as desk:
        if name not in desk.lots.things("lot"):
            raise HTTPException(404, "There is no such lot.")
        sheet = sampling_sheet(sampling_paper(desk, name))
    return download(press(sheet, sized(size)), f"sampling {name}", "pdf", PDF)


@router.get("/papers/day.pdf")
def day_pdf(request: Request, line: str = "", size: str = "a4") -> Response:
    """A day sheet as issued: today's, or the one on `line`."""
    with keeper_of(request).desk() as desk:
        paper = sheet_paper(desk, sheet_of(desk, request, line))
        what = paper.sheet.entry.what
    day = what.day.isoformat() if isinstance(what, SheetIssued) else ""
    return download(press(day_sheet(paper), sized(size)), f"day sheet {day}", "pdf", PDF)


def known_row(desk: Desk, name: str) -> str:
    """The row's name, or the page that says there is none of it."""
    return history_of(desk, name).row


def sheet_of(desk: Desk, request: Request, line: str) -> Line:
    """The sheet of today, or the one asked for by its line."""
    sheets = {str(one.number): one for one, _ in desk.diary.sheets()}
    sheet = sheets.get(line) if line else desk.today(keeper_of(request).clock()).sheet
    if sheet is None:
        raise HTTPException(404, "No such day sheet has been issued.")
    return sheet


def sized(text: str) -> Size:
    return "letter" if text == "letter" else "a4"
