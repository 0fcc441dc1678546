"""A file of temperatures: kept exactly, or refused with the way out."""

import io
from datetime import datetime

import numpy as np
import pytest
import xlsxwriter

from .readings_file import read, refused, times, values, wide

HEAD = "at,station,depth_cm,value,unit\n"


# ---- the shapes a file comes in

SAME = [["at", "station", "depth_cm", "value", "unit"], ["2026-05-03T07:40", "1", "90", "54.9375", "°C"]]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("quote", ["", '"'])
def test_one_reading_in_every_habit_of_csv(mark: str, end: str, coding: str, quote: str) -> None:
    text = end.join(mark.join(f"{quote}{cell}{quote}" for cell in row) for row in SAME) + end
    found = read(text.encode(coding))
    one = found.rows["R7"]
    assert values(found) == ["54.9375"] and times(found) == ["05-03 06:40:00"]
    assert (one.stations, one.depth.tolist(), one.unit.tolist(), one.item.tolist()) == (
        ("1",),
        [900],
        [0],
        [2],
    )


def test_a_workbook_with_date_cells_text_cells_and_numbers() -> None:
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held)
    sheet = book.add_worksheet()
    clock = book.add_format({"num_format": "yyyy-mm-dd hh:mm"})
    sheet.write_row(2, 1, SAME[0])
    sheet.write_datetime(3, 1, datetime(2026, 5, 3, 7, 40), clock)
    sheet.write_row(3, 2, [1, 90, 54.9375, "°C"])
    sheet.write_row(5, 1, ["2026-05-03T08:40", "1", "90", "55.1", "C"])  # a blank row above
    sheet.write_row(6, 1, [46145.5, 1, 90, 56, "C"])  # the serial number of 2026-05-03 12:00
    book.close()
    found = read(held.getvalue())
    assert values(found) == ["54.9375", "55.1", "56"]
    assert times(found) == ["05-03 06:40:00", "05-03 07:40:00", "05-03 11:00:00"]
    assert found.rows["R7"].item.tolist() == [4, 6, 7]


def test_dates_alone_in_a_workbook_are_days() -> None:
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held)
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["at", "value", "unit"])
    sheet.write_datetime(1, 0, datetime(2026, 5, 3), book.add_format({"num_format": "dd/mm/yyyy"}))
    sheet.write_row(1, 1, [55, "C"])
    book.close()
    found = read(held.getvalue())
    assert not found.rows["R7"].timed.any() and any("dates alone" in n for n in found.notices)


def test_a_day_without_a_time_stands_at_local_noon() -> None:
    found = read("at,value,unit\n2026-05-03,131,F\n2026-01-03,131,F\n")
    assert times(found) == ["01-03 12:00:00", "05-03 11:00:00"]
    assert not found.rows["R7"].timed.any() and found.rows["R7"].unit.tolist() == [1, 1]


def test_further_columns_are_passed_over_with_a_notice_and_headings_may_be_in_capitals() -> None:
    found = read("At,Value,Unit,Weather\n2026-05-03,55,C,rain\n")
    assert found.notices == ("passed over: Weather.",)


def test_rows_of_a_row_column_are_kept_apart_and_in_their_time() -> None:
    text = "at,row,value,unit\n2026-05-04,B,2,C\n2026-05-03,A,1,C\n2026-05-03,B,3,C\n"
    found = read(text, row="")
    assert values(found, "A") == ["1"] and values(found, "B") == ["3", "2"]
    (wrong,) = refused(text, row="A")
    assert wrong.where == "--row" and "B" in wrong.do


def test_an_empty_cell_is_nothing_read_and_never_zero() -> None:
    found = read(HEAD + "2026-05-03T07:40,1,90,,C\n\n2026-05-03T08:40,1,90,0,C\n,,,,\n")
    assert values(found) == ["0"] and found.rows["R7"].item.tolist() == [4]
    assert "nothing read: 1 empty cell of the value columns, in row 2." in found.notices


# ---- numbers


@pytest.mark.parametrize(
    ("cell", "want", "unit"),
    [
        ("54.9", "54.9", 0), ("+54.9", "54.9", 0), ("-0.0625", "-0.0625", 0), ("\u22125.5", "-5.5", 0),
        (".5", "0.5", 0), ("55.", "55", 0), ("54.9 °C", "54.9", 0), ("54.9C", "54.9", 0),
        ("130.8 °F", "130.8", 1),
        ("331 K", "331", 2), ("85.000", "85", 0), ("999999999", "999999999", 0), ("-127", "-127", 0),
    ],
)  # fmt: skip
def test_a_number_is_kept_as_written(cell: str, want: str, unit: int) -> None:
    found = read(f"at,value,unit\n2026-05-03T07:40,{cell},{'CFK'[unit]}\n")
    assert values(found) == [want] and found.rows["R7"].unit.tolist() == [unit]


def test_the_quick_way_is_exact_on_every_ten_thousandth_and_at_nine_digits() -> None:
    """Against Python's own whole numbers: no float stands between the text and the millionths."""
    drawn = np.random.default_rng(1)
    want = [int(v) for v in drawn.integers(-999_999_999_999_999, 999_999_999_999_999, 20_000)]
    want += range(-1_000_000, 1_000_000, 100)
    text = [f"{'-' if v < 0 else ''}{abs(v) // 10**6}.{abs(v) % 10**6:06d}" for v in want]
    body = "".join(f"2026-05-{1 + i % 28:02d}T07:40,s{i},{t},C\n" for i, t in enumerate(text[:1900]))
    found = read("at,station,value,unit\n" + body)
    mine = {
        found.rows["R7"].stations[s]: int(v)
        for s, v in zip(found.rows["R7"].station, found.rows["R7"].value, strict=True)
    }
    assert [mine[f"s{i}"] for i in range(1900)] == want[:1900]
    long = "".join(
        f"{2000 + i // 10000}-05-03T{i // 60 % 24:02d}:{i % 60:02d},{t},C\n" for i, t in enumerate(text)
    )
    assert sorted(int(v) for v in read("at,value,unit\n" + long).rows["R7"].value) == sorted(want)


def test_more_than_six_decimals_are_cut_towards_colder_never_up_to_a_limit() -> None:
    found = read("at,value,unit\n2026-05-03,54.9999999,C\n2026-05-04,-0.0000001,C\n")
    assert values(found) == ["54.999999", "-0.000001"]
    assert any("2 numbers were finer" in notice for notice in found.notices)


def test_a_unit_that_is_none_is_refused_once_and_a_missing_one_beside_it() -> None:
    told = refused("at,value,unit\n2026-05-03,58,X\n2026-05-04,58,\n2026-05-05,58,C\n")
    assert [(one.where, one.got) for one in told] == [
        ("row 2, column unit", "'X'"),
        ("row 3, column unit", "'no unit'"),
    ]


def test_a_mapping_may_keep_fewer_decimals() -> None:
    assert values(read("when,core\n2026-05-03,54.99\n2026-05-04,-0.01\n", wide(decimals=1))) == [
        "54.9",
        "-0.1",
    ]


@pytest.mark.parametrize(
    "text",
    [
        'at,value,unit\n2026-05-03,"63,4",C\n',
        "at;value;unit\n2026-05-03;63,4;C\n",
        "at\tvalue\tunit\n2026-05-03\t63,4\tC\n",
    ],
)
def test_a_decimal_comma_where_it_is_plain(text: str) -> None:
    found = read(text)
    assert values(found) == ["63.4"] and "the comma is read as the decimal sign." in found.notices


@pytest.mark.parametrize(
    "cell",
    [
        "1.234,5",
        "1,234.5",
        "1 234",
        "1'234",
        "nan",
        "inf",
        "-inf",
        "1e400",
        "1e99",
        "0x1f",
        "hot",
        "--",
        "5 5",
        "1.2.3",
        "55 X",
        "1000000000000",
        "٥٥",
    ],
)
def test_what_is_no_plain_number_is_refused_at_its_place(cell: str) -> None:
    (wrong,) = refused(f"at;value;unit\n2026-05-03;55;C\n2026-05-04;{cell};C\n")
    assert wrong.where == "row 3, column value" and cell[:5] in wrong.got and wrong.do


def test_commas_and_points_in_one_column_are_refused() -> None:
    (wrong,) = refused("at;value;unit\n2026-05-03;63,4;C\n2026-05-04;63.4;C\n")
    assert wrong.where == "row 2, column value" and "row 3" in wrong.got


def test_a_comma_that_may_part_thousands_is_the_mappings_to_explain() -> None:
    (wrong,) = refused('at,value,unit\n2026-05-03,"1,234",C\n')
    assert wrong.where == "row 2, column value" and "thousands" in wrong.do
    assert values(read('when,core\n2026-05-03,"1,234"\n', wide(decimal="comma"))) == ["1.234"]
    assert values(read("at;value;unit\n2026-05-03;54,125;C\n2026-05-04;54,25;C\n")) == ["54.125", "54.25"]


def test_a_mark_for_nothing_is_the_mappings_to_name() -> None:
    text = "when,core\n2026-05-03,---\n2026-05-04,55\n"
    assert refused(text, wide())[0].where == "row 2, column core"
    assert values(read(text, wide(missing=["---"]))) == ["55"]


def test_mixed_units_are_kept_as_typed_and_two_units_for_one_number_refused() -> None:
    found = read("at,value,unit\n2026-05-03,55,C\n2026-05-04,131,°F\n2026-05-05,328.15,K\n")
    assert len(set(found.rows["R7"].heat.tolist())) == 1  # 55 °C is 131 °F is 328.15 K
    (wrong,) = refused("at,value,unit\n2026-05-03,131 F,C\n")
    assert wrong.where == "row 2, column value"


@pytest.mark.parametrize(
    ("cell", "do"),
    [("-5", "0 to 1000"), ("1001", "0 to 1000"), ("deep", "centimetres")],
)
def test_a_depth_that_is_none(cell: str, do: str) -> None:
    (wrong,) = refused(HEAD + f"2026-05-03,1,{cell},55,C\n")
    assert wrong.where == "row 2, column depth_cm" and do in wrong.do


def test_a_depth_in_inches_written_in_centimetres_is_kept_to_the_millimetre() -> None:
    found = read(HEAD + "2026-05-03,1,45.72,55,C\n")
    assert found.rows["R7"].depth.tolist() == [457]  # 18 in


def test_every_wrong_cell_is_told_at_once_and_many_are_counted() -> None:
    wrongs = refused(
        "at,value,unit\nyesterday,55,C\n2026-05-03,hot,C\n2026-05-04,55,R\n2026-05-05,55,\n,55,C\n"
    )
    assert {w.where for w in wrongs} == {
        "row 2, column at", "row 3, column value", "row 4, column unit",
        "row 5, column unit", "row 6, column at",
    }  # fmt: skip
    many = refused("at,value,unit\n" + "2026-05-03,hot,C\n" * 500)
    assert len(many) == 41 and "460 more" in many[-1].got


# ---- cells that lack


def test_a_row_that_ends_early_is_named() -> None:
    full = HEAD + "2026-05-03T07:40,1,90,55,C\n"
    assert (
        "nothing read: 1 empty cell of the value columns, in row 3."
        in read(full + "2026-05-03T08:40,1\n").notices
    )
    (wrong,) = refused(full + "2026-05-03T08:40,1,90,55\n")
    assert wrong.where == "row 3, column unit"


def test_a_reading_without_the_station_that_others_have_is_refused() -> None:
    (wrong,) = refused(HEAD + "2026-05-03T07:40,A,90,55,C\n2026-05-03T08:40,,90,55,C\n")
    assert wrong.where == "row 3, column station"


def test_a_reading_without_the_depth_that_others_have_is_named() -> None:
    found = read(HEAD + "2026-05-03T07:40,A,90,55,C\n2026-05-03T08:40,A,,55,C\n")
    assert "no depth_cm in row 3." in found.notices


@pytest.mark.parametrize(
    ("text", "value"),
    [("5.8e1", "58"), ("5.8E+01", "58"), ("580e-1 °C", "58"), ("-2.5e-1", "-0.25"), ("0e0", "0")],
)
def test_a_number_may_have_an_exponent(text: str, value: str) -> None:
    assert values(read(HEAD + f"2026-05-03T07:40,1,90,{text},C\n")) == [value]
    comma = HEAD.replace(",", ";") + f"2026-05-03T07:40;1;90;{text.replace('.', ',')};C\n"
    assert values(read(comma)) == [value]


@pytest.mark.parametrize("text", ["5.8e", "e1", "5e1.5", "5e9999", "1e9", "5.8e1e1", "5,8e1"])
def test_what_is_no_number_with_an_exponent_is_refused(text: str) -> None:
    (wrong,) = refused(HEAD + f'2026-05-03T07:40,1,90,"{text}",C\n2026-05-03T08:40,1,90,1.5,C\n')
    assert wrong.where == "row 2, column value"
