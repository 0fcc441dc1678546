"""Times in a file: the yard's clock, its two odd nights, and dates whose order is not guessed at."""

from datetime import datetime

import pytest

from .readings_file import read, refused, times, values, wide

# ---- times


@pytest.mark.parametrize(
    ("cell", "want"),
    [
        ("2026-05-03T07:40", "05-03 06:40:00"), ("2026-05-03 07:40:30", "05-03 06:40:30"),
        ("2026-05-03T07:40:30.5", "05-03 06:40:30"), ("2026-05-03T07:40Z", "05-03 07:40:00"),
        ("2026-05-03T07:40+02:00", "05-03 05:40:00"), ("2026-05-03 07:40:00 -0500", "05-03 12:40:00"),
        ("2026-01-03T07:40", "01-03 07:40:00"),
    ],
)  # fmt: skip
def test_a_time_without_zone_is_the_yards_and_an_offset_always_wins(cell: str, want: str) -> None:
    assert times(read(f"at,value,unit\n{cell},55,C\n")) == [want]


@pytest.mark.parametrize(
    "cell",
    [
        "2026-02-30",
        "2026-05-03T25:00",
        "2026-05-03T07:40:61",
        "1970-01-01T00:00",
        "2300-01-01",
        "noon",
        "46145.5",
        "2026-05-03T07:40+99:00",
    ],
)
def test_what_is_no_time_is_refused(cell: str) -> None:
    (wrong,) = refused(f"at,value,unit\n{cell},55,C\n")
    assert wrong.where == "row 2, column at"


# In Dublin the clock showed 01:00 to 02:00 twice on 25 October 2026 and never on 29 March (zoneinfo).
TWICE = [
    "2026-10-25T00:30",
    "2026-10-25T01:00",
    "2026-10-25T01:30",
    "2026-10-25T01:00",
    "2026-10-25T01:30",
    "2026-10-25T02:00",
]
PLACED = [
    "10-24 23:30:00",
    "10-25 00:00:00",
    "10-25 00:30:00",
    "10-25 01:00:00",
    "10-25 01:30:00",
    "10-25 02:00:00",
]


def rows_of(cells: list[str]) -> str:
    return "at,value,unit\n" + "".join(f"{cell},{50 + i},C\n" for i, cell in enumerate(cells))


def test_the_doubled_hour_is_told_apart_by_the_order_of_the_file() -> None:
    assert times(read(rows_of(TWICE))) == PLACED
    assert times(read(rows_of(TWICE[::-1]))) == PLACED  # newest first
    assert values(read(rows_of(TWICE[::-1])))[0] == "55"


def test_the_doubled_hour_is_told_apart_station_by_station() -> None:
    both = "at,station,value,unit\n" + "".join(f"{c},{s},55,C\n" for s in "ab" for c in TWICE)
    assert times(read(both)) == sorted(PLACED * 2)


def test_the_doubled_hour_is_refused_where_order_does_not_tell() -> None:
    wrongs = refused(rows_of([TWICE[0], TWICE[1], TWICE[2], TWICE[5]]))
    assert [w.where for w in wrongs] == ["row 3, column at", "row 4, column at"]
    assert "twice" in wrongs[0].got and "offset" in wrongs[0].do
    jumbled = refused(rows_of([*TWICE, "2026-10-25T00:10"]))
    assert len(jumbled) == 4
    assert times(read(rows_of(["2026-10-25T01:30+00:00", "2026-10-25T01:30+01:00"]))) == [
        PLACED[2],
        PLACED[4],
    ]


def test_an_hour_the_clock_leapt_over_is_refused_unless_the_logger_never_leaps() -> None:
    (wrong,) = refused(rows_of(["2026-03-29T00:30", "2026-03-29T01:30", "2026-03-29T02:30"]))
    assert wrong.where == "row 3, column at" and "leapt" in wrong.got
    assert 'zone = "+00:00"' in wrong.do
    text = "when,core\n2026-03-29T00:30,55\n2026-03-29T01:30,55\n2026-03-29T02:30,55\n"
    assert times(read(text, wide(zone="+00:00"))) == ["03-29 00:30:00", "03-29 01:30:00", "03-29 02:30:00"]
    assert times(read(text, wide(zone="America/Toronto")))[0] == "03-29 04:30:00"


def test_the_order_of_a_date_is_never_guessed() -> None:
    (wrong,) = refused("at,value,unit\n03/04/2026 07:40,55,C\n05/06/2026 07:40,55,C\n")
    assert wrong.where == "row 2, column at" and "format" in wrong.do
    (both,) = refused("at,value,unit\n25/04/2026,55,C\n04/25/2026,55,C\n")
    assert "both orders" in both.got


def test_one_row_that_settles_it_settles_the_file_and_is_named() -> None:
    found = read("at,value,unit\n03/04/2026 07:40,55,C\n25/04/2026 07:40,56,C\n")
    assert times(found) == ["04-03 06:40:00", "04-25 06:40:00"]
    assert any("day, month, year; row 3 settles it" in notice for notice in found.notices)
    assert times(read("at,value,unit\n03/04/2026,55,C\n04/25/2026,56,C\n")) == [
        "03-04 12:00:00",
        "04-25 11:00:00",
    ]


@pytest.mark.parametrize(
    ("form", "cell"),
    [
        ("%d/%m/%Y %H:%M", "03/05/2026 07:40"), ("%m/%d/%y %I:%M:%S %p", "05/03/26 07:40:00 AM"),
        ("%d %b %Y %H:%M", "03 May 2026 07:40"), ("%Y-%m-%d %H:%M:%S%z", "2026-05-03 07:40:00+0100"),
        ("excel", "46145.319444444444"),
    ],
)  # fmt: skip
def test_the_mappings_format(form: str, cell: str) -> None:
    found = read(f"when,core\n{cell},55\n", wide(time={"column": "when", "format": form}))
    assert times(found) == ["05-03 06:40:00"] and found.rows["R7"].timed.all()


def test_date_and_time_in_two_columns_and_days_counted() -> None:
    two = wide(time={"column": ["d", "t"], "format": "%d/%m/%Y %H:%M"})
    assert times(read("d,t,core\n03/05/2026,07:40,55\n", two)) == ["05-03 06:40:00"]
    counted = wide(time={"day_column": "day", "day_one": datetime(2026, 5, 3).date()})
    found = read("day,core\n1,55\n3,56\n", counted)
    assert times(found) == ["05-03 11:00:00", "05-05 11:00:00"] and not found.rows["R7"].timed.any()
    (wrong,) = refused("day,core\n1.5,55\n", counted)
    assert wrong.where == "row 2, column day"
