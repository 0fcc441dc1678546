"""The season book: a year counted from the diary, struck lines left out, and printed twice alike."""

import os
import subprocess
import sys
from datetime import UTC, datetime

import pytest

from turnrow.foreman.desk import Desk
from turnrow.foreman.season import season_book, years
from turnrow.journal.book import Book
from turnrow.records.press import press
from turnrow.records.season_book import season_sheet

NOW = datetime(2026, 12, 30, 12, tzinfo=UTC)
SAID = (
    ("yard laid out", "2025-12-01", {"name": "Low Field", "zone": "Europe/Dublin"}),
    ("load in", "2025-12-31", {"load": "L0", "material": "straw", "amount": "9 t"}),
    ("load in", "2026-02-01", {"load": "L1", "material": "straw", "amount": "3 t"}),
    ("load in", "2026-02-01", {"load": "L2", "material": "straw", "amount": "2.5 t"}),
    ("load in", "2026-02-01", {"load": "L3", "material": "straw", "amount": "8 m3"}),
    ("load in", "2026-02-02", {"load": "L4", "material": "straw", "amount": "3 t", "refused": "glass"}),
    ("row built", "2026-02-03", {"row": "R1", "parts": "straw: 3 t: L1"}),
    ("round", "2026-02-05", {"row": "R1", "readings": "1@90:61 C"}),
    ("turned", "2026-02-06", {"row": "R1", "water": "2 m3"}),
    ("turned", "2026-02-09", {"row": "R1"}),
    ("complaint", "2026-03-01", {"nature": "smell", "by": "a neighbour"}),
    ("struck", "2026-03-02", {"line": "10", "reason": "wrong day"}),
)


@pytest.fixture
def desk(tmp_path):
    with Book.create(str(tmp_path / "y.journal")) as book:
        desk = Desk(book)
        for kind, day, fields in SAID:
            desk.write(kind, {**fields, "happened": day}, now=NOW, who="Ana")
        yield desk


def test_a_year_counts_what_happened_in_it_each_unit_by_itself(desk: Desk) -> None:
    book = season_book(desk, 2026)
    assert book.loads == (("straw", "5.5 t and 8 m³", 3, (3, 4, 5)),)
    assert [line.number for line in book.refused] == [6]
    assert book.struck == 1 and book.lines == len(SAID) - 2
    assert years(desk) == (2026, 2025)


def test_a_row_of_the_year_has_its_turns_in_force_and_its_hottest_reading(desk: Desk) -> None:
    (row,) = season_book(desk, 2026).rows
    assert (row.row, row.turns, row.hottest) == ("R1", 1, "61 °C")
    assert season_book(desk, 2025).rows == ()


def test_water_complaints_and_what_binds_longest_stand_in_it(desk: Desk) -> None:
    book = season_book(desk, 2026)
    assert book.water == (("R1", "2 m³", (9,)),)
    assert [line.number for line in book.told] == [11]
    assert book.keeping[-1].years == 10


def test_a_lot_came_to_what_was_measured_when_it_was_made_and_a_return_adds_nothing(desk: Desk) -> None:
    """3 t of the row, 2 t when it was lifted; 1 t left and half of it came back, which is said beside."""
    out = {"ticket": "T1", "lot": "F", "amount": "1 t", "customer": "Ann", "unreleased": "trial"}
    for kind, day, fields in (
        ("lot made", "2026-04-01", {"lot": "F", "sources": "row R1: 3 t", "amount": "2 t"}),
        ("customer", "2026-04-02", {"customer": "Ann"}),
        ("load out", "2026-04-03", out),
        ("load back", "2026-04-04", {"ticket": "T1", "amount": "0.5 t"}),
    ):
        desk.write(kind, {**fields, "happened": day}, now=NOW, who="Ana")
    book = season_book(desk, 2026)
    assert [(one.lot, one.came_to) for one in book.lots] == [("F", "2 t")]
    assert [(much, count) for _, much, count, _ in book.sold] == [("1 t", 1)]
    left = next(part for part in season_sheet(book).parts if part.title == "What left")
    assert "0.5 t of load out T1 came back" in left.after[0].text and left.after[0].lines


def test_the_book_is_printed_twice_alike(desk: Desk) -> None:
    sheet = season_sheet(season_book(desk, 2026))
    assert press(sheet) == press(sheet)
    assert sheet.title == "Season book 2026" and sheet.qr


HASHED = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from turnrow.foreman.desk import Desk
from turnrow.foreman.season import season_book
from turnrow.journal.book import Book
from turnrow.records.press import press
from turnrow.records.season_book import season_sheet
with Book.open(sys.argv[1]) as book:
    Path(sys.argv[2]).write_bytes(press(season_sheet(season_book(Desk(book), 2026)), "a4"))
"""


def test_a_year_under_duties_of_equal_years_prints_alike_whatever_the_hashes(desk: Desk, tmp_path) -> None:
    """Python orders a set of texts by a number drawn anew for each run (PYTHONHASHSEED)."""
    for n, rule in enumerate(("US-503-PFRP-WINDROW", "US-NOP-WINDROW", "DE-BIOABFV", "FR-COMPOST-TURNED")):
        row = f"R{n + 2}"
        desk.write("row built", {"row": row, "happened": "2026-03-01"}, now=NOW, who="Ana")
        desk.write("turned", {"row": row, "happened": "2026-03-02"}, now=NOW, who="Ana")
        chosen = {"rule": rule, "row": row, "happened": "2026-03-02"}
        desk.write("rule chosen", chosen, now=NOW, who="Ana")
    years = [one.years for one in season_book(desk, 2026).keeping[:-1]]
    assert len(years) > len(set(years))  # two that would swap
    printed = set()
    for seed in ("1", "2", "3", "4", "5", "6"):
        out = tmp_path / "season.pdf"
        subprocess.run(
            [sys.executable, "-c", HASHED, desk.book.store.where, str(out)],
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        printed.add(out.read_bytes())
    assert len(printed) == 1


def test_each_rule_and_duty_says_how_it_is_known(desk: Desk) -> None:
    desk.write(
        "rule chosen",
        {"rule": "US-503-PFRP-WINDROW", "row": "R1", "happened": "2026-02-03"},
        now=NOW,
        who="Ana",
    )
    book = season_book(desk, 2026)
    assert book.rows[0].known == desk.handbook.rules["US-503-PFRP-WINDROW"].known
    sheet = season_sheet(book)
    said = {part.title: part for part in sheet.parts}
    assert said["Rows"].table is not None
    assert said["Rows"].table.rows[0][-1] == f"US-503-PFRP-WINDROW ({book.rows[0].known})"
    kept = [fact.text for fact in said["How long this is kept"].facts]
    assert all("(READ)" in text or "(MEMORY)" in text or "(OWN)" in text for text in kept[:-1])
    assert "MEMORY" in kept[-1]
