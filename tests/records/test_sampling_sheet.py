"""The sheet that travels with a sample: what it asks, what is known of it, the same bytes each time."""

import io
from datetime import date

import pikepdf
import pytest
from PIL import Image

from turnrow.handbook.quality import herbicide_inputs, sampling_plans
from turnrow.quality import herbicide
from turnrow.quality.sampling import Due, Made, composite, plan
from turnrow.records.press import Size, pages, press
from turnrow.records.row_paper import HeadSeal
from turnrow.records.sampling_sheet import SamplingPaper, SamplingSheet, Wanted, sampling_sheet
from turnrow.yard.entries import Amount
from turnrow.yard.goods import LotMade, Sampled, Share

from .conftest import Pages

PLANS = sampling_plans()


def due(now: date) -> Due:
    rule, last = PLANS["ca-17868-1"], date(2026, 1, 10)
    return plan(rule, PLANS["any"], Made(5000, 100), last, last, now)


def paper(lot: str = "26-04", tests: int = 6, now: date = date(2026, 5, 20)) -> SamplingPaper:
    book = Pages()
    made = book.write(20, LotMade(lot=lot, sources=(Share(row="R7"),)))
    taken = book.write(
        22,
        Sampled(
            sample="S-11", lot=lot, increments=12, mass=Amount(1_500_000, "kg"), container="jar", cooled=True,
            sent_to="An invented lab",
        ),
    )  # fmt: skip
    line = book.lines[taken - 1]
    assert isinstance(line.entry.what, Sampled)
    places, steps = composite(PLANS["ca-17868-1"], PLANS["any"])
    return SamplingPaper(
        yard=book.diary().yard,
        head=HeadSeal(taken, "3f9c" * 16, line.written),
        zone=book.diary().zone,
        lot=lot,
        made=f"Lot {lot} made of row R7.",
        made_lines=(made,),
        due=due(now),
        open="",
        places=places,
        steps=steps,
        wanted=tuple(Wanted(f"test {n}", "mg/kg", "dry", "a set", n == 1) for n in range(1, tests + 1)),
        taken=((line, line.entry.what),),
        herbicide=herbicide.check([("horse manure", 3)], herbicide_inputs()),
    )


def test_it_says_what_of_how_and_for_what_with_its_lines() -> None:
    sheet = sampling_sheet(paper())
    assert sheet.what.lines == "2" and sheet.taken[0].lines == "3"
    assert "S-11" in sheet.taken[0].text and "12 places" in sheet.taken[0].text
    assert "1.5 kg" in sheet.taken[0].text and "An invented lab" in sheet.taken[0].text
    assert sheet.places == tuple(str(n) for n in range(1, 13))
    assert sheet.wanted[0] == ("test 1", "mg/kg", "dry", "a set", "tested") and sheet.wanted[1][4] == ""
    assert "before any of it leaves" in sheet.due and not sheet.urgent
    assert any("adviser" in one for one in sheet.herbicide) and "germs" in sheet.caution


def test_an_overdue_sample_is_urgent() -> None:
    assert sampling_sheet(paper(now=date(2027, 1, 11))).urgent


def test_without_a_plan_or_tests_it_says_so() -> None:
    bare = paper(tests=0)
    bare = SamplingPaper(**{**vars(bare), "due": None})
    sheet = sampling_sheet(bare)
    assert sheet.due == "No sampling plan is chosen." and "asks no test" in sheet.wanted_note


SHEETS = {
    "usual": lambda: paper(),
    "overdue, many tests, a long name": lambda: paper("L" + "ong" * 13, 60, date(2027, 5, 1)),
    "nothing asked": lambda: paper(tests=0),
}


@pytest.fixture(scope="module", params=SHEETS)
def sheet(request: pytest.FixtureRequest) -> SamplingSheet:
    return sampling_sheet(SHEETS[request.param]())


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_it_is_pdf_a_2b_and_the_same_bytes_each_time(sheet: SamplingSheet, size: Size) -> None:
    """ISO 19005-2, level B, as its own metadata say; read by pikepdf."""
    data = press(sheet, size)
    assert data == press(sheet, size)
    with pikepdf.open(io.BytesIO(data)) as pdf, pdf.open_metadata() as xmp:
        assert (xmp.pdfa_status, xmp["dc:title"]) == ("2B", sheet.title)


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_nothing_is_printed_in_the_margins(sheet: SamplingSheet, size: Size) -> None:
    for png in pages(sheet, size, ppi=50):
        picture = Image.open(io.BytesIO(png)).convert("L")
        side = round(10 / 25.4 * 50)
        wide, high = picture.size
        for edge in ((0, 0, side, high), (wide - side, 0, wide, high)):
            assert picture.crop(edge).getextrema()[0] > 250
