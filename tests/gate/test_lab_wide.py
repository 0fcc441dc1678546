"""A lab sheet with a sample a row and an analyte a column: as labs and spreadsheets send it, or refused."""

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
from turnrow.gate.lab_wide import said_by
from turnrow.yard.diary import Diary
from turnrow.yard.goods import LabResult, LotMade, Sampled, Share
from turnrow.yard.wrongs import Refused

from .conftest import NOW, Desk

Read = Callable[..., LabSheet]
GOOD = (
    "Sample ID,Date sampled,Report no,Moisture %,N total (% dm),Cd mg/kg dry,Pb [mg/kg TS],pH,C:N\n"
    "S-11,,R-5,41.2,1.53,<0.5,63.4,7.9,14.2\n"
    ",2026-05-21,R-5,39,1.6,,60,8.0,\n"
)


@pytest.fixture
def yard(desk: Desk) -> Desk:
    for lot in ("26-04", "26-05"):
        desk.write(LotMade(lot=lot, sources=(Share(row="R7"),)))
    desk.write(Sampled(sample="S-11", lot="26-04", increments=20), datetime(2026, 5, 20, 10, tzinfo=UTC))
    return desk


@pytest.fixture
def read(yard: Desk) -> Read:
    def of(text: str | bytes, **more: object) -> LabSheet:
        data = text if isinstance(text, bytes) else text.encode()
        return read_lab(Handed(data, "wide.csv", NOW, "office", **more), yard.diary)  # type: ignore[arg-type]

    return of


def figures(sheet: LabSheet) -> dict[str, dict[str, str]]:
    """By sample or lot: analyte -> the figure as typed, with unit and basis."""
    found: dict[str, dict[str, str]] = {}
    for entry in sheet.entries:
        assert isinstance(entry.what, LabResult)
        own = found.setdefault(entry.what.sample or entry.what.lot or entry.what.row, {})
        for one in entry.what.results:
            said = f"{'<' * one.below}{one.amount.value / 1e6:g} {one.amount.unit} {one.basis}"
            own[one.analyte] = f"{said.strip()}{', ' + one.method if one.method else ''}"
    return found


def refusals(read: Read, text: str | bytes, **more: object) -> list[str]:
    with pytest.raises(Refused) as caught:
        read(text, **more)
    return [one.sentence() for one in caught.value.refusals]


def test_a_sample_a_row(read: Read) -> None:
    """Blank cells are no figures, `<0.5` is kept as found below, each row is an entry of its own."""
    assert is_lab_sheet(GOOD.encode(), None)
    sheet = read(GOOD, lot="26-05")
    assert figures(sheet) == {
        "S-11": {
            "moisture": "41.2 % as received", "N total": "1.53 % dry", "Cd": "<0.5 mg/kg dry",
            "Pb": "63.4 mg/kg dry", "pH": "7.9 pH", "C:N": "14.2 ratio",
        },
        "26-05": {
            "moisture": "39 % as received", "N total": "1.6 % dry", "Pb": "60 mg/kg dry", "pH": "8 pH",
        },
    }  # fmt: skip
    assert sheet.figures == 10
    first, second = (entry.what for entry in sheet.entries)
    assert isinstance(first, LabResult) and isinstance(second, LabResult)
    assert first.lot == "26-04" and first.sampled == date(2026, 5, 20) and first.report == "R-5"
    assert second.sampled == date(2026, 5, 21)


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("N total (% dm)", "N total", "% dm"),
        ("Total nitrogen, % dry matter", "N total", "% dry matter"),
        ("Cd mg/kg", "Cd", "mg/kg"),
        ("Cadmium [mg/kg] dry", "Cd", "mg/kg dry"),
        ("E. coli CFU/g", "E. coli", "CFU/g"),
        ("Salmonella 25 g", "Salmonella in 25 g", ""),
        ("Salmonella (in 25 g)", "Salmonella in 25 g", ""),
        ("Salmonella per 50 g", "Salmonella in 50 g", ""),
        ("CO2 evolution mg CO2-C/g OM/d", "CO2 evolution", "mg CO2-C/g OM/d"),
        ("pH", "pH", ""),
        ("Cu (mg/L)", "Cu", "mg/L"),  # told, so that it is refused and not passed over
        ("EC  (dS/m)", "EC", "dS/m"),
    ],
)
def test_headings_as_labs_write_them(heading: str, name: str, unit: str) -> None:
    assert said_by(heading) == (name, unit)


@pytest.mark.parametrize("heading", ["Remark", "Sample depth", "Lead time", "Invoice", "n/a", "%", ""])
def test_headings_that_name_no_analyte(heading: str) -> None:
    assert said_by(heading) is None


def test_units_bases_and_methods_in_rows_below(read: Read) -> None:
    text = (
        "lot,sampled,N total,Cd,Hg,moisture\n"
        "Units:,,%,mg/kg,ug/kg,%\n"
        "Basis,,dry,dry,as received,\n"
        "Method,,Dumas,ICP-MS,,oven\n"
        "26-04,2026-05-20,1.53,0.4,55,41\n"
    )
    assert figures(read(text)) == {
        "26-04": {
            "N total": "1.53 % dry, Dumas", "Cd": "0.4 mg/kg dry, ICP-MS", "Hg": "55 ug/kg as received",
            "moisture": "41 % as received, oven",
        }
    }  # fmt: skip
    bare = text.replace("Units:", "").replace("Basis", "").replace("Method,,Dumas,ICP-MS,,oven\n", "")
    assert figures(read(bare))["26-04"]["Hg"] == "55 ug/kg as received"


@pytest.mark.parametrize(
    ("heading", "cells", "wanted"),
    [
        ("Salmonella in 25 g", ("absent", "found"), ("0 found in 25 g", "1 found in 25 g")),
        ("Salmonella", ("absent in 25 g", "not detected/25g"), ("0 found in 25 g", "0 found in 25 g")),
        ("Salmonella spp", ("Absent in 50 g", "detected in 50 g"), ("0 found in 50 g", "1 found in 50 g")),
    ],
)
def test_a_sheet_of_salmonella_alone(
    read: Read, heading: str, cells: tuple[str, ...], wanted: tuple[str, ...]
) -> None:
    """Absent in 25 g, as EU 142/2011 annex V asks of five samples (MEMORY), has no unit and no basis."""
    text = f"lot,sampled,{heading}\n26-04,2026-05-20,{cells[0]}\n26-05,2026-05-20,{cells[1]}\n"
    assert is_lab_sheet(text.encode(), None)
    found = [figure for lot in figures(read(text)).values() for figure in lot.items()]
    name = f"Salmonella in {wanted[0][-4:]}"
    assert found == [(name, one) for one in wanted]


def test_a_count_of_salmonella_and_its_absence_are_two_things(read: Read) -> None:
    """MPN/4 g is a count; what was looked for in 25 g is never told of 50 g."""
    said = refusals(read, "lot,sampled,Salmonella\n26-04,2026-05-20,absent in 25 g\n26-05,2026-05-20,<3\n")
    assert any("MPN/4 g" in one for one in said)
    (other,) = refusals(read, "lot,sampled,Salmonella in 25 g\n26-04,2026-05-20,absent in 50 g\n")
    assert "of another mass" in other


def test_a_basis_for_the_row_or_the_sheet_is_not_the_waters(read: Read) -> None:
    of_row = "lot,sampled,basis,Cd mg/kg,moisture %\n26-04,2026-05-20,dry,0.4,41\n"
    wanted = {"26-04": {"Cd": "0.4 mg/kg dry", "moisture": "41 % as received"}}
    assert figures(read(of_row)) == wanted
    of_sheet = of_row.replace(",basis", "").replace(",dry", "")
    assert figures(read(of_sheet, mapping={"basis": "dry", "lab": {}})) == wanted
    said = figures(read(of_sheet, mapping={"basis": "not said", "lab": {}}))
    assert said["26-04"]["Cd"] == "0.4 mg/kg"


def test_semicolons_and_decimal_commas(read: Read) -> None:
    sheet = read("Probe Nr;Cd mg/kg TS;N total % TS;Blei mg/kg TS\nS-11;<0,5;1,53;63,4\n")
    assert figures(sheet)["S-11"] == {"Cd": "<0.5 mg/kg dry", "N total": "1.53 % dry", "Pb": "63.4 mg/kg dry"}
    assert any("comma" in one for one in sheet.notices)


def workbook(rows: list[list[object]]) -> bytes:
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"default_date_format": "yyyy-mm-dd"})
    page = book.add_worksheet()
    for number, row in enumerate(rows):
        for at, cell in enumerate(row):
            if isinstance(cell, datetime):
                page.write_datetime(number, at, cell)
            else:
                page.write(number, at, cell)
    book.close()
    return held.getvalue()


def test_a_workbook_with_a_row_of_units(read: Read) -> None:
    data = workbook(
        [
            ["Lot", "Sampled", "N total", "Cd", "Pb", "Remark"],
            ["", "", "% dry", "mg/kg dry", "mg/kg dry", ""],
            ["26-04", datetime(2026, 5, 20), 1.53, "<0.5", 63.4, "by post"],
            ["26-05", datetime(2026, 5, 20), 1.4, 0.7, None, ""],
        ]
    )
    assert is_lab_sheet(data, None)
    sheet = read(data)
    assert figures(sheet) == {
        "26-04": {"N total": "1.53 % dry", "Cd": "<0.5 mg/kg dry", "Pb": "63.4 mg/kg dry"},
        "26-05": {"N total": "1.4 % dry", "Cd": "0.7 mg/kg dry"},
    }
    assert any("Remark" in one for one in sheet.notices)


def test_a_mapping_says_what_headings_do_not(read: Read) -> None:
    text = "Label;Entnommen;Nges;Cd_ges;Pb mg/kg TS;Bem\n26-04;20.05.2026;1,53;0,4;63,4;2,5\n"
    named = {"Nges": "N total, % dry", "Cd_ges": "Cd, mg/kg dry", "Bem": "pass over"}
    lab = {"lot": "Label", "sampled": "Entnommen", "analytes": named}
    mapping = {"date_format": "%d.%m.%Y", "lab": lab}
    found = figures(read(text, mapping=mapping))
    assert found == {"26-04": {"N total": "1.53 % dry", "Cd": "0.4 mg/kg dry", "Pb": "63.4 mg/kg dry"}}
    wrong = {**lab, "analytes": {**named, "Nges": "gold, %", "Zinn": "Zn, mg/kg dry"}}
    said = refusals(read, text, mapping={**mapping, "lab": wrong})
    assert any("Nges" in one and "the analyte and its unit" in one for one in said)
    assert any("Zinn" in one and "Headings are" in one for one in said)


def test_the_same_file_twice_adds_nothing(read: Read, yard: Desk) -> None:
    first = read(GOOD, lot="26-05")
    yard.add(*first.entries)
    again = read(GOOD, lot="26-05")
    assert again.entries == () and again.known == first.figures and again.blobs == {}


HEAD = "lot,sampled,"
TAIL = "\n26-04,2026-05-20,"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (f"{HEAD}Cd,Pb mg/kg dry{TAIL}0.4,60\n", ("row 1", "Cd", "in a row below")),
        (f"{HEAD}Cd mg/kg,Pb mg/kg dry{TAIL}0.4,60\n", ("row 1", "no basis", "behind the unit", "heading")),
        (f"{HEAD}Cd mg/L dry,Pb mg/kg dry{TAIL}0.4,60\n", ("row 1", "Cd mg/L", "mg/kg, ug/kg")),
        (f"{HEAD}Cd mg/kg dry,cadmium ug/kg dry{TAIL}0.4,400\n", ("row 1", "Keep one column of Cd")),
        (f"{HEAD}Cd mg/kg dry,Cd mg/kg dry{TAIL}0.4,0.5\n", ("row 1", "Keep one column of Cd")),
        (f"{HEAD}lot,Cd mg/kg dry{TAIL}26-04,0.4\n", ("Keep one column of lot",)),
        (f"{HEAD}Cadmuim mg/kg dry,Pb mg/kg dry{TAIL}0.4,60\n", ("Cadmuim", "Did you mean cadmium")),
        (f"{HEAD}Cd mg/kg dry{TAIL}about 1\n", ("row 2, column Cd mg/kg dry", "one plain number")),
        (f"{HEAD}Cd mg/kg dry{TAIL}ND\n", ("row 2", "limit of detection")),
        (f"{HEAD}Cd mg/kg dry{TAIL}-0.4\n", ("row 2", "no less than nothing")),
        (f"{HEAD}Cd mg/kg dry{TAIL}40000\n", ("row 2", "look at its unit")),
        (f"{HEAD}Cd mg/kg dry\n26-09,2026-05-20,0.4\n", ("row 2, column lot", "No such lot")),
        (f"{HEAD}Cd mg/kg dry\n26-04,2026-07-20,0.4\n", ("row 2, column sampled", "still to come")),
        (f"{HEAD}Cd mg/kg dry\n26-04,,0.4\n", ("row 2, column sampled", "Write the day")),
        (f"{HEAD}Cd mg/kg dry\n,2026-05-20,0.4\n", ("row 2", "Name the lot")),
        (f"{HEAD}Cd mg/kg dry\n26-04,2026-05-20,\n", ("no figure",)),
        (f"{HEAD}Cd mg/kg\n,,ug/kg dry\n26-04,2026-05-20,4\n", ("row 2", "keep one")),
        (
            f"{HEAD}Cd mg/kg dry{TAIL}0.4\n26-04,2026-05-20,0.5\n",
            ("row 3", "a second time"),
        ),
        (
            f"{HEAD}moisture %,Cu mg/kg dry,Cu mg/kg as received{TAIL}40,60,60\n",
            ("cannot be both",),
        ),
        (f"{HEAD}CO2 mg CO2-C/g OM/d dry{TAIL}4\n", ("row 1", "Keep the one the lab meant")),
    ],
)  # fmt: skip
def test_what_is_wrong_is_refused_with_what_to_do(read: Read, text: str, says: tuple[str, ...]) -> None:
    said = refusals(read, text)
    assert any(all(one in sentence for one in says) for sentence in said), said


def test_all_that_is_wrong_is_told_at_once_and_once(read: Read) -> None:
    """A column without its unit is told once, however many samples; so is a row's unknown lot."""
    rows = "".join(f"26-0{n},2026-05-20,0.4,60,41\n" for n in (4, 5, 9))
    said = refusals(read, f"{HEAD}Cd,Pb mg/kg,moisture %\n{rows}")
    assert len(said) == 2
    said = refusals(read, f"{HEAD}Cd mg/kg dry,Pb mg/kg dry,moisture %\n{rows}")
    assert len(said) == 1 and "26-09" in said[0]


def test_mixed_decimal_signs_are_not_guessed_at(read: Read) -> None:
    text = "lot;sampled;Cd mg/kg dry;Pb mg/kg dry\n26-04;2026-05-20;0,4;60.5\n"
    assert any("one decimal sign" in one for one in refusals(read, text))


@pytest.mark.parametrize(
    "head",
    [
        "at,station,value,unit",
        "datetime,row,moisture %,CO2 %,core_C",
        "date,air_C,rain_mm",
        "load,material,amount_t,moisture",
        "row,station,temperature",
    ],
)
def test_other_files_are_no_lab_sheets(head: str) -> None:
    assert not is_lab_sheet(f"{head}\n1,2,3,4\n".encode(), None)


CELLS = st.one_of(
    st.sampled_from(["Cd mg/kg dry", "Cd", "pH", "mg/kg", "dry", "<5", "5,5", "5.5", "", "=1+1", "units"]),
    st.sampled_from(["lot", "sampled", "2026-05-01", "(", "[%]", "N (", ",,", "9" * 70, "basis", "ND"]),
    st.text(max_size=10),
)


@given(st.lists(st.lists(CELLS, min_size=5, max_size=5), min_size=2, max_size=5))
@settings(max_examples=250, deadline=None)
def test_any_cells_at_all(rows: list[list[str]]) -> None:
    lines = [",".join('"' + cell.replace('"', "") + '"' for cell in row) for row in rows]
    data = ("Cd mg/kg dry,sampled," + "\n".join(lines)).encode("utf-8", "replace")
    is_lab_sheet(data, None)
    try:
        sheet = read_lab(Handed(data, "f", NOW, "office", row="R7"), Diary({}.__getitem__))
    except Refused as wrong:
        assert wrong.refusals and all(one.where and one.do for one in wrong.refusals)
    else:
        assert sheet.figures > 0
