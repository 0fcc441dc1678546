"""Papers are PDF/A-2b (ISO 19005-2), the same bytes each time, and nothing runs off a page."""

import io
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import msgspec
import pikepdf
import pytest
from PIL import Image

from turnrow.records.day_sheet import DaySheet, day_sheet
from turnrow.records.press import Size, pages, press
from turnrow.records.row_paper import DayPaper, HeadSeal
from turnrow.records.row_sheet import RowSheet, row_sheet
from turnrow.sanitation.judge import judge
from turnrow.sanitation.record import Record
from turnrow.sanitation.standing import RowStanding
from turnrow.yard import entries
from turnrow.yard.entries import Advice

from .conftest import WINDROW, Pages, build, ordinary, paper_of

MM = 72 / 25.4
LONG = "RowWithAnExceedinglyLongNameThatHasNoSpacesAtAllInIt"


def short_row(invented: bool = True, name: str = "Larkhill yard") -> RowSheet:
    book = Pages(invented=invented, name=name)
    ordinary(days=6, stations=3, pages=book)
    return row_sheet(paper_of(book, "R7"))


def big_row() -> RowSheet:
    book = Pages(name="The exceedingly long named composting yard of Upper Larkhill and all of the Vale")
    ordinary(days=120, stations=30, row=LONG, pages=book)
    book.write(121, entries.Note(row=LONG, text="W" * 400))
    return row_sheet(paper_of(book, LONG, rule=msgspec.structs.replace(WINDROW, known="MEMORY")))


def empty_row() -> RowSheet:
    book = Pages()
    build(book, "R1", 3)
    stood = RowStanding("R1", judge(WINDROW, Record.of(book.history("R1"))), None, ())
    return row_sheet(paper_of(book, "R1", standing=stood))


def issued(advice: tuple[Advice, ...]) -> DaySheet:
    book = Pages()
    number = book.write(
        12, entries.SheetIssued(day=date(2026, 5, 14), advice=advice, upto=11, edition="0123456789ab")
    )
    line = book.lines[number - 1]
    return day_sheet(DayPaper(book.diary().yard, line, HeadSeal(number, "3f9c" * 16, line.written)))


def jobs(count: int) -> tuple[Advice, ...]:
    return tuple(
        Advice(
            key=f"R{i} turn",
            row=f"R{i}",
            job="turn",
            text=f"Turn row {i} this morning: 67 °C at station 3, the limit is 65.5.",
            why="It will be the fifth of five turns.",
            because=(398, 401, 402),
            urgent=i == 1,
        )
        for i in range(1, count + 1)
    )


SHAPES = {
    "short": short_row,
    "thirty stations, long names, from memory": big_row,
    "nothing read": empty_row,
    "a day": lambda: issued(jobs(14)),
    "an empty day": lambda: issued(()),
}


@pytest.fixture(scope="module", params=SHAPES)
def sheet(request: pytest.FixtureRequest) -> RowSheet | DaySheet:
    made: RowSheet | DaySheet = SHAPES[request.param]()
    return made


@pytest.mark.parametrize("size, points", [("a4", (210 * MM, 297 * MM)), ("letter", (612, 792))])
def test_a_paper_is_pdf_a_2b_with_its_fonts_title_and_language(
    sheet: RowSheet | DaySheet, size: Size, points: tuple[float, float]
) -> None:
    with pikepdf.open(io.BytesIO(press(sheet, size))) as pdf:
        with pdf.open_metadata() as xmp:
            assert (xmp.pdfa_status, xmp["dc:title"]) == ("2B", sheet.title)
        assert pdf.Root.Lang == "en"
        assert "/OutputIntents" in pdf.Root
        assert not {"/OpenAction", "/AA", "/AcroForm"} & set(pdf.Root.keys())
        assert "/JavaScript" not in pdf.Root.get("/Names", {})
        fonts = 0
        for thing in pdf.objects:
            if not isinstance(thing, pikepdf.Dictionary):
                continue
            assert thing.get("/S") != "/JavaScript"
            if thing.get("/Type") == "/FontDescriptor":
                fonts += 1
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(thing.keys())
                assert any(name in str(thing.FontName) for name in ("SourceSerif4", "AtkinsonHyperlegible"))
        assert fonts >= 2
        for page in pdf.pages:
            assert [float(x) for x in page.mediabox[2:]] == pytest.approx(points, abs=0.6)


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_nothing_is_printed_in_the_margins(sheet: RowSheet | DaySheet, size: Size) -> None:
    """10 mm left and right, 7 mm at head and foot stay white on every page (the text block keeps 15)."""
    for png in pages(sheet, size, ppi=50):
        picture = Image.open(io.BytesIO(png)).convert("L")
        side, end = round(10 / 25.4 * 50), round(7 / 25.4 * 50)
        wide, high = picture.size
        edges = (
            (0, 0, side, high),
            (wide - side, 0, wide, high),
            (0, 0, wide, end),
            (0, high - end, wide, high),
        )
        assert all(picture.crop(edge).getextrema()[0] > 250 for edge in edges)


def test_printed_twice_the_bytes_are_the_same_whatever_the_clock_place_and_locale(tmp_path: Path) -> None:
    code = (
        "import sys\n"
        "import msgspec, hashlib; from turnrow.records.press import press\n"
        "from turnrow.records.row_sheet import RowSheet\n"
        "sheet = msgspec.json.decode(open(sys.argv[2], 'rb').read(), type=RowSheet)\n"
        "print(hashlib.sha256(press(sheet)).hexdigest())"
    )
    data = tmp_path / "sheet.json"
    data.write_bytes(msgspec.json.encode(short_row()))
    found = set()
    for number, more in enumerate(
        (
            {"TZ": "Pacific/Auckland", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "0"},
            {"TZ": "America/Denver", "LC_ALL": "C.UTF-8", "HOME": str(tmp_path)},
        )
    ):
        place = tmp_path / str(number)
        place.mkdir()
        done = subprocess.run(
            [sys.executable, "-c", code, str(place), str(data)],
            cwd=place,
            env={**os.environ, **more, "PYTHONHASHSEED": str(number)},
            capture_output=True,
            text=True,
            check=True,
        )
        found.add(done.stdout)
    assert len(found) == 1
    assert press(short_row()) == press(short_row())


def test_the_documents_date_is_the_head_lines(tmp_path: Path) -> None:
    made = short_row()
    with pikepdf.open(io.BytesIO(press(made))) as pdf, pdf.open_metadata() as xmp:
        stamped = xmp["xmp:CreateDate"]
    assert stamped.startswith(made.made[:10])


def test_invented_data_is_said_on_every_page_and_only_where_it_is_so() -> None:
    real, invented = short_row(invented=False), short_row()
    assert invented.invented and not real.invented
    for with_it, without in zip(pages(invented, ppi=40), pages(real, ppi=40), strict=True):
        top = [
            Image.open(io.BytesIO(p)).convert("L").crop((240, 10, 330, 32)).getextrema()[0]
            for p in (with_it, without)
        ]
        assert top[0] < 60 < top[1]


def test_characters_the_fonts_lack_are_printed_by_their_number() -> None:
    sheet = short_row(name="堆肥 yard \x07 Ñandú")
    with pikepdf.open(io.BytesIO(press(sheet))) as pdf, pdf.open_metadata() as xmp:
        assert xmp["dc:title"] == "Row sheet: R7, [U+5806][U+80A5] yard [U+0007] Ñandú"


def test_text_that_looks_like_a_program_stays_text() -> None:
    tricky = '#panic("no") $x$ *a* _b_ <label> @ref `raw` \\ "quote" // comment'
    assert press(short_row(name=tricky)).startswith(b"%PDF")


def test_a_day_sheet_is_made_only_from_a_day_sheet() -> None:
    book = Pages()
    line = book.lines[0]
    with pytest.raises(ValueError, match="want advice given"):
        day_sheet(DayPaper(book.diary().yard, line, HeadSeal(1, "00" * 32, line.written)))


def test_a_day_sheet_keeps_the_order_it_was_issued_in_and_says_what_was_ticked() -> None:
    book = Pages()
    sheet = entries.SheetIssued(day=date(2026, 5, 14), advice=jobs(3), upto=11, edition="e")
    number = book.write(12, sheet)
    done = book.write(12.1, entries.JobDone(key="R2 turn", sheet=number))
    off = book.write(12.2, entries.JobDone(key="R3 turn", sheet=number, done=False, reason="wind"))
    ticked = {"R2 turn": book.lines[done - 1], "R3 turn": book.lines[off - 1]}
    line = book.lines[number - 1]
    made = day_sheet(DayPaper(book.diary().yard, line, HeadSeal(off, "00" * 32, line.written), ticked))
    assert [job.row for job in made.jobs] == ["R1", "R2", "R3"]
    assert made.jobs[0].done == "" and made.jobs[0].lines == "398, 401–402"
    assert made.jobs[1].done.startswith("done, 14 May 2026") and made.jobs[1].done.endswith(f"line {done}")
    assert made.jobs[2].done.startswith("put off: wind")
    assert made.day == "Thursday, 14 May 2026"


def test_rows_to_be_left_alone_stand_in_a_short_list_and_a_ticked_one_with_its_tick() -> None:
    book = Pages()
    leave = tuple(
        Advice(key=f"R{i} leave", row=f"R{i}", job="leave", text=f"Leave row {i} alone.", why="It works.")
        for i in (8, 9)
    )
    number = book.write(
        12, entries.SheetIssued(day=date(2026, 5, 14), advice=(*jobs(1), *leave), upto=1, edition="e")
    )
    ticked = {"R9 leave": book.lines[book.write(12.1, entries.JobDone(key="R9 leave", sheet=number)) - 1]}
    line = book.lines[number - 1]
    made = day_sheet(DayPaper(book.diary().yard, line, HeadSeal(number, "00" * 32, line.written), ticked))
    assert [(job.row, job.leave) for job in made.jobs] == [("R1", False), ("R8", True), ("R9", False)]
    assert press(made).startswith(b"%PDF")


def test_the_fonts_weigh_little() -> None:
    folder = Path(__file__).parents[2] / "src" / "turnrow" / "records" / "fonts"
    assert sum(path.stat().st_size for path in folder.glob("*.ttf")) < 600_000
