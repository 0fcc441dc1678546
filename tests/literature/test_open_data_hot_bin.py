"""A hot bin logged every half hour: known figures of the open data.

Source: J. Gaucher's own log of a household hot bin, 2015, open data `temperatures/hot_bin_2015.csv`
Known: READ

The figures were reckoned apart from this code, with left-hold intervals and no gap over 2 h counted.
"""

import csv
from datetime import datetime

import numpy as np
import pytest

from turnrow.handbook.book import handbook
from turnrow.sanitation.judge import judge
from turnrow.sanitation.record import Record, TurnAt
from turnrow.yard import readings as columns
from turnrow.yard.days import EPOCH_DAY, HOUR_S, seconds, zone
from turnrow.yard.numbers import parse_micro
from turnrow.yard.temperature import Limit

UTC = zone("UTC")


@pytest.fixture(scope="module")
def bin_2015(open_data):
    """The log as a record; its clock is taken as it stands."""
    with (open_data / "temperatures" / "hot_bin_2015.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    at = [seconds(datetime.fromisoformat(r["datetime"]).replace(tzinfo=UTC)) for r in rows]
    read = [(a, parse_micro(r["core_C"])) for a, r in zip(at, rows, strict=True) if r["core_C"]]
    n = len(read)
    moments = np.array([a for a, _ in read], dtype=np.int64)
    made = [
        moments,
        moments // 86400 + EPOCH_DAY,
        *[np.zeros(n)] * 2,
        [v for _, v in read],
        *[np.zeros(n)] * 4,
    ]
    arrays = {
        name: np.array(column, dtype=kind)
        for name, column, kind in zip(columns.COLUMNS, made, columns.TYPES, strict=True)
    }
    arrays["timed"][:] = True
    turns = [a for a, r in zip(at, rows, strict=True) if "turn" in r["event"].lower()]
    passes = tuple(TurnAt(a, a // 86400 + EPOCH_DAY, True) for a in turns)
    return Record(columns.Readings(**arrays, stations=("core",)), passes)


def limit(text):
    return Limit(">=", parse_micro(text), "C")


@pytest.mark.needs_shared_data
@pytest.mark.parametrize(("degrees", "hours"), [("55", 136.7), ("65", 13.0)])
def test_hours_at_or_above(bin_2015, degrees, hours):
    """Hours at or above a temperature in all.

    Tolerance: the figure's own rounding, 0.05 h
    """
    series = bin_2015.series
    held = series.held(series.fits(limit(degrees)), series.usual, both=False)
    assert series.hours(held) == pytest.approx(hours, abs=0.0501)


@pytest.mark.needs_shared_data
def test_the_longest_unbroken_run(bin_2015):
    """The longest unbroken run at or above 55 °C, 87.2 h from its first hot reading to its last.

    Tolerance: the figure's own rounding, 0.05 h
    """
    series = bin_2015.series
    spans = series.spans(series.held(series.fits(limit("55")), series.usual, both=True))
    assert spans.seconds.max() / HOUR_S == pytest.approx(87.2, abs=0.0501)


@pytest.mark.needs_shared_data
def test_days_to_heat_and_hot_days(bin_2015):
    """4.6 days to 55 °C; 8 days whose highest and 3 whose lowest reading is at or above it; 8 turnings.

    Tolerance: 0.05 d for the first; the counts exactly
    """
    readings, cells = bin_2015.readings, bin_2015.cells
    hot = limit("55").holds(readings.heat)
    assert (readings.at[hot][0] - readings.at[0]) / 86400 == pytest.approx(4.6, abs=0.0501)
    read = cells.count[:, 0] > 0
    assert (limit("55").holds(cells.hottest[:, 0]) & read).sum() == 8
    assert (limit("55").holds(cells.coldest[:, 0]) & read).sum() == 3
    assert len(bin_2015.turns) == 8


@pytest.mark.needs_shared_data
def test_three_days_are_met_and_fifteen_with_turns_are_not(bin_2015):
    """3 days at 55 °C are met, 15 days with five turnings are not; hot hours as in the figures.

    Tolerance: 0.05 h for the hours
    """
    rules = handbook().rules
    static = judge(rules["US-503-PFRP-STATIC"], bin_2015)
    assert static.verdict == "PASS"
    assert static.hot_hours == pytest.approx(136.7, abs=0.0501)
    assert static.hot_hours_proven < static.hot_hours
    assert judge(rules["US-503-PFRP-WINDROW"], bin_2015).verdict == "FAIL"
