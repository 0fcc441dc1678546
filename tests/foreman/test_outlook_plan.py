"""What an outlook is made of: only what was known, only rows that were over; what the desk does with it."""

from dataclasses import replace

import numpy as np
import pytest

from turnrow.foreman.desk import Desk
from turnrow.foreman.outlook_plan import MORNINGS, TEACHERS, Plan, key_of, known_then, plan_of
from turnrow.heap.outlook import Band, Outlook, Passing
from turnrow.schedule.ahead import Ahead
from turnrow.yard import days
from turnrow.yard import entries as e
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO

from .conftest import Yard, at

NONE = Band(0.0, 0.0, 0.0, 0.0, 0.0)


def plan(desk: Desk, day: int, row: str = "R7") -> Plan:
    desk.refresh()
    found = plan_of(desk, row, at(day, 8))
    assert found is not None
    return found


def read_daily(yard: Yard, row: str, first: int, last: int, heat: str = "60") -> None:
    for day in range(first, last + 1):
        yard.read(row, day, heat, heat)


def test_each_earlier_morning_knows_what_had_happened_and_was_written_by_then(yard: Yard) -> None:
    yard.build("R7")
    read_daily(yard, "R7", 1, 6)
    yard.say(6, e.Turned(row="R7"), 10)
    read_daily(yard, "R7", 7, 12)
    mornings = plan(yard.desk, 12).mornings
    assert len(mornings) == MORNINGS
    for one in mornings:
        known = one.heap.known
        assert known.read.at_s.max() <= one.at_s and one.at_s % days.DAY_S == 9 * 3600
        turned = one.at_s >= days.seconds(at(6, 10.5))
        assert len(known.done) == turned


def test_a_reading_written_late_was_not_known_but_a_diary_brought_in_later_was(yard: Yard) -> None:
    yard.build("R7")
    read_daily(yard, "R7", 1, 3)
    number = yard.book.head().line + 1
    reading = (e.Reading("1", 600, 50 * MICRO),)
    late = e.Entry(
        id=f"e{number}", happened=at(2, 12), who="ana", what=e.Round(row="R7", unit="C", readings=reading)
    )
    yard.book.append([late], written=at(9))
    yard.desk.refresh()
    history = yard.desk.diary.history("R7")
    then = days.seconds(at(3, 9))
    assert len(known_then(history, then).readings) == 6
    assert len(known_then(history, days.seconds(at(9, 9))).readings) == 7
    long_before = days.seconds(at(1, 7)) + 60  # happened, but written half an hour later: nothing was there
    assert len(known_then(history, long_before).readings) == 2


def test_rows_teach_once_their_hot_time_was_over_before_this_one_was_built(yard: Yard) -> None:
    for place, name in enumerate(("R1", "R2", "R3", "R4", "R5", "R6")):
        yard.build(name, place)
        read_daily(yard, name, place + 1, place + 14)
    yard.build("S1", 0, "slow")
    read_daily(yard, "S1", 1, 14)
    yard.build("R7", 38)
    read_daily(yard, "R7", 39, 40)
    named = [one.heap.row for one in plan(yard.desk, 40).teachers]
    assert named == ["R4", "R3", "R2", "R1"] and len(named) <= TEACHERS  # R5's 35 days end on day 39
    assert all(one.at_s <= days.seconds(at(38, 6)) for one in plan(yard.desk, 40).teachers)


def test_a_run_going_on_gives_the_day_it_must_last_to(yard: Yard) -> None:
    yard.build("R7")
    read_daily(yard, "R7", 1, 6, "58")
    assert plan(yard.desk, 6).needed == (at(15).toordinal(), 55.0)
    yard.read("R7", 7, "40", "40")
    assert plan(yard.desk, 7).needed is None


def test_what_it_rests_on_changes_with_row_weather_day_and_setting_and_with_nothing_else(yard: Yard) -> None:
    yard.build("R7")
    yard.build("R8")
    read_daily(yard, "R7", 1, 3)

    def key(day: int = 3, hour: float = 8) -> object:
        yard.desk.refresh()
        return key_of(yard.desk, "R7", at(day, hour))

    seen = [key()]
    assert key(hour=20) == seen[0]
    yard.read("R8", 3, "40", "40")
    assert key() == seen[0]
    seen.append(key(4))
    yard.say(3, e.Weather(air=Amount(9 * MICRO, "C")))
    seen.append(key())
    yard.say(3, e.SettingChosen(name="turn_limit", amount=Amount(68 * MICRO, "C")))
    seen.append(key())
    yard.say(3, e.Turned(row="R7"), 9)
    seen.append(key())
    assert len(set(seen)) == len(seen)


def test_a_row_that_ended_or_is_not_known_has_none(yard: Yard) -> None:
    yard.build("R7")
    yard.build("R8")
    yard.say(3, e.Merged(row="R8", sources=("R7",)), 9)
    yard.desk.refresh()
    assert plan_of(yard.desk, "R7", at(4)) is None
    with pytest.raises(KeyError):
        plan_of(yard.desk, "R99", at(4))


def ahead(yard: Yard, day: int) -> Ahead:
    """An outlook by hand: the chance that it passes the turning limit by the evening is 8 in 10."""
    outlook = Outlook(
        at_s=days.seconds(at(day, 8)),
        hours=np.arange(1.0, 25.0),
        depths_cm=np.array([60.0]),
        fan=np.full((24, 1, 5), 64.0),
        as_now_c=np.array([63.0]),
        passing=(Passing(65.5, 0.8, Band(2.0, 4.0, 8.0, 12.0, 14.0), False),),
        run_c=55.0,
        run=np.zeros(0),
        moisture=(),
        water_m3=NONE,
        target=0.55,
        mass_t=None,
        volume_m3=None,
        curing_h=None,
        curing_chance=0.0,
        curing_rule="",
        used="process model",
        why="",
    )
    line = yard.desk.diary.history("R7").last_line
    return Ahead(outlook, at(day).toordinal(), line, lines=(line,))


def test_an_outlooks_job_stands_on_the_sheet_is_ticked_and_ends_with_a_newer_line(yard: Yard) -> None:
    yard.build("R7")
    read_daily(yard, "R7", 1, 3, "50")
    assert "R7 turn" not in yard.today(3)
    yard.desk.ahead["R7"] = ahead(yard, 3)
    job = yard.today(3)["R7 turn"]
    assert "noon is 8 in 10." in job.text and not job.urgent
    assert "R7 turn" not in yard.today(4)
    sheet = yard.desk.issue(at(3, 8), "ana").entry.what
    assert isinstance(sheet, e.SheetIssued) and job in sheet.advice
    yard.desk.tick("R7 turn", at(3, 9), "ana")
    assert [event.day for event in yard.desk.diary.history("R7").turns] == [at(3).toordinal()]
    done = yard.desk.today(at(3, 10))
    assert "R7 turn" in done.done and all(one.key != "R7 turn" for one in done.advice)


def test_a_morning_of_the_past_is_told_without_todays_outlook(yard: Yard) -> None:
    yard.build("R7")
    read_daily(yard, "R7", 1, 3, "50")
    yard.desk.refresh()
    yard.desk.ahead["R7"] = replace(ahead(yard, 3))
    assert all(one.key != "R7 turn" for one in yard.desk.morning_of(at(2).date()).advice)
