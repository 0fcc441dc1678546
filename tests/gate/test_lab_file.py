"""A lab's sheet as entries: any of its habits, or every reason against it, and nothing half-written."""

import io
from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.gate.handed import Handed
from turnrow.gate.lab_columns import is_lab_sheet
from turnrow.gate.lab_entries import LabSheet
from turnrow.gate.lab_file import read_lab
from turnrow.yard.diary import Diary
from turnrow.yard.goods import LabResult, LotMade, Sampled, Share
from turnrow.yard.wrongs import Refused

from .conftest import NOW, Desk

HEAD = "analyte,value,unit,basis,method,lot,sampled\n"
GOOD = HEAD + "Cu,63.5,mg/kg,dry,EPA 6010,26-04,2026-05-20\n"
Read = Callable[..., LabSheet]


@pytest.fixture
def yard(desk: Desk) -> Desk:
    desk.write(LotMade(lot="26-04", sources=(Share(row="R7"),)))
    desk.write(Sampled(sample="S-11", lot="26-04", increments=20), datetime(2026, 5, 20, 10, tzinfo=UTC))
    return desk


@pytest.fixture
def read(yard: Desk) -> Read:
    def of(text: str | bytes, **more: object) -> LabSheet:
        data = text if isinstance(text, bytes) else text.encode()
        return read_lab(Handed(data, "sheet.csv", NOW, "office", **more), yard.diary)  # type: ignore[arg-type]

    return of


def results(sheet: LabSheet) -> dict[str, str]:
    found = {}
    for entry in sheet.entries:
        assert isinstance(entry.what, LabResult)
        for one in entry.what.results:
            mark = "<" if one.below else ">" if one.above else ""
            found[one.analyte] = f"{mark}{one.amount.value / 1e6:g} {one.amount.unit} {one.basis}".strip()
    return found


def refusals(read: Read, text: str | bytes, **more: object) -> list[str]:
    with pytest.raises(Refused) as caught:
        read(text, **more)
    return [one.sentence() for one in caught.value.refusals]


def test_one_figure_with_all_that_is_known_of_it(read: Read) -> None:
    sheet = read(GOOD)
    (entry,) = sheet.entries
    what = entry.what
    assert isinstance(what, LabResult)
    assert what.lot == "26-04" and what.sampled == date(2026, 5, 20) and what.file == "sheet.csv"
    assert what.results[0].method == "EPA 6010" and results(sheet) == {"Cu": "63.5 mg/kg dry"}
    assert sheet.blobs == {what.blob: GOOD.encode()}


def test_names_units_and_bases_as_labs_write_them(read: Read) -> None:
    sheet = read(
        "Parameter;Result;Units;Sample ID\n"
        "Total Nitrogen;1,53;% DM;S-11\nFaecal coliforms;<10;MPN / g (dry weight);S-11\n"
        "Lead;63,4;ppm TS;S-11\n"
        "Moisture;41,2;%;S-11\npH;7,9;pH units;S-11\nOUR;12,5;mmol O2/kg OM/h;S-11\n"
        "Salmonella 25 g;absent;in 25 g;S-11\nE coli;>2400;CFU/g as received;S-11\n"
    )
    assert results(sheet) == {
        "N total": "1.53 % dry",
        "fecal coliform": "<10 MPN/g dry",
        "Pb": "63.4 mg/kg dry",
        "moisture": "41.2 % as received",
        "pH": "7.9 pH",
        "O2 uptake": "12.5 mmol O2/kg OM/h organic matter",
        "Salmonella in 25 g": "0 found in 25 g",
        "E. coli": ">2400 CFU/g as received",
    }
    (entry,) = sheet.entries
    assert isinstance(entry.what, LabResult) and entry.what.sample == "S-11" and entry.what.lot == "26-04"
    assert any("comma" in notice for notice in sheet.notices)


@pytest.mark.parametrize(("value", "unit"), [("absent in 25 g", ""), ("absent", "in 25 g"), ("nd", "/25 g")])
def test_absence_in_a_mass_needs_no_count(read: Read, value: str, unit: str) -> None:
    sheet = read(f"analyte,value,unit,sample\nSalmonella,{value},{unit},S-11\npH,7.9,,S-11\n")
    assert results(sheet) == {"Salmonella in 25 g": "0 found in 25 g", "pH": "7.9 pH"}


def test_each_sample_and_day_is_an_entry_of_its_own(read: Read) -> None:
    sheet = read(GOOD + "Zn,200,mg/kg,dry,,26-04,2026-05-21\nNi,20,mg/kg,dry,,26-04,2026-05-20\n")
    assert [len(entry.what.results) for entry in sheet.entries if isinstance(entry.what, LabResult)] == [2, 1]
    assert sheet.figures == 3


def test_the_same_sheet_twice_adds_nothing(read: Read, yard: Desk) -> None:
    first = read(GOOD)
    yard.add(*first.entries)
    second = read(GOOD)
    assert second.entries == () and second.known == 1 and second.blobs == {}


def test_a_workbook_and_its_date_cells(read: Read) -> None:
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"default_date_format": "yyyy-mm-dd"})
    page = book.add_worksheet()
    page.write_row(0, 0, ["analyte", "value", "unit", "basis", "lot"])
    page.write_row(1, 0, ["Cu", 63.5, "mg/kg", "dry", "26-04"])
    page.write(0, 5, "sampled")
    page.write_datetime(1, 5, datetime(2026, 5, 20))
    book.close()
    assert is_lab_sheet(held.getvalue(), None)
    sheet = read(held.getvalue())
    assert results(sheet) == {"Cu": "63.5 mg/kg dry"}


def test_a_mapping_names_other_headings(read: Read) -> None:
    text = "What;How much;In;Of;Taken\nCu;63,5;mg/kg;dry;20/05/2026\n"
    names = {"analyte": "What", "value": "How much", "unit": "In", "basis": "Of", "sampled": "Taken"}
    sheet = read(text, mapping={"lab": names, "date_format": "%d/%m/%Y"}, lot="26-04")
    assert results(sheet) == {"Cu": "63.5 mg/kg dry"}
    said = refusals(read, text, mapping={"lab": {**names, "unit": "Unit"}}, lot="26-04")
    assert any("[lab] unit" in one for one in said)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("Cu,63.5,,dry,,26-04,2026-05-20", "Write the unit the lab used"),
        ("Cu,63.5,mg/L,dry,,26-04,2026-05-20", "Cu comes in mg/kg"),
        ("Cu,63.5,mg/kg,,,26-04,2026-05-20", "dry or as received"),
        ("Cu,63.5,mg/kg dry,as received,,26-04,2026-05-20", "Keep the one the lab meant"),
        ("CO2,4,mg CO2/g OM/d,dry,,26-04,2026-05-20", "Keep the one the lab meant"),
        ("CO2,4,mg/g/d,organic matter,,26-04,2026-05-20", "mg CO2-C/g OM/d"),
        ("Copperr,63.5,mg/kg,dry,,26-04,2026-05-20", "Did you mean copper"),
        (",63.5,mg/kg,dry,,26-04,2026-05-20", "what was looked for"),
        ("Cu,,mg/kg,dry,,26-04,2026-05-20", "Write the figure"),
        ("Cu,about 60,mg/kg,dry,,26-04,2026-05-20", "one plain number"),
        ("Cu,6.3e1,mg/kg,dry,,26-04,2026-05-20", "one plain number"),
        ("Cu,-5,mg/kg,dry,,26-04,2026-05-20", "no less than nothing"),
        ("Cu,<0,mg/kg,dry,,26-04,2026-05-20", "limit of detection"),
        ("Cu,ND,mg/kg,dry,,26-04,2026-05-20", "Write < and"),
        ("Cu,63.5,mg/kg,dry,,26-04,2026-07-01", "still to come"),
        ("Cu,63.5,mg/kg,dry,,26-04,", "Write the day"),
        ("Cu,63.5,mg/kg,dry,,26-04,soon", "column sampled"),
        ("Cu,63.5,mg/kg,dry,,26-05,2026-05-20", "No such lot"),
        ("Cu,63.5,mg/kg,dry,,,2026-05-20", "Name the lot, row or load"),
        ("Cu,63.5,%,dry,,26-04,2026-05-20", "look at its unit"),
        ("pH,79,pH,,,26-04,2026-05-20", "look at its unit"),
        ("Cu,63.5,mg/kg,dry,,=1+1,2026-05-20", "A name starts"),
    ],
)
def test_what_is_wrong_is_refused_with_what_to_do(read: Read, row: str, says: str) -> None:
    said = refusals(read, HEAD + row + "\n")
    assert any(says in one and "row 2" in one for one in said), said


def test_all_that_is_wrong_is_told_at_once(read: Read) -> None:
    said = refusals(
        read,
        HEAD + "Cu,63.5,,dry,,26-04,2026-05-20\nGold,1,mg/kg,dry,,26-09,2026-08-01\n" + GOOD[len(HEAD) :],
    )
    assert len(said) == 4


def test_a_result_is_not_older_than_its_sample(read: Read) -> None:
    text = "analyte,value,unit,basis,lot,sampled,reported\nCu,63.5,mg/kg,dry,26-04,2026-05-20,2026-05-19\n"
    assert any("before the sample" in one for one in refusals(read, text))
    late = text.replace("2026-05-19", "2026-05-27")
    (entry,) = read(late).entries
    assert entry.happened.date() == date(2026, 5, 27) and entry.day_only


def test_the_diarys_own_day_of_a_sample_stands(read: Read) -> None:
    text = "analyte,value,unit,basis,sample,sampled\nCu,63.5,mg/kg,dry,S-11,2026-05-19\n"
    assert any("S-11 on 2026-05-20" in one for one in refusals(read, text))
    other = (
        text.replace("2026-05-19", "2026-05-20")
        .replace("sample,", "sample,row,")
        .replace("S-11,", "S-11,R8,")
    )
    assert any("something else" in one for one in refusals(read, other))


def test_a_sample_the_yard_did_not_take(read: Read) -> None:
    text = "analyte,value,unit,basis,sample,sampled\nCu,63.5,mg/kg,dry,S-12,2026-05-20\n"
    assert any("Did you mean S-11" in one for one in refusals(read, text))
    assert any("not in the diary" in one for one in read(text, lot="26-04").notices)


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ("Cu,60,mg/kg,dry,,26-04,2026-05-20\nCu,61,mg/kg,dry,,26-04,2026-05-20\n", "a second time"),
        (
            "moisture,40,%,,,26-04,2026-05-20\nCu,60,mg/kg,dry,,26-04,2026-05-20\n"
            "Cu,60,mg/kg,as received,,26-04,2026-05-20\n",
            "cannot be both",
        ),
    ],
)
def test_figures_that_contradict_one_another(read: Read, rows: str, says: str) -> None:
    assert any(says in one for one in refusals(read, HEAD + rows))


def test_both_bases_that_agree_are_both_kept(read: Read) -> None:
    sheet = read(
        HEAD + "moisture,40,%,,,26-04,2026-05-20\nCu,60,mg/kg,dry,,26-04,2026-05-20\n"
        "Cu,36,mg/kg,as received,,26-04,2026-05-20\n"
    )
    assert sheet.figures == 3


def test_decimal_signs_are_not_guessed_at(read: Read) -> None:
    head, tail = "analyte;value;unit;basis;lot;sampled\n", ";mg/kg;dry;26-04;2026-05-20\n"
    assert any("thousands" in one for one in refusals(read, f"{head}Cu;1,234{tail}"))
    assert any("one decimal sign" in one for one in refusals(read, f"{head}Cu;1,5{tail}Zn;2.5{tail}"))


def test_a_logger_file_is_no_lab_sheet() -> None:
    assert not is_lab_sheet(b"at,station,value,unit\n2026-05-03,1,55,C\n", None)
    assert is_lab_sheet(GOOD.encode(), None) and is_lab_sheet(b"x", {"lab": {}})
    assert not is_lab_sheet(b"", None) and not is_lab_sheet(b"PK\x03\x04nonsense", None)


def _only_refused(data: bytes) -> None:
    diary = Diary({}.__getitem__)
    try:
        sheet = read_lab(Handed(data, "f", NOW, "office", row="R7"), diary)
    except Refused as wrong:
        assert wrong.refusals and len(wrong.refusals) <= 41
        assert all(one.where and one.do for one in wrong.refusals)
    else:
        assert sheet.figures > 0


@given(st.binary(max_size=300))
@settings(max_examples=150, deadline=None)
def test_any_bytes(data: bytes) -> None:
    is_lab_sheet(data, None)
    _only_refused(data)


CELLS = st.one_of(
    st.sampled_from(
        ["Cu", "CO2", "5", "<5", "5,5", "mg/kg", "dry", "2026-05-01", "=1+1", "", "%", "9" * 70, "ND"]
    ),
    st.text(max_size=12),
)


@given(st.lists(st.lists(CELLS, min_size=7, max_size=7), min_size=1, max_size=4))
@settings(max_examples=200, deadline=None)
def test_any_cells_under_good_headings(rows: list[list[str]]) -> None:
    quoted = ["".join(c for c in cell.replace('"', "")) for row in rows for cell in row]
    lines = [",".join(f'"{cell}"' for cell in quoted[i : i + 7]) for i in range(0, len(quoted), 7)]
    _only_refused((HEAD + "\n".join(lines)).encode("utf-8", "replace"))


def test_nitrogen_and_ratio_that_make_more_carbon_than_there_can_be_are_refused(
    read: Read, yard: Desk
) -> None:
    """N 2.5 % times C:N 40 is 100 % carbon; the sheet's own C 45 % beside N 1.5 % and C:N 15 is 22.5 %.

    Nothing organic is more than about 58 % carbon: cellulose 44.4 %, by its formula C6H10O5.
    """
    lot = "26-04,2026-05-20\n"
    (said,) = refusals(read, f"{HEAD}N total,2.5,%,dry,,{lot}C:N,40,ratio,,,{lot}")
    assert "100 % carbon" in said and said.startswith("row 2")
    (said,) = refusals(read, f"{HEAD}N total,1.5,%,dry,,{lot}C total,45,%,dry,,{lot}C:N,15,ratio,,,{lot}")
    assert "third follows" in said
    assert results(read(f"{HEAD}N total,1.5,%,dry,,{lot}C total,22.4,%,dry,,{lot}C:N,15,ratio,,,{lot}"))
