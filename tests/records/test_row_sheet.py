"""The row sheet says all an inspector asks for: lines, reasons, what is struck, late and missing.

What they ask: 21 CFR 112.161 (actual values, date and time, who, review), 14 CCR 17869 (all readings,
dates of turnings), 40 CFR 503.17; READ as listed in the handbook's sources, the two years of 21 CFR
112.164 from MEMORY.
"""

import hashlib
import re
from dataclasses import replace
from datetime import timedelta

import msgspec
import pytest

from turnrow.handbook.book import handbook
from turnrow.records.row_csv import row_csv
from turnrow.records.row_lists import FULL_LIST
from turnrow.records.row_paper import HeadSeal, RowPaper
from turnrow.records.row_picture import run_words
from turnrow.records.row_sheet import row_sheet
from turnrow.records.verdict import line_list, words
from turnrow.sanitation.judge import judge
from turnrow.sanitation.ledger import row_standing
from turnrow.sanitation.record import Record
from turnrow.sanitation.standing import RowStanding, Suspect
from turnrow.yard import entries
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO

from .conftest import START, WINDROW, Pages, build, ordinary, paper_of, stand


def test_every_reading_in_force_is_printed_as_typed_with_its_line_and_who() -> None:
    pages = Pages()
    build(pages, "R1", 2)
    pages.round(1, "R1", [54.9, 61.0])
    pages.round(2, "R1", [130.8, 140], "F", who="Ben")
    sheet = row_sheet(paper_of(pages, "R1"))
    assert sheet.readings == (
        ("2026-05-03 09:00", "1", "90", "54.9", "°C", "3.1", "Ana", "phone 2", ""),
        ("2026-05-03 09:00", "2", "90", "61", "°C", "3.2", "Ana", "phone 2", ""),
        ("2026-05-04 09:00", "1", "90", "130.8", "°F", "4.1", "Ben", "phone 2", ""),
        ("2026-05-04 09:00", "2", "90", "140", "°F", "4.2", "Ben", "phone 2", ""),
    )
    assert "All 4 readings in force" in sheet.readings_note


def test_the_table_of_days_gives_the_coldest_with_its_line_and_says_what_was_not_read() -> None:
    pages = Pages()
    build(pages, "R1", 2)
    pages.round(1, "R1", [60.0, 58.0])
    pages.round(1.2, "R1", [57.5, None])
    pages.round(3, "R1", [61.0, None])
    (grid,) = row_sheet(paper_of(pages, "R1")).grids
    assert [row.day for row in grid.rows] == ["3 May 2026", "4 May", "5 May"]
    assert [(c.value, c.where) for c in grid.rows[0].cells] == [("57.5", "4.1"), ("58", "3.2")]
    assert [c.value for c in grid.rows[1].cells] == ["", ""]
    assert [c.value for c in grid.rows[2].cells] == ["61", ""]


def test_a_struck_line_stays_readable_with_who_struck_it_and_why_and_no_longer_counts() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    wrong = pages.round(1, "R1", [161.0])
    pages.round(1.1, "R1", [61.0])
    pages.write(1.2, entries.Struck(line=wrong, reason="typed 161 for 61"), who="Ben")
    sheet = row_sheet(paper_of(pages, "R1"))
    ((line, said, by, why),) = sheet.struck
    assert (line, by, why) == ("3", "Ben, line 5", "typed 161 for 61")
    assert "161" in said and "Ana" in said
    assert [row[3] for row in sheet.readings] == ["61"]


def test_a_line_written_days_after_is_flagged_late_and_one_of_the_same_day_is_not() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    pages.round(1, "R1", [60.0], late=0.5)
    late = pages.round(2, "R1", [60.0], late=3.0)
    pages.write(3, entries.Turned(row="R1"), late=1.2, day_only=True)
    rows = row_sheet(paper_of(pages, "R1")).late
    assert [(row[0], row[4]) for row in rows] == [(str(late), "3 days after")]


def test_a_rule_from_memory_says_so_in_the_rule_and_among_what_is_missing() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    pages.round(1, "R1", [60.0])
    paper = paper_of(pages, "R1", rule=msgspec.structs.replace(WINDROW, known="MEMORY"))
    sheet = row_sheet(paper)
    assert sheet.memory
    assert "the text of this rule was not read; shown from memory" in dict(sheet.rule)["Its text"]
    assert any("shown from memory" in gap for gap in sheet.missing)


def test_policies_used_are_named_with_the_ones_the_text_also_allows() -> None:
    sheet = row_sheet(paper_of(_plain(), "R1"))
    assert dict(sheet.rule)["Read by continuity"] == "consecutive; the text also allows cumulative"
    known = replace(paper_of(_plain(), "R1"), otherwise={("continuity", "cumulative"): "PASS"})
    said = dict(row_sheet(known).rule)["Read by continuity"]
    assert said == "consecutive; the text also allows cumulative (then: proven hot)"


def test_no_rule_is_said_and_still_gives_a_paper() -> None:
    pages = _plain()
    sheet = row_sheet(replace(paper_of(pages, "R1"), rule=None))
    assert sheet.missing[0].startswith("No rule is chosen")


def _plain() -> Pages:
    pages = Pages()
    build(pages, "R1", 1)
    pages.round(1, "R1", [60.0])
    return pages


def test_what_an_inspector_will_not_find_is_listed() -> None:
    pages = Pages()
    build(pages, "R1", 2)
    pages.round(1, "R1", [60.0, 59.0])
    pages.write(
        3, entries.Round(row="R1", unit="C", readings=(entries.Reading("1", -1, 60 * MICRO),)), day_only=True
    )
    gaps = " ".join(row_sheet(paper_of(pages, "R1")).missing)
    assert "nothing was read: 4 May" in gaps
    assert "not every station was read: 5 May" in gaps
    assert "1 reading without the depth" in gaps
    assert "1 reading with the date but not the time" in gaps
    assert "Probe P1 had no check" in gaps
    assert "The probe is not named on 1 line: 4" in gaps
    assert "No supervisor has reviewed" in gaps and "112.161(b)" in gaps
    assert "Materials without the load they came in: oat straw" in gaps


@pytest.mark.parametrize(
    "days_before, found", [(0, True), (300, True), (366, True), (367, False), (-1, False)]
)
def test_a_probe_counts_as_checked_for_twelve_months_and_never_backwards(
    days_before: int, found: bool
) -> None:
    pages = Pages()
    build(pages, "R1", 1)
    check = entries.ProbeChecked(probe="P1", bath=Amount(0, "C"), read=Amount(200_000, "C"))
    pages.write(1 - days_before, check)
    pages.round(1, "R1", [60.0])
    gaps = " ".join(row_sheet(paper_of(pages, "R1")).missing)
    assert ("Probe P1 had no check" not in gaps) is found


def test_a_review_covers_the_lines_up_to_it_and_an_own_review_is_named() -> None:
    pages = _plain()
    upto = len(pages.lines)
    pages.write(2, entries.Reviewed(row="R1", upto=upto), who="Dora")
    assert not any("112.161(b)" in gap for gap in row_sheet(paper_of(pages, "R1")).missing)
    pages.round(3, "R1", [61.0])
    assert any(f"Reviewed up to line {upto}" in gap for gap in row_sheet(paper_of(pages, "R1")).missing)
    pages.write(4, entries.Reviewed(row="R1", upto=len(pages.lines)), who="Ana")
    assert any("also wrote lines of this row: Ana" in gap for gap in row_sheet(paper_of(pages, "R1")).missing)


def test_turns_say_whether_the_rule_counts_them() -> None:
    """W08 of the rule cases: turns before the row was hot do not count (turns only inside the run)."""
    pages = Pages()
    build(pages, "R1", 1)
    for day, temp in enumerate([35.0, 45.0, 50.0, *[58.0] * 15], 1):
        pages.round(day, "R1", [temp])
        if day in (1, 2, 8, 12, 16):
            pages.write(day + 0.1, entries.Turned(row="R1"))
    history = pages.history("R1")
    standing = judge(WINDROW, Record.of(history))
    sheet = row_sheet(paper_of(pages, "R1", standing=RowStanding("R1", standing, None, ())))
    assert standing.turns_counted == 3
    assert [row[4] for row in sheet.turns] == [
        "before the run",
        "before the run",
        "counts",
        "counts",
        "counts",
    ]


def test_a_merged_row_says_from_which_line_the_proof_began_and_marks_what_came_before() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    build(pages, "R2", 1)
    for day in range(1, 6):
        pages.round(day, "R1", [60.0])
    merge = pages.write(5.5, entries.Merged(row="R1", sources=("R1", "R2")))
    for day in range(6, 9):
        pages.round(day, "R1", [61.0])
    diary = pages.diary()
    stood = row_standing(WINDROW, diary.history("R1"), diary.history)
    assert stood.since == merge
    sheet = row_sheet(paper_of(pages, "R1", standing=stood))
    assert ("proof began anew", "from this line on", str(merge)) in sheet.dates
    assert [row[8] for row in sheet.readings] == ["before the proof began anew"] * 5 + [""] * 3
    assert len(Record.of(diary.history("R1"), paper_of(pages, "R1", standing=stood).since).readings) == 3
    assert any("pushed into R1" in row[1] for row in sheet.others)


def test_suspect_readings_are_listed_marked_and_the_standing_without_them_is_given() -> None:
    history = ordinary(days=8, stations=2)
    pages = Pages()
    ordinary(days=8, stations=2, pages=pages)
    stood = stand(history, (Suspect("2", 1, 3, "jump", "It rose 20 °C in an hour."),))
    stood = replace(stood, without_suspects=replace(stood.standing, hot_days=1))
    sheet = row_sheet(paper_of(pages, "R7", standing=stood))
    assert [row[8] for row in sheet.readings].count("suspect: jump") == 2
    assert sheet.suspects[0][4] == "It rose 20 °C in an hour."
    assert sheet.without is not None and sheet.without.figures[1] == ("1", "days proven hot in all")
    assert sum(cell.suspect for grid in sheet.grids for row in grid.rows for cell in row.cells) == 2


def test_a_long_log_says_what_is_not_printed_and_names_the_file_that_holds_it() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    for step in range(FULL_LIST // 20 + 1):
        many = tuple(entries.Reading("1", 900, (50 + i % 9) * MICRO) for i in range(20))
        pages.write(1 + step / 48, entries.Round(row="R1", unit="C", readings=many, probe="P1"))
    paper = paper_of(pages, "R1")
    sheet = row_sheet(paper)
    assert sheet.readings == ()
    digest = hashlib.sha256(row_csv(paper)).hexdigest()
    assert digest in sheet.readings_note.replace(" ", "")
    assert f"{FULL_LIST + 20} readings" in sheet.readings_note
    printed = sum(
        int(re.search(r"(\d+) read", c.more)[1]) for g in sheet.grids for r in g.rows for c in r.cells
    )  # type: ignore[index]
    assert printed == FULL_LIST + 20


def test_nothing_read_gives_a_paper_that_says_so() -> None:
    pages = Pages()
    build(pages, "R1", 3)
    history = pages.history("R1")
    stood = RowStanding("R1", judge(WINDROW, Record.of(history)), None, ())
    sheet = row_sheet(paper_of(pages, "R1", standing=stood))
    assert sheet.grids == () and sheet.readings == ()
    assert sheet.missing[0] == "No temperature has been written down for this row."
    assert sheet.verdict.word == "In progress"


def test_a_row_still_being_proven_is_not_met_yet() -> None:
    """Three hot days are no proof and no failure; once it cures, or a fact refutes it, it is over."""
    pages = Pages()
    build(pages, "R1", 1)
    for day in (1, 2, 3):
        pages.round(day, "R1", [60])
    stood = row_standing(WINDROW, pages.history("R1"), pages.history)
    assert stood.standing.verdict == "FAIL"
    assert words(stood.standing) == (
        "In progress",
        "The rule is not met yet; what it is short of is still needed.",
    )
    organic = handbook().rules["US-NOP-WINDROW"]
    refuted = row_standing(organic, pages.history("R1"), pages.history, {"cn_initial": "50"})
    assert words(refuted.standing)[0] == "Not proven hot"
    pages.write(4, entries.MovedToCuring(row="R1"))
    cured = row_standing(WINDROW, pages.history("R1"), pages.history)
    assert cured.standing.verdict == "FAIL"
    assert words(cured.standing) == ("Not proven hot", "The record shows that the rule is not met.")


def test_a_broken_run_says_how_long_the_newest_is() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    for day, heat in enumerate([60, 60, 60, 40, 60], 1):
        pages.round(day, "R1", [heat])
    stood = row_standing(WINDROW, pages.history("R1"), pages.history).standing
    assert words(stood)[1].endswith("still needed. The newest run has 1 of 15 days.")
    pages.round(6, "R1", [40])
    stood = row_standing(WINDROW, pages.history("R1"), pages.history).standing
    assert words(stood)[1].endswith("was not shown to be hot, so the run starts again.")
    total = row_standing(WINDROW, pages.history("R1"), pages.history, {}, {"continuity": "cumulative"})
    assert "run" not in words(total.standing)[1]


@pytest.mark.parametrize(
    "rule_id, said",
    [
        ("US-503-PFRP-WINDROW", "40 CFR 503.17(a) asks for 5 years."),
        ("US-FSMA-TURNED", "21 CFR 112.164 asks for 2 years (from memory, not read)."),
        ("FR-COMPOST-TURNED", "art. 30 asks for 10 years."),
        ("UK-PAS100", "not in the handbook for this rule"),
    ],
)
def test_how_long_to_keep_names_the_law_and_the_yards_ten_years(rule_id: str, said: str) -> None:
    paper = paper_of(_plain(), "R1", rule=msgspec.structs.replace(WINDROW, id=rule_id))
    kept = row_sheet(paper).kept
    assert said in kept and "10 years at least" in kept and "2036" in kept


def test_lines_following_one_another_are_drawn_together() -> None:
    assert line_list((412, 398, 401, 402, 403, 403)) == "398, 401–403, 412"
    assert line_list(()) == ""


def test_the_papers_own_date_is_that_of_the_head_line_not_of_today() -> None:
    pages = _plain()
    paper = paper_of(pages, "R1")
    head = HeadSeal(9, "ab" * 32, START + timedelta(days=400))
    assert row_sheet(replace(paper, head=head)).made == "2027-06-07T09:00:00+01:00"
    assert isinstance(paper, RowPaper)


@pytest.mark.parametrize(
    "continuity, first",
    [("consecutive", ("4 of 15", "hot days in a row")), ("cumulative", ("16 of 15", "days proven hot"))],
)
def test_the_first_figure_is_the_one_the_rule_is_read_by(continuity: str, first: tuple[str, str]) -> None:
    """Sixteen hot days in all never look like fifteen in a row."""
    pages = _plain()
    stood = stand(pages.history("R1"), hot_days=16, longest_run_days=4, policies={"continuity": continuity})
    assert row_sheet(paper_of(pages, "R1", standing=stood)).verdict.figures[0] == first
    assert run_words(stood.standing).startswith(
        "4 hot days in a row, 15" if first[0][0] == "4" else "16 hot days, 15"
    )


def test_weeks_without_a_reading_while_curing_are_one_line_of_the_table_and_said_as_such() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    for day in (1, 2, 4):
        pages.round(day, "R1", [60.0])
    pages.write(4.5, entries.MovedToCuring(row="R1"))
    for day in (11, 13):
        pages.round(day, "R1", [40.0])
    sheet = row_sheet(paper_of(pages, "R1"))
    assert [row.day for row in sheet.grids[0].rows] == [
        *("3 May 2026", "4 May", "5 May", "6 May", "7 May to 12 May", "13 May", "14 May", "15 May")
    ]
    gaps = " ".join(sheet.missing)
    assert "first reading and the move to curing on which nothing was read: 5 May." in gaps
    assert "moved to curing on 6 May it was read on 2 of the 9 days" in gaps
