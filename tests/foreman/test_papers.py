"""From the desk to papers: the book's own lines, rule, probes and head stand on them."""

from datetime import date

import pytest

from turnrow.foreman.papers import day_paper, row_paper
from turnrow.records.day_sheet import day_sheet
from turnrow.records.row_sheet import row_sheet
from turnrow.yard import entries as e
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at


def test_a_row_paper_carries_rule_probes_limit_and_the_books_head(yard: Yard) -> None:
    yard.build("R1")
    yard.say(0, e.ProbeChecked(probe="P1", bath=e.Amount(0, "C"), read=e.Amount(100_000, "C")))
    for day in range(1, 5):
        yard.read("R1", day, "60", "58.5")
    yard.desk.refresh()
    paper = row_paper(yard.desk, "R1")
    assert paper.head.line == yard.book.head().line and paper.head.seal == yard.book.head().seal
    assert paper.rule is not None and paper.rule.id == yard.desk.choice("R1").id
    assert [what.probe for _, what in paper.probes] == ["P1"]
    assert "65.5 °C" in paper.further[0].words
    sheet = row_sheet(paper)
    assert len(sheet.readings) == 8
    assert not any("Probe P1 had no check" in gap for gap in sheet.missing)
    assert all(";" in said for name, said in sheet.rule if name == "Source")


def test_the_same_book_gives_the_same_sheet(yard: Yard) -> None:
    yard.build("R1")
    yard.read("R1", 1, "60", "58.5")
    yard.desk.refresh()
    assert row_sheet(row_paper(yard.desk, "R1")) == row_sheet(row_paper(yard.desk, "R1"))


def test_a_row_the_diary_does_not_know_is_refused_with_the_ones_it_does(yard: Yard) -> None:
    yard.build("R1")
    yard.desk.refresh()
    with pytest.raises(Refused, match="R1"):
        row_paper(yard.desk, "R9")


def test_a_day_paper_is_the_sheet_as_issued_with_what_was_ticked_since(yard: Yard) -> None:
    yard.build("R1")
    for day in range(1, 4):
        yard.read("R1", day, "70", "68")
    yard.desk.refresh()
    line = yard.desk.issue(at(3, 8), "ana")
    what = line.entry.what
    assert isinstance(what, e.SheetIssued) and what.advice
    key = what.advice[0].key
    yard.say(3, e.JobDone(key=key, sheet=line.number, done=False, reason="wind"), 9)
    yard.desk.refresh()
    sheet = day_sheet(day_paper(yard.desk, date(2026, 5, 3)))
    assert [job.text for job in sheet.jobs] == [advice.text for advice in what.advice]
    assert sheet.jobs[0].done.startswith("put off: wind")


def test_a_day_without_an_issued_sheet_is_refused(yard: Yard) -> None:
    with pytest.raises(Refused, match="No day sheet was issued"):
        day_paper(yard.desk, date(2026, 5, 3))
