"""A tick writes the entry it stands for and the tick, together, once."""

from typing import Any

import pytest

from turnrow.yard import entries as e
from turnrow.yard.wrongs import Refused

from .conftest import at


@pytest.fixture
def hot(yard: Any) -> Any:
    yard.build("R7")
    yard.read("R7", 4, "60", "66.1")
    yard.desk.issue(at(4, 8), "ana")
    return yard


def _kinds(receipt: Any) -> list[str]:
    return [type(line.entry.what).__name__ for line in receipt.lines]


def test_a_turn_ticked_is_a_turn_and_a_tick_in_one_append(hot: Any) -> None:
    receipt = hot.desk.tick("R7 turn", at(4, 9), "ana", fields={"passes": "2", "machine": "turner"})
    assert _kinds(receipt) == ["Turned", "JobDone"]
    turned, tick = (line.entry for line in receipt.lines)
    assert turned.what.passes == 2 and tick.what.entries == (turned.id,) and tick.what.sheet > 0
    assert len(hot.desk.diary.history("R7").turns) == 2


def test_ticking_twice_writes_once(hot: Any) -> None:
    first = hot.desk.tick("R7 turn", at(4, 9), "ana")
    head = hot.book.head()
    again = hot.desk.tick("R7 turn", at(4, 9.5), "ben", device="other phone")
    assert again.lines == () and again.known == (first.lines[-1].number,) and hot.book.head() == head


def test_two_desks_on_one_book_tick_once(hot: Any) -> None:
    from turnrow.foreman.desk import Desk

    other = Desk(hot.book)
    hot.desk.tick("R7 turn", at(4, 9), "ana")
    assert other.tick("R7 turn", at(4, 9), "ben").lines == ()
    assert len(hot.desk.diary.history("R7").turns) == 1


def test_a_turn_written_by_hand_since_the_sheet_is_not_written_again(hot: Any) -> None:
    by_hand = hot.desk.write("turned", {"row": "R7"}, now=at(4, 9), who="ben")
    receipt = hot.desk.tick("R7 turn", at(4, 10), "ana")
    assert _kinds(receipt) == ["JobDone"]
    assert receipt.lines[0].entry.what.entries == (by_hand.lines[0].entry.id,)
    assert len(hot.desk.diary.history("R7").turns) == 1


def test_water_wants_its_amount_and_writes_nothing_without(yard: Any) -> None:
    yard.build("R7")
    yard.read("R7", 4, "60", "61")
    yard.say(4, e.Measured(row="R7", quantity="squeeze", amount=e.Amount(1_000_000, "score")))
    yard.desk.issue(at(4, 8), "ana")
    head = yard.book.head()
    with pytest.raises(Refused, match="water"):
        yard.desk.tick("R7 water", at(4, 9), "ana")
    assert yard.book.head() == head
    receipt = yard.desk.tick("R7 water", at(4, 9), "ana", fields={"water": "2.5 m3"})
    assert _kinds(receipt) == ["Watered", "JobDone"]
    assert receipt.lines[0].entry.what.water == e.Amount(2_500_000, "m3")


def test_a_probe_job_needs_its_round(yard: Any) -> None:
    yard.build("R7")
    yard.desk.issue(at(4, 6), "ana")
    with pytest.raises(Refused, match="round of row R7"):
        yard.desk.tick("R7 probe", at(4, 8), "ana")
    walked = yard.read("R7", 4, "60", "61", hour=8)
    receipt = yard.desk.tick("R7 probe", at(4, 9), "ana")
    assert _kinds(receipt) == ["JobDone"]
    assert receipt.lines[0].entry.what.entries == (walked.lines[0].entry.id,)


def test_a_probe_job_takes_its_readings_with_the_tick(yard: Any) -> None:
    yard.build("R7")
    yard.desk.refresh()
    receipt = yard.desk.tick(
        "R7 probe", at(4, 9), "ana", fields={"readings": "1@60: 60.5, 2@60: 61", "unit": "C"}
    )
    assert _kinds(receipt) == ["Round", "JobDone"]
    assert "R7 probe" in yard.desk.today(at(4, 10)).done


def test_not_today_wants_a_reason_and_may_be_done_after_all(hot: Any) -> None:
    with pytest.raises(Refused, match="Say why"):
        hot.desk.tick("R7 turn", at(4, 9), "ana", done=False)
    hot.desk.tick("R7 turn", at(4, 9), "ana", done=False, reason="turner broken")
    today = hot.desk.today(at(4, 10))
    assert "R7 turn" in today.put_off and not today.done
    assert len(hot.desk.diary.history("R7").turns) == 0
    hot.desk.tick("R7 turn", at(4, 15), "ana")
    today = hot.desk.today(at(4, 16))
    assert "R7 turn" in today.done and not today.put_off


def test_a_tick_struck_may_be_given_again(hot: Any) -> None:
    first = hot.desk.tick("R7 turn", at(4, 9), "ana")
    for line in first.lines:
        hot.desk.write("struck", {"line": str(line.number), "reason": "wrong row"}, now=at(4, 10), who="ana")
    assert "R7 turn" in hot.today(4, 11)
    again = hot.desk.tick("R7 turn", at(4, 11), "ana")
    assert _kinds(again) == ["Turned", "JobDone"]


def test_a_job_nobody_gave_is_refused_with_those_there_are(hot: Any) -> None:
    with pytest.raises(Refused, match="R7 turn"):
        hot.desk.tick("R9 turn", at(4, 9), "ana")


def test_the_move_to_curing_is_written_by_its_tick(yard: Any) -> None:
    yard.build("R7")
    for day in range(1, 16):
        yard.read("R7", day, "60", "61")
        if day in (2, 5, 8, 11, 14):
            yard.say(day, e.Turned(row="R7"), 9)
    for day in range(16, 21):
        yard.read("R7", day, "40", "41")
    yard.today(20)
    receipt = yard.desk.tick("R7 cure", at(20, 9), "ana", fields={"place": "shed 2"})
    assert _kinds(receipt) == ["MovedToCuring", "JobDone"]
