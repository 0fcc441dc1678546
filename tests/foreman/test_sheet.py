"""The day's sheet: issued once, a line of the diary, compared with what came after."""

from typing import Any

import pytest

from turnrow.yard import entries as e

from .conftest import at


def _hot(yard: Any) -> None:
    yard.build("R7")
    for day in range(1, 4):
        yard.read("R7", day, "60", "61")
    yard.read("R7", 4, "60", "66.1")


def test_looking_writes_nothing(yard: Any) -> None:
    _hot(yard)
    before = yard.book.head()
    yard.today(4)
    yard.desk.standing("R7")
    yard.desk.morning_of(at(4).date())
    yard.desk.rule_for("R7")
    assert yard.book.head() == before


def test_the_sheet_is_a_line_that_names_the_lines_it_rests_on(yard: Any) -> None:
    _hot(yard)
    yard.desk.refresh()
    upto = yard.book.head().line
    line = yard.desk.issue(at(4, 8), "ana")
    assert line.number == upto + 1 == yard.book.head().line
    sheet = line.entry.what
    assert isinstance(sheet, e.SheetIssued)
    assert sheet.upto == upto and sheet.edition == yard.desk.handbook.edition
    turn = next(job for job in sheet.advice if job.key == "R7 turn")
    assert "66.1 °C at station 2" in turn.text and upto in turn.because
    assert yard.book.verify() == ()


def test_a_second_issue_shows_the_one_there(yard: Any) -> None:
    _hot(yard)
    first = yard.desk.issue(at(4, 8), "ana")
    head = yard.book.head()
    assert yard.desk.issue(at(4, 15), "ben") == first and yard.book.head() == head
    assert yard.desk.issue(at(5, 8), "ana").number > first.number


def test_a_struck_sheet_may_be_issued_again(yard: Any) -> None:
    _hot(yard)
    first = yard.desk.issue(at(4, 8), "ana")
    yard.say(4, e.Struck(line=first.number, reason="issued before the round"), 9)
    again = yard.desk.issue(at(4, 10), "ana")
    assert again.number > first.number and yard.desk.today(at(4, 11)).sheet == again


def test_since_says_what_is_new_changed_gone_and_done(yard: Any) -> None:
    _hot(yard)
    yard.build("R8")
    yard.desk.issue(at(4, 8), "ana")
    assert yard.desk.today(at(4, 8)).since == type(yard.desk.today(at(4, 8)).since)()  # nothing yet
    yard.read("R7", 4, "60", "67", hour=9)  # the same job with another number
    yard.read("R8", 4, "50", "51", hour=9)  # no longer unread
    yard.desk.refresh()
    since = yard.desk.today(at(4, 10)).since
    assert [(c.before.key, "67 °C" in c.after.text) for c in since.changed] == [("R7 turn", True)]
    assert [job.key for job in since.gone] == ["R8 probe"]
    assert [job.key for job in since.new] == ["R8 leave"]
    yard.desk.tick("R7 turn", at(4, 11), "ana")
    today = yard.desk.today(at(4, 12))
    assert [job.key for job in today.since.done] == ["R7 turn"] and "R7 turn" in today.done
    assert "R7 turn" not in [job.key for job in today.advice]


def test_a_day_is_seen_as_it_stood_at_its_midday(yard: Any) -> None:
    """By what had happened by then, whenever it was written."""
    yard.build("R7")
    yard.read("R7", 1, "60", "66")
    yard.say(1, e.Turned(row="R7"), 14)
    yard.read("R7", 2, "60", "61")
    yard.desk.refresh()
    then = yard.desk.morning_of(at(1).date())
    assert "R7 turn" in [job.key for job in then.advice]
    assert "R7 turn" not in yard.today(2)
    yard.read("R7", 1, "60", "73", hour=10)  # told late, walked at ten of that day
    yard.desk.refresh()
    told = {job.key: job for job in yard.desk.morning_of(at(1).date()).advice}
    assert "73 °C" in told["R7 turn"].text


def test_a_row_not_yet_built_has_no_jobs_that_morning(yard: Any) -> None:
    yard.build("R7", day=3)
    yard.desk.refresh()
    assert yard.desk.morning_of(at(1).date()).advice == ()


def test_a_line_dated_after_today_says_nothing_of_today(yard: Any) -> None:
    yard.build("R7")
    yard.read("R7", 1, "60", "61")
    yard.read("R7", 5, "60", "90")
    assert "R7 fire" not in yard.today(1) and "R7 fire" in yard.today(5)


@pytest.mark.parametrize("hour", [0, 12, 23.9])
def test_a_sheet_stands_through_its_day(yard: Any, hour: float) -> None:
    yard.build("R7")
    line = yard.desk.issue(at(4, 0), "ana")
    assert yard.desk.today(at(4, hour)).sheet == line
    assert yard.desk.today(at(5, 0)).sheet is None
