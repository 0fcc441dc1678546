"""When a row is read: due, stale, missed, doubted, too few.

Daily rounds and one station per 150 ft or 200 yd³: 14 CCR 17868.3 (READ, handbook source ca-17868-3).
Weekly in curing: common practice, no source.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from turnrow.handbook.book import handbook
from turnrow.sanitation.standing import Suspect
from turnrow.schedule.limits import Limits
from turnrow.schedule.probing import probe_checks
from turnrow.schedule.seen import probes, seen
from turnrow.yard import days
from turnrow.yard import entries as e

Diary = Callable[[str], Any]
BUILT = "d0 built stations=1,2\n"


@pytest.mark.parametrize(("day", "due"), [(4, False), (5, True)])
def test_a_round_is_due_the_day_after(diary: Diary, day: int, due: bool) -> None:
    jobs = diary(BUILT + "d1-4 50 51").jobs(day, settings={"not_heating_days": "21d"})
    assert ("probe" in jobs) is due
    if due:
        assert jobs["probe"].text.startswith("Probe row R7 today: last read yesterday")
        assert not jobs["probe"].urgent


@pytest.mark.parametrize(("day", "due"), [(10, False), (11, True)])
def test_a_curing_row_is_read_every_week(diary: Diary, day: int, due: bool) -> None:
    jobs = diary(BUILT + "d1-4 30 31\nd4 cure").jobs(day)
    assert ("probe" in jobs) is due


def test_a_curing_reading_is_old_after_two_rounds(diary: Diary) -> None:
    told = diary(BUILT + "d1-4 30 31\nd4 cure")
    assert not told.jobs(18)["probe"].urgent
    assert told.jobs(19)["probe"].urgent and "says nothing of today" in told.jobs(19)["probe"].text


def test_a_station_missed_is_named(diary: Diary) -> None:
    jobs = diary(BUILT + "d1 60 61\nd2 - 61").jobs(2)
    assert jobs["probe"].text == "Read station 1 of row R7: it was passed over in the round of today."


@pytest.mark.parametrize(("length", "enough"), [("450ft", True), ("451ft", False)])
def test_stations_by_the_rules_own_standard(diary: Diary, length: str, enough: bool) -> None:
    """450 ft at one per 150 ft is three, 451 ft is four: a part counts as a whole (14 CCR 17868.3)."""
    told = diary(f"d0 built length={length} stations=1,2,3\nd1 F 140 141 142")
    jobs = told.jobs(1, rule="US-CA-17868-3", facts={"length_ft": length.removesuffix("ft")})
    assert ("stations" in jobs) is not enough
    if not enough:
        assert "three stations and needs four: 451 ft under US-CA-17868-3" in jobs["stations"].text


@pytest.mark.parametrize(("length", "enough"), [("60m", True), ("60.1m", False)])
def test_stations_by_the_yards_spacing_where_the_rule_gives_none(
    diary: Diary, length: str, enough: bool
) -> None:
    jobs = diary(f"d0 built length={length} stations=1,2\nd1 60 61").jobs(1)
    assert ("stations" in jobs) is not enough


def _with_suspect(told: Any, check: str, day: int = 2) -> dict[str, e.Advice]:
    """Jobs when the last reading of station 2 is asked about by `check`."""
    from dataclasses import replace

    from turnrow.sanitation.ledger import row_standing
    from turnrow.schedule.jobs import row_jobs

    book, history = handbook(), told.diary.history("R7")
    rule = book.rules["US-503-PFRP-WINDROW"]
    n = len(history.readings)
    doubt = Suspect("2", n - 1, n - 1, check, f"station 2 said {check}.")
    standing = replace(row_standing(rule, history, told.diary.history, {}, {}), suspects=(doubt,))
    values = {name: setting.amount for name, setting in book.settings.items()}
    now_s = days.seconds(told.moment(day, 8))
    return {job.key: job for job in row_jobs(history, standing, rule, values, now_s)}


def test_a_number_no_heap_ever_had_is_read_again_first_and_starts_no_alarm(diary: Diary) -> None:
    """85 °C is what a common digital probe says when it has just been switched on (its maker's data sheet,
    MEMORY): neither a fire nor a reason to open the row."""
    jobs = _with_suspect(diary(BUILT + "d1 60 61\nd2 60 85"), "sensor code")
    assert "R7 fire" not in jobs and "R7 turn" not in jobs
    first = jobs["R7 probe"]
    assert first.urgent and "Until then nobody opens the row" in first.text


def test_a_doubted_reading_over_the_stop_still_keeps_people_away(diary: Diary) -> None:
    jobs = _with_suspect(diary(BUILT + "d1 60 61\nd2 60 85"), "jump")
    assert list(jobs) == ["R7 fire"] and "until it is shown wrong it stands" in jobs["R7 fire"].text


def test_a_doubted_reading_over_the_turning_limit_is_read_again_before_the_turn(diary: Diary) -> None:
    jobs = _with_suspect(diary(BUILT + "d1 60 61\nd2 60 67"), "jump")
    assert "R7 turn" not in jobs and jobs["R7 probe"].urgent


def test_the_newest_reading_of_each_station_speaks(diary: Diary) -> None:
    told = diary(BUILT + "d1 60 61\nd1 60 62")
    book = handbook()
    limits = Limits({name: setting.amount for name, setting in book.settings.items()})
    view = seen(told.diary.history("R7"), (), limits, days.seconds(told.moment(1, 8)))
    assert [(spot.station, spot.words) for spot in view.spots] == [
        ("1", "60 °C at station 1"),
        ("2", "62 °C at station 2"),
    ]
    assert view.high == (int(np.int64(62_000_000 * 9)),)


@pytest.mark.parametrize(("day", "due"), [(31, False), (32, True)])
def test_a_probe_is_checked_every_month(diary: Diary, day: int, due: bool) -> None:
    """Monthly in ice water and boiling water: MEMORY, common practice."""
    told = diary(BUILT + "d1 60 61")
    limits = Limits({name: setting.amount for name, setting in handbook().settings.items()})
    used = probes(told.diary.history("R7"))
    assert used == {"P1": 2}
    for bath in (0, 100_000_000):
        told.say(1, e.ProbeChecked(probe="P1", bath=e.Amount(bath, "C"), read=e.Amount(bath, "C")))
    checks = told.diary.own_events(e.ProbeChecked)
    due_now = probe_checks(used, checks, (), limits, told.moment(day, 8).toordinal())
    assert [job.key for job in due_now] == (["probe P1 check"] if due else [])


def test_a_probe_never_checked_is_due(diary: Diary) -> None:
    limits = Limits({name: setting.amount for name, setting in handbook().settings.items()})
    (job,) = probe_checks({"P1": 4}, [], (), limits, 100)
    assert "no check of it is written down" in job.text and job.because == (4,)


def test_ice_water_alone_leaves_boiling_water_to_be_checked(diary: Diary) -> None:
    told = diary(BUILT + "d1 60 61")
    limits = Limits({name: setting.amount for name, setting in handbook().settings.items()})
    told.say(1, e.ProbeChecked(probe="P1", bath=e.Amount(0, "C"), read=e.Amount(0, "C")))
    checks = told.diary.own_events(e.ProbeChecked)
    (job,) = probe_checks({"P1": 2}, checks, (), limits, told.moment(2, 8).toordinal())
    assert job.text.startswith("Check probe P1 in boiling water: last checked")
