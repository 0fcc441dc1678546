"""The CSV holds every reading and gives back what went in; a spreadsheet finds no formula in it."""

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from turnrow.records.row_csv import DAY_HEAD, READING_HEAD, STARTS, days_csv, guarded, row_csv
from turnrow.yard import entries
from turnrow.yard.days import moment
from turnrow.yard.numbers import MICRO, parse_micro

from .conftest import Pages, build, ordinary, paper_of


def rows(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline="")))


def test_every_reading_comes_back_from_the_file_exactly() -> None:
    pages = Pages()
    history = ordinary(days=12, stations=4, pages=pages, unit="F")
    back = rows(row_csv(paper_of(pages, "R7")))
    readings = history.readings
    assert len(back) == len(readings)
    for i, row in enumerate(back):
        assert parse_micro(row["value"]) == readings.value[i]
        assert row["unit"] == "F" and parse_micro(row["depth_cm"]) == 90 * MICRO
        assert row["at"] == moment(int(readings.at[i]), history.zone).isoformat()
        assert (int(row["line"]), int(row["item"])) == (readings.line[i], readings.item[i])
        assert row["station"] == readings.stations[readings.station[i]]
        assert (row["who"], row["device"], row["counted"]) == ("Ana", "phone 2", "yes")


def test_a_line_is_as_rfc_4180_wants_it() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    read = (entries.Reading('north, "by the gate"', 900, 60 * MICRO),)
    pages.write(1, entries.Round(row="R1", unit="C", readings=read))
    data = row_csv(paper_of(pages, "R1"))
    lines = data.decode().split("\r\n")
    assert lines[0] == ",".join(READING_HEAD) and lines[-1] == ""
    assert '"north, ""by the gate"""' in lines[1]  # RFC 4180 section 2, rules 6 and 7
    assert b"\n" not in data.replace(b"\r\n", b"")


def test_a_date_without_a_time_stays_a_date() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    read = (entries.Reading("1", -1, -4 * MICRO),)
    pages.write(1, entries.Round(row="R1", unit="C", readings=read), day_only=True)
    (row,) = rows(row_csv(paper_of(pages, "R1")))
    assert (row["at"], row["depth_cm"], row["value"]) == ("2026-05-03", "", "-4")


@given(st.text(max_size=20))
def test_words_are_never_a_formula_and_come_back_as_they_were(text: str) -> None:
    kept = guarded(text)
    assert not kept.startswith(tuple(s for s in STARTS if s != "'"))
    assert kept.removeprefix("'") == text


@given(
    st.lists(
        st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=8),
        min_size=1,
        max_size=4,
    )
)
def test_any_names_come_back_from_the_file(names: list[str]) -> None:
    pages = Pages()
    build(pages, "R1", 0)
    read = tuple(entries.Reading(name, 900, 60 * MICRO) for name in names)
    pages.write(1, entries.Round(row="R1", unit="C", readings=read), who=names[0])
    back = rows(row_csv(paper_of(pages, "R1")))
    assert [row["station"].removeprefix("'") for row in back] == names
    assert {row["who"].removeprefix("'") for row in back} == {names[0]}


def test_the_days_file_has_a_line_for_every_day_and_station_unread_ones_too() -> None:
    pages = Pages()
    build(pages, "R1", 2)
    pages.round(1, "R1", [60.0, 58.0])
    pages.round(1.2, "R1", [57.5, None])
    pages.round(3, "R1", [61.0, 59.0])
    back = rows(days_csv(paper_of(pages, "R1")))
    assert tuple(back[0]) == DAY_HEAD
    assert [
        (r["day"], r["station"], r["coldest"], r["hottest"], r["readings"], r["day_hot"]) for r in back
    ] == [
        ("2026-05-03", "1", "57.5", "60", "2", "yes"),
        ("2026-05-03", "2", "58", "58", "1", "yes"),
        ("2026-05-04", "1", "", "", "0", "not known"),
        ("2026-05-04", "2", "", "", "0", "not known"),
        ("2026-05-05", "1", "61", "61", "1", "yes"),
        ("2026-05-05", "2", "59", "59", "1", "yes"),
    ]
    assert (back[0]["coldest_line"], back[0]["coldest_item"]) == ("4", "1")
