"""The log of a self-heating test as one result of a lot, or every reason against it."""

from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest

from turnrow.gate.handed import Handed
from turnrow.gate.lab_entries import LabSheet
from turnrow.gate.self_heating_file import read_self_heating
from turnrow.yard.goods import LabResult, LotMade, Share
from turnrow.yard.wrongs import Refused

from .conftest import NOW, Desk

Read = Callable[..., LabSheet]
HEAD = "at,station,value,unit\n"


def log(station: str, *values: str, unit: str = "C", hours: float = 12.0) -> str:
    start = datetime(2026, 5, 10, 8)
    return "".join(
        f"{(start + timedelta(hours=hours * n)).isoformat()},{station},{value},{unit}\n"
        for n, value in enumerate(values)
    )


WARM = ("20", "26", "31.5", "40", "37", *["30"] * 12)


@pytest.fixture
def read(desk: Desk) -> Read:
    desk.write(LotMade(lot="26-04", sources=(Share(row="R7"),)))

    def of(text: str, **more: object) -> LabSheet:
        asked = {"lot": "26-04", "ambient": "20 C", **more}
        return read_self_heating(Handed(text.encode(), "dewar.csv", NOW, "lab", **asked), desk.diary)  # type: ignore[arg-type]

    return of


def result(sheet: LabSheet) -> LabResult:
    (entry,) = sheet.entries
    assert isinstance(entry.what, LabResult)
    return entry.what


def test_the_rise_becomes_a_result_of_the_lot(read: Read) -> None:
    sheet = read(HEAD + log("1", *WARM))
    what = result(sheet)
    assert what.lot == "26-04" and what.sampled == date(2026, 5, 10)
    assert [(one.analyte, one.amount.value, one.amount.unit) for one in what.results] == [
        ("self-heating rise", 20_000_000, "C")
    ]
    said = " ".join(sheet.notices)
    assert "rise over ambient: III" in said and "absolute form: IV" in said


def test_the_airs_own_readings_are_taken_where_the_file_has_them(read: Read) -> None:
    text = HEAD + log("vessel", *WARM) + log("Air", *["71.6"] * len(WARM), unit="F")
    assert result(read(text, ambient="")).results[0].amount.value == 18_000_000


def test_a_rise_between_two_numbers_is_never_told_lower(read: Read) -> None:
    """104.1 °F is 40.0555... °C."""
    text = HEAD + log("1", *["68", "104.1", *["90"] * 12], unit="F")
    assert result(read(text)).results[0].amount.value == 20_055_556


def test_two_vessels_are_two_results(read: Read) -> None:
    text = HEAD + log("a", *WARM) + log("b", *["20", "30", *["25"] * 15])
    assert [one.amount.value for one in result(read(text)).results] == [20_000_000, 10_000_000]


def test_a_doubtful_record_is_taken_with_its_doubts(read: Read) -> None:
    said = " ".join(read(HEAD + log("1", "20", "40"), ambient="12 C").notices)
    assert "may still warm" in said and "gone on rising" in said and "asks for about 20" in said


def test_the_same_file_twice_adds_nothing(read: Read, desk: Desk) -> None:
    first = read(HEAD + log("1", *WARM))
    desk.add(*first.entries)
    assert read(HEAD + log("1", *WARM)).entries == ()


@pytest.mark.parametrize(
    ("text", "more", "says"),
    [
        (HEAD + log("1", *WARM), {"ambient": ""}, "--ambient"),
        (HEAD + log("1", *WARM), {"ambient": "warm"}, "with its unit"),
        (HEAD + log("1", *WARM) + log("air", *WARM), {}, "leave it out"),
        (HEAD + log("air", *WARM), {"ambient": ""}, "own column or station"),
        (HEAD + log("1", *WARM), {"lot": "26-05"}, "Did you mean 26-04"),
        (HEAD + log("1", *WARM), {"lot": ""}, "Say which lot"),
        (HEAD + log("1", *WARM), {"lot": "", "row": "R9"}, "No such row"),
        (HEAD + log("1", *["20"] * 60), {}, "still to come"),
        (HEAD + log("1", *WARM) + log("air", "20", hours=0.0), {"ambient": ""}, "Log the air"),
        ("at,row,value,unit\n2026-05-10,R7,20,C\n2026-05-10,R8,20,C\n", {}, "file of one test"),
        ("", {}, "Export"),
    ],
)
def test_what_is_wrong_is_refused_with_what_to_do(
    read: Read, text: str, more: dict[str, str], says: str
) -> None:
    with pytest.raises(Refused) as caught:
        read(text, **more)
    assert any(says in one.sentence() for one in caught.value.refusals), caught.value.refusals
