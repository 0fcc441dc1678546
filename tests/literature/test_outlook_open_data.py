"""The outlook of a bare log on the open logs of a household hot bin.

Source: J. Gaucher's own logs of a household hot bin, 2014 and 2015, open data `temperatures/hot_bin_*.csv`
Known: READ

The beliefs of the outlook are round figures and were fitted to none of these logs, though the logs were
seen while it was made; docs/outlook.md says what was chosen with which log in view.
"""

import csv
from datetime import datetime

import numpy as np
import pytest

from turnrow.heap.bare.backtest import scores
from turnrow.heap.bare.log import bare_log
from turnrow.heap.bare.outlook import outlooks

AHEAD = (24.0, 48.0, 72.0)
BETTER = 0.15  # the aim: so much below "as now"
HELD = (0.70, 0.90)  # the aim for intervals of 80 %


@pytest.fixture(scope="module")
def columns(open_data):
    """season -> (hour, core °C, hours of turns), hours from the first row."""

    def read(name):
        with (open_data / "temperatures" / f"{name}.csv").open(encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        at = [datetime.fromisoformat(row["datetime"]) for row in rows]
        hour = np.array([(one - at[0]).total_seconds() / 3600 for one in at])
        core = np.array([float(row["core_C"] or "nan") for row in rows])
        turned = np.array(["turn" in row["event"] for row in rows])
        read = ~np.isnan(core)
        return hour[read], core[read], hour[turned]

    return {name: read(name) for name in ("hot_bin_2014", "hot_bin_2015")}


def scored(columns, name, *, with_turns=True, first=0.0, step=12.0):
    hour, core, turned = columns[name]
    none = np.zeros(0)
    log = bare_log(hour, core, turned if with_turns else none, none, none)
    origins = np.arange(first, log.hour[-1] + 1e-9, step).tolist()
    return scores(log, outlooks(log, origins, AHEAD))


@pytest.mark.needs_shared_data
def test_as_now_misses_by_the_known_figures(columns):
    """ "As now" misses by 1.75, 4.30, 6.25, 7.78 K at 6, 24, 48, 72 h; every 15 min, both ends drawn between
    readings no more than 2 h apart; reckoned here without the outlook's own code.

    Tolerance: 0.01 K, as the origins of the known figures are not told
    """
    hour, core, _ = columns["hot_bin_2015"]
    gap = np.diff(hour, prepend=hour[0])

    def at(hours):
        after = np.minimum(np.searchsorted(hour, hours), len(hour) - 1)
        good = (hours <= hour[-1]) & ((gap[after] <= 2) | (hour[after] == hours))
        return np.where(good, np.interp(hours, hour, core), np.nan)

    origins = np.arange(0, hour[-1], 0.25)
    missed = [np.nanmean(np.abs(at(origins + ahead) - at(origins))) for ahead in (6, 24, 48, 72)]
    assert missed == pytest.approx([1.75, 4.30, 6.25, 7.78], abs=0.0101)


@pytest.mark.needs_shared_data
@pytest.mark.parametrize("name", ["hot_bin_2014", "hot_bin_2015"])
@pytest.mark.parametrize("with_turns", [True, False], ids=["turns known", "turns not given"])
def test_the_outlook_misses_less_than_as_now_and_its_intervals_hold(columns, name, with_turns):
    """Every 12 h from the first reading, air unknown: 15 % below "as now" at 24, 48 and 72 h, and 70 to 90 %
    of what came within the 80 % interval; CRPS below the interval-less error as well."""
    found = scored(columns, name, with_turns=with_turns)
    assert [one.ahead for one in found] == list(AHEAD)
    for one in found:
        assert one.origins >= 60
        assert one.skill >= BETTER
        assert HELD[0] <= one.coverage <= HELD[1]
        assert one.crps < one.mae


@pytest.mark.needs_shared_data
@pytest.mark.parametrize("name", ["hot_bin_2014", "hot_bin_2015"])
@pytest.mark.parametrize(("first", "step"), [(6.0, 12.0), (12.0, 12.0), (0.0, 5.0)])
def test_the_aim_does_not_hang_on_the_hour_of_the_origins(columns, name, first, step):
    """The same from other hours of the day, the first half day left out, and every 5 h."""
    for one in scored(columns, name, first=first, step=step):
        assert one.skill >= BETTER
        assert HELD[0] <= one.coverage <= HELD[1]


@pytest.mark.needs_shared_data
def test_at_the_daily_readings_of_2014_alone_the_aim_is_met_from_two_days_ahead(columns):
    """At the 36 daily readings, where both ends were read: at 24 h better, but a little short of the aim."""
    day, two, three = scored(columns, "hot_bin_2014", step=24.0)
    assert 0.10 <= day.skill < BETTER
    assert min(two.skill, three.skill) >= BETTER
    assert all(HELD[0] <= one.coverage <= HELD[1] for one in (day, two, three))


@pytest.mark.needs_shared_data
def test_after_the_first_week_little_skill_is_left(columns):
    """What docs/outlook.md says of its own limit: from the eighth day on it is no worse than "as now", and by
    less than the aim better."""
    for name in columns:
        for one in scored(columns, name, first=168.0):
            assert -0.02 <= one.skill < BETTER
            assert HELD[0] <= one.coverage <= HELD[1]


@pytest.mark.needs_shared_data
def test_on_a_bed_that_hardly_moves_it_says_that_it_has_no_skill(open_data):
    """The worm bed's winter log, no hot heap at all: from the second week to the twelfth the
    plain reading is shown.

    Source: J. Gaucher's own log of a worm bed, winter 2015/16, open data `worm_bin_winter_2015_16.csv`
    """
    with (open_data / "temperatures" / "worm_bin_winter_2015_16.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["bed_core_C"]]
    at = [datetime.fromisoformat(row["datetime"]) for row in rows]
    hour = np.array([(one - at[0]).total_seconds() / 3600 for one in at])
    none = np.zeros(0)
    log = bare_log(hour, np.array([float(row["bed_core_C"]) for row in rows]), none, none, none)
    made = outlooks(log, np.arange(336.0, 2016.0, 120.0).tolist(), AHEAD)
    assert len(made) == 3 * 14
    assert {one.shown for one in made} == {"as now"}
