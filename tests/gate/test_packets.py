"""A file's readings as entries: nothing twice, nothing half, what was struck stays struck."""

from collections.abc import Callable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from turnrow.gate.files import read_temperatures
from turnrow.gate.handed import Handed
from turnrow.gate.packets import Packet, packet
from turnrow.yard.entries import LoggerBlock, Note, Struck, Turned, Watered
from turnrow.yard.wrongs import Refused

HEAD = "at,station,value,unit\n"
ONE = HEAD + "2026-05-03T07:40,1,54.9,C\n2026-05-03T08:40,1,55.1,C\n"
MAP = {
    "time": {"column": "at"},
    "reading": [{"column": "core", "unit": "C"}],
    "event": {
        "column": "did",
        "means": {"turned": "turned", "wet": ["turned", "watered 500 L"], "lid": "note"},
    },
}
Take = Callable[..., Packet]


@pytest.fixture
def take(desk: Any, now: datetime) -> Take:
    """Read a text, make its entries, and put them into the diary as the book would."""

    def one(text: str, row: str = "R7", mapping: Any = None, **more: Any) -> Packet:
        intake = read_temperatures(
            text.encode(), "log.csv", zone=ZoneInfo("Europe/Dublin"), mapping=mapping, row=row
        )
        made = packet(intake, desk.diary, Handed(text.encode(), "log.csv", now, "office", **more))
        desk.blobs.update(made.blobs)
        desk.add(*made.entries)
        return made

    return one


def test_a_file_becomes_one_block_a_row_and_reads_back(take: Take, desk: Any) -> None:
    made = take(ONE)
    (entry,) = made.entries
    assert isinstance(entry.what, LoggerBlock) and entry.what.count == made.readings == 2
    assert entry.what.first.isoformat() == "2026-05-03T07:40:00+01:00"
    assert desk.diary.history("R7").readings.value.tolist() == [54_900_000, 55_100_000]


def test_the_same_file_twice_adds_nothing_whoever_takes_it(take: Take) -> None:
    take(ONE)
    again = take(ONE)
    assert (again.entries, again.readings, again.known) == ((), 0, 2)


def test_the_same_readings_in_another_order_unit_or_file_are_known(take: Take) -> None:
    take(HEAD + "2026-05-03T07:40,1,55,C\n2026-05-03T08:40,1,60,C\n")
    assert take(HEAD + "2026-05-03T07:40Z,1,140,F\n2026-05-03T07:40+01:00,1,131,F\n").readings == 0


def test_ids_are_made_from_row_and_content(take: Take) -> None:
    here, there = take(ONE), take(ONE, row="R8")
    assert here.entries[0].id != there.entries[0].id
    assert here.entries[0].what.blob == there.entries[0].what.blob


def test_the_log_of_another_row_is_taken_and_said(take: Take, desk: Any) -> None:
    """The gate cannot know which row is right; an inspector would ask why two rows share a log."""
    assert take(ONE).notices == ()
    (said,) = take(ONE, row="R8").notices
    assert said.startswith("R8: row R7 holds these readings already (line ")
    both = HEAD.replace("at,", "at,row,") + "2026-05-04T07:40,R7,1,54.9,C\n2026-05-04T07:40,R8,1,55.9,C\n"
    assert take(both, row="").notices == ()


def test_a_log_that_has_grown_adds_only_its_new_end(take: Take, desk: Any) -> None:
    take(ONE)
    grown = take(ONE + "2026-05-03T09:40,1,56,C\n2026-05-03T07:40,2,61,C\n")
    assert (grown.readings, grown.known) == (2, 2)
    assert len(desk.diary.history("R7").readings) == 4


def test_a_reading_twice_in_the_file_is_taken_once_and_said(take: Take) -> None:
    made = take(ONE + "2026-05-03T07:40,1,54.9,C\n")
    assert made.readings == 2 and any("twice in the file" in notice for notice in made.notices)


def test_two_values_for_one_moment_are_both_kept_and_said(take: Take, desk: Any) -> None:
    take(ONE)
    made = take(HEAD + "2026-05-03T07:40,1,66,C\n")
    assert made.readings == 1 and any("two values" in notice for notice in made.notices)
    assert sorted(desk.diary.history("R7").readings.value.tolist())[-1] == 66_000_000


def test_events_become_turns_waterings_and_notes_once(take: Take, desk: Any) -> None:
    text = "at,core,did\n2026-05-03T07:40,60,turned\n2026-05-03T08:40,40,\n"
    text += "2026-05-04T07:40,50,wet\n2026-05-05,45,lid\n"
    kinds = [type(entry.what) for entry in take(text, mapping=MAP).entries]
    assert kinds == [LoggerBlock, Turned, Turned, Watered, Note]
    assert take(text, mapping=MAP).entries == ()
    assert len(desk.diary.history("R7").turns) == 2
    assert desk.diary.history("R7").of(Watered)[0][1].water.unit == "L"


def test_what_was_struck_stays_struck_unless_it_is_asked_for(take: Take, desk: Any) -> None:
    text = "at,core,did\n2026-05-03T07:40,60,turned\n"
    take(text, mapping=MAP)
    block, turn = desk.diary.head - 1, desk.diary.head
    desk.write(Struck(line=block, reason="wrong row"))
    desk.write(Struck(line=turn, reason="wrong row"))
    still = take(text + "2026-05-03T08:40,61,\n", mapping=MAP)
    assert still.readings == 1 and sum("struck" in notice for notice in still.notices) == 2
    back = take(text, mapping=MAP, again=True)
    assert back.readings == 1 and len(back.entries) == 2
    assert len(desk.diary.history("R7").readings) == 2 and len(desk.diary.history("R7").turns) == 1


def test_a_row_that_is_not_known_and_a_file_without_row_are_refused(take: Take) -> None:
    with pytest.raises(Refused) as unknown:
        take(ONE, row="R9")
    assert "R7" in unknown.value.refusals[0].do or "R8" in unknown.value.refusals[0].do
    with pytest.raises(Refused) as none:
        take(ONE, row="")
    assert "--row" in none.value.refusals[0].do


def test_a_reading_more_than_a_day_ahead_is_refused_at_its_row(take: Take) -> None:
    take(HEAD + "2026-06-02T08:00Z,1,55,C\n")  # a day after the desk's now, to the second
    with pytest.raises(Refused) as caught:
        take(HEAD + "2026-05-03T08:00Z,1,55,C\n2026-06-02T08:00:01Z,1,55,C\n")
    assert [wrong.where for wrong in caught.value.refusals] == ["row 3, reading of R7"]
