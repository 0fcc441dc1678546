"""Stations read at the same moments are reckoned the short way; it gives what the long way gives."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.sanitation.by_station import ByStation
from turnrow.sanitation.series import Series
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import Limit

START = 1_777_600_800
STATIONS = ("1", "2", "3")
HOT = Limit(">=", 55_000_000, "C")


def logged(values: list[list[int]], steps: list[int]) -> Readings:
    """Every station at every moment; `steps` are the minutes between moments."""
    at = np.repeat(START + np.cumsum([0, *steps])[: len(values)] * 60, len(STATIONS)).astype(np.int64)
    n = len(at)
    return Readings(
        at=at,
        day=(at // 86_400 + 719_163).astype(np.int32),
        station=np.tile(np.arange(len(STATIONS), dtype=np.int32), len(values)),
        depth=np.full(n, 900, np.int32),
        value=np.array(values, dtype=np.int64).ravel() * 1_000_000,
        unit=np.zeros(n, np.int8),
        timed=np.ones(n, np.bool_),
        line=np.zeros(n, np.int32),
        item=np.arange(1, n + 1, dtype=np.int32),
        stations=STATIONS,
    )


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_both_ways_give_the_same_hours_days_and_spans(data) -> None:
    many = data.draw(st.integers(2, 30))
    values = data.draw(
        st.lists(
            st.lists(st.sampled_from([50, 54, 55, 60]), min_size=3, max_size=3), min_size=many, max_size=many
        )
    )
    steps = data.draw(st.lists(st.sampled_from([5, 60, 119, 121, 900]), min_size=many, max_size=many))
    short = Series.of(ByStation.of(logged(values, steps)))
    long = replace(short)
    assert short.together
    object.__setattr__(long, "together", False)
    fits = short.fits(HOT)
    first = int(short.day.min())
    days = int(short.day.max()) - first + 1
    for both in (False, True):
        cover = short.held(fits, short.usual, both=both)
        assert short.hours(cover) == long.hours(cover)
        assert short.day_seconds(cover, first, days).tolist() == long.day_seconds(cover, first, days).tolist()
        mine, theirs = short.spans(cover), long.spans(cover)
        real = theirs.seconds > 0  # the long way may name a moment of no length
        assert mine.seconds.tolist() == theirs.seconds[real].tolist()
        assert mine.start.tolist() == theirs.start[real].tolist()


def test_a_station_read_on_its_own_is_not_taken_as_together() -> None:
    readings = logged([[60, 60, 60], [60, 60, 60]], [30, 30])
    assert Series.of(ByStation.of(readings)).together
    late = readings.at.copy()
    late[3:4] += 60
    assert not Series.of(ByStation.of(replace(readings, at=late))).together
