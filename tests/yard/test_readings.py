"""Readings of several sources put together, against a plain sort."""

from datetime import UTC, datetime

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from turnrow.yard import readings
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import COLUMNS, TYPES, Readings
from turnrow.yard.temperature import ninths

START = int(datetime(2026, 5, 3, tzinfo=UTC).timestamp())


def part(line: int, rows, names) -> Readings:
    """Rows of (minutes, station name, value, unit)."""
    made = [
        (START + m * 60, 739_000, names.index(s), 900, v, u, True, line, k)
        for k, (m, s, v, u) in enumerate(rows, 1)
    ]
    columns = zip(*made, strict=True) if made else [()] * len(COLUMNS)
    arrays = [np.array(column, dtype=kind) for column, kind in zip(columns, TYPES, strict=True)]
    return Readings(**dict(zip(COLUMNS, arrays, strict=True)), stations=tuple(names))


row = st.tuples(st.integers(0, 30), st.sampled_from("abc"), st.integers(-MICRO, MICRO), st.integers(0, 2))


@given(st.lists(st.tuples(st.lists(row, max_size=12), st.permutations("abc")), max_size=5))
def test_together_is_every_reading_by_moment_and_equal_moments_by_part(told):
    parts = [part(line, rows, names) for line, (rows, names) in enumerate(told, 1)]
    whole = readings.together(parts)
    every = [(START + m * 60, s, v, u, line) for line, (rows, _) in enumerate(told, 1) for m, s, v, u in rows]
    every.sort(key=lambda one: one[0])  # Python's sort keeps equal ones in order
    got = [
        (
            int(whole.at[k]),
            whole.stations[whole.station[k]],
            int(whole.value[k]),
            int(whole.unit[k]),
            int(whole.line[k]),
        )
        for k in range(len(whole))
    ]
    assert got == every
    assert len(set(whole.stations)) == len(whole.stations)


@given(st.lists(row, min_size=1, max_size=20))
def test_heat_of_mixed_units_is_that_of_each_reading(rows):
    one = part(1, rows, "abc")
    assert one.heat.tolist() == [ninths(v, "CFK"[u]) for _, _, v, u in rows]
    assert [one.unit_of(k) for k in range(len(one))] == ["CFK"[u] for *_, u in rows]


def test_picked_readings_keep_their_order_and_stations():
    one = part(1, [(0, "a", 1, 0), (1, "b", 2, 0), (2, "a", 3, 1)], "abc")
    picked = one.pick(one.value != 2)
    assert (picked.value.tolist(), picked.stations) == ([1, 3], ("a", "b", "c"))


def test_nothing_together_is_nothing():
    assert len(readings.together([])) == 0
    assert len(readings.together([readings.none(), readings.none()])) == 0
