"""Readings that may not be the heap's: at the limits, and on real logs by looking at what is flagged.

85 °C is the DS18B20's register at power-on (its data sheet, MEMORY); -127 °C is the common Arduino
library's DEVICE_DISCONNECTED_C (READ in its header). The other limits are the project's own.
"""

import csv
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from turnrow.sanitation.suspects import Limits, find, marked
from turnrow.yard import days, readings
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import parse_micro
from turnrow.yard.readings import Readings

HALF_HOUR = 1800
MONTREAL = ZoneInfo("America/Toronto")
START = days.seconds(datetime(2026, 5, 3, tzinfo=MONTREAL))
Log = Callable[..., Readings]


def log(*, every_s: int = HALF_HOUR, timed: bool = True, unit: int = 0, **stations: str) -> Readings:
    """Readings of several stations: log(one="54.9 55 -", two="60 61 62"), a dash for nothing read."""
    parts = []
    for name, text in stations.items():
        cells = [(i, parse_micro(cell)) for i, cell in enumerate(text.split()) if cell != "-"]
        parts.append(
            column(name, [START + i * every_s for i, _ in cells], [v for _, v in cells], timed, unit)
        )
    return readings.together(parts)


def column(name: str, at: list[int], value: list[int], timed: bool = True, unit: int = 0) -> Readings:
    n = len(at)
    moments = np.array(at, dtype=np.int64)
    return Readings(
        at=moments,
        day=days.days_of(moments, MONTREAL),
        station=np.zeros(n, np.int32),
        depth=np.full(n, -1, np.int32),
        value=np.array(value, dtype=np.int64),
        unit=np.full(n, unit, np.int8),
        timed=np.full(n, timed),
        line=np.zeros(n, np.int32),
        item=np.arange(1, n + 1, dtype=np.int32),
        stations=(name,),
    )


def checks(found: Readings, **more: object) -> list[tuple[str, int, int]]:
    return [(s.check, s.first, s.last) for s in find(found, **more)]  # type: ignore[arg-type]


def test_nothing_read_is_not_suspect() -> None:
    assert find(readings.none()) == ()
    assert find(log(a="55")) == ()


# ten degrees in an hour is let be, a millionth more is not
@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("50 60", []),
        ("50 60.000001", [("jump", 1, 1)]),
        ("60 50", []),
        ("60 49.999999", [("jump", 1, 1)]),
    ],
)
def test_a_jump_is_more_than_the_setting_in_an_hour(text: str, want: list[tuple[str, int, int]]) -> None:
    assert checks(log(every_s=3600, a=text)) == want
    assert checks(log(every_s=60, a=text)) == want  # a shorter step is given the whole hour


def test_a_longer_step_may_change_by_as_much_more() -> None:
    assert checks(log(every_s=2 * 3600, a="40 60")) == []
    assert checks(log(every_s=2 * 3600, a="40 60.1")) == [("jump", 1, 1)]


def test_the_yards_own_setting_moves_the_limit() -> None:
    wide = Limits.of(
        {"jump_c_per_hour": Amount(20_000_000, "C/h"), "suspect_frozen_hours": Amount(6_000_000, "h")}
    )
    assert checks(log(every_s=3600, a="50 69"), limits=wide) == []
    assert wide.frozen == 6 * 3600


def test_a_spike_out_and_back_is_one_reading_and_the_rest_stays_good() -> None:
    assert checks(log(a="55 55.1 20 55.2 55.3")) == [("jump", 2, 2)]
    assert checks(log(a="55 80.5 55 55")) == [("jump", 1, 1)]
    assert checks(log(a="55 80.5 55 80.5 55")) == [("jump", 1, 1), ("jump", 3, 3)]


def test_a_daily_round_never_trips_the_jump_test_by_cooling_after_a_turn() -> None:
    assert checks(log(every_s=days.DAY_S, a="66 31 58 64 30 55")) == []


def test_a_round_of_which_only_the_day_is_known_has_no_speed() -> None:
    assert checks(log(every_s=0, timed=False, a="66 31")) == []


def test_a_jump_at_a_known_turn_is_the_machines_doing() -> None:
    fell = log(a="66 66 40 41")
    assert checks(fell) == [("jump", 2, 2)]
    assert checks(fell, turns=[START + HALF_HOUR + 600]) == []
    assert checks(fell, turns=[START + 5 * days.DAY_S]) == [("jump", 2, 2)]


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("20 -127 20", [("sensor code", 1, 1)]),
        ("20 -127 -127 20", [("sensor code", 1, 2)]),
        ("20 85 20", [("sensor code", 1, 1)]),
        ("85 20 20", [("sensor code", 0, 0)]),  # at power-on, before the first number
        ("20 85 85 20", [("sensor code", 1, 2)]),
        ("75 85 75", []),  # ten degrees off is near
        ("74.9 85 74.9", [("sensor code", 1, 1)]),
        ("84 85 85.5 85 84", []),  # the heap really is there
        ("85 85 85", []),  # nothing to tell it from
    ],
)
def test_sensor_codes(text: str, want: list[tuple[str, int, int]]) -> None:
    assert checks(log(a=text)) == want


def test_185_f_is_85_c_and_a_daily_85_is_what_the_walker_read() -> None:
    assert checks(log(unit=1, a="68 185 68")) == [("sensor code", 1, 1)]
    assert checks(log(every_s=days.DAY_S, a="66 85 66")) == []


@pytest.mark.parametrize(("value", "want"), [("-40", 0), ("-40.000001", 1), ("200", 0), ("200.000001", 1)])
def test_what_no_heap_has(value: str, want: int) -> None:
    found = find(log(every_s=days.DAY_S, a=value))
    assert [s.check for s in found] == ["impossible"] * want


def test_the_impossibly_hot_says_that_it_may_be_fire() -> None:
    (found,) = find(log(a="999"))
    assert "fire" in found.sentence and "Do not open the row" in found.sentence


def test_a_copied_run_is_flagged_from_twelve_moments_with_changes() -> None:
    rising = [f"{50 + i / 10}" for i in range(20)]
    other = [f"{40 + i / 10}" for i in range(20)]
    eleven, twelve = " ".join(rising[:11] + other[11:]), " ".join(rising[:12] + other[12:])
    assert [s for s in find(log(a=" ".join(rising), b=eleven)) if s.check == "copy"] == []
    (copied,) = [s for s in find(log(a=" ".join(rising), b=twelve)) if s.check == "copy"]
    assert copied.station == "b" and "12 moments" in copied.sentence


def test_two_steady_stations_are_no_copies() -> None:
    assert checks(log(a="55 " * 30, b="55 " * 30)) == []
    assert checks(log(a="55 " * 15 + "56 " * 15, b="55 " * 15 + "56 " * 15)) == []


@pytest.mark.parametrize(("count", "want"), [(48, 0), (49, 1)])  # 48 half hours are 24 h: 49 readings
def test_a_value_frozen_for_a_day_while_another_moves(count: int, want: int) -> None:
    moving = " ".join(f"{50 + i / 20}" for i in range(60))
    found = find(log(a="55.5 " * count + "55.4 " * (60 - count), b=moving))
    assert [s.check for s in found if s.station == "a"] == ["frozen"] * want


def test_a_still_value_is_let_be_where_nothing_else_moves() -> None:
    assert checks(log(a="55.5 " * 60)) == []
    assert checks(log(a="55.5 " * 60, b=" ".join(f"{50 + i / 100}" for i in range(60)))) == []


def test_a_hand_round_that_repeats_itself_is_not_frozen() -> None:
    moving = " ".join(str(40 + i) for i in range(20))
    assert checks(log(every_s=days.DAY_S, a="55 " * 20, b=moving)) == []


def test_a_bed_that_rests_at_zero_is_freezing_and_no_fault() -> None:
    air = " ".join(f"{-5 + i / 20}" for i in range(60))
    found = find(log(a="2 1 " + "0 " * 56 + "1 2", b=air))
    (one,) = [s for s in found if s.station == "a"]
    assert (one.check, one.fault) == ("freezing", False)
    assert not marked(log(a="2 1 " + "0 " * 56 + "1 2", b=air), found).any()


def test_a_broken_lead_that_falls_to_zero_at_once_is_a_fault() -> None:
    other = " ".join(f"{50 + i / 20}" for i in range(60))
    found = find(log(a="55 55 " + "0 " * 58, b=other))
    assert {(s.check, s.fault) for s in found if s.station == "a"} == {("jump", True), ("frozen", True)}


def test_two_values_of_one_moment_are_both_flagged_and_marked() -> None:
    twice = readings.together([log(a="55 56 57"), log(a="- 58 -")])
    assert [(s.check, s.first, s.last) for s in find(twice)] == [("two values", 1, 2)]
    assert marked(twice, find(twice)).tolist() == [False, True, True, False]


def test_a_span_covers_its_own_station_only() -> None:
    both = log(a="20 -127 -127 20", b="55 55 55 55")
    mask = marked(both, find(both))
    assert mask.sum() == 2
    assert set(both.value[mask].tolist()) == {-127_000_000}


def _open_log(path: Path, *names: str) -> tuple[Readings, list[int]]:
    """Columns of an open log (read with csv alone), and the moments of its turnings."""
    with path.open(newline="") as lines:
        rows = list(csv.DictReader(lines))
    at = [days.seconds(datetime.fromisoformat(r["datetime"]).replace(tzinfo=MONTREAL)) for r in rows]
    parts = [column(name, at, [parse_micro(r[name]) for r in rows]) for name in names]
    return readings.together(parts), [a for a, r in zip(at, rows, strict=True) if "turned" in r["event"]]


@pytest.mark.needs_shared_data
def test_on_the_hot_bin_every_jump_is_one_of_its_eight_turnings(open_data: Path) -> None:
    found, turns = _open_log(open_data / "temperatures" / "hot_bin_2015.csv", "core_C")
    assert len(turns) == 8
    flagged = find(found)
    assert len(flagged) == 6 and {s.check for s in flagged} == {"jump"}
    for one in flagged:  # looked at: each is the reading after a turning, 15 to 57 min later
        assert min(int(found.at[one.first]) - turn for turn in turns if turn <= found.at[one.first]) <= 3600
    assert find(found, turns=turns) == ()


@pytest.mark.needs_shared_data
@pytest.mark.parametrize("name", ["hot_bin_2014.csv", "hot_bin_2015_curing.csv"])
def test_no_false_alarm_on_daily_readings_and_on_curing(open_data: Path, name: str) -> None:
    found, _ = _open_log(open_data / "temperatures" / name, "core_C")
    assert len(found) in (35, 1005)
    assert find(found) == ()


@pytest.mark.needs_shared_data
def test_the_worm_bed_at_zero_for_weeks_is_freezing_not_stuck(open_data: Path) -> None:
    """And the copy is real: from 06:48 to 16:18 that day the bin's air is the outside's, filled in."""
    names = ("bed_core_C", "inside_bin_air_C", "outside_C")
    found, _ = _open_log(open_data / "temperatures" / "worm_bin_winter_2015_16.csv", *names)
    flagged = find(found)
    bed = [s for s in flagged if s.station == "bed_core_C"]
    assert bed and all((s.check, s.fault) == ("freezing", False) for s in bed)
    assert max(int(found.at[s.last] - found.at[s.first]) for s in bed) > 28 * days.DAY_S
    (copied,) = [s for s in flagged if s.fault]
    first, last = (days.moment(int(found.at[i]), MONTREAL) for i in (copied.first, copied.last))
    assert copied.check == "copy"
    assert (first.isoformat()[:16], last.isoformat()[:16]) == ("2015-12-01T06:48", "2015-12-01T16:18")
