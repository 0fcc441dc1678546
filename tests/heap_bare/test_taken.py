"""One place of a heap out of its readings."""

import numpy as np

from turnrow.heap.bare.taken import at_place, celsius_of, depths_swapped, places
from turnrow.yard import readings as columns
from turnrow.yard.readings import Readings


def rounds(*pairs, unit=0):
    """Readings at 30 and 90 cm, one pair a day."""
    at = np.repeat(np.arange(len(pairs)) * 86_400, 2)
    made = [at, at // 86_400, np.zeros(len(at)), [300, 900] * len(pairs)]
    made += [[round(v * 1e6) for pair in pairs for v in pair], np.full(len(at), unit)]
    made += [np.ones(len(at)), np.zeros(len(at)), np.zeros(len(at))]
    arrays = {
        name: np.array(column, dtype=kind)
        for name, column, kind in zip(columns.COLUMNS, made, columns.TYPES, strict=True)
    }
    return Readings(**arrays, stations=("1",))


def test_the_place_most_read_comes_first_then_the_deepest():
    assert places(rounds((40, 60), (41, 61))) == [("1", 900), ("1", 300)]


def test_fahrenheit_readings_are_turned_into_celsius():
    assert celsius_of(at_place(rounds((131, 140), unit=1), "1", 300)).tolist() == [55.0]


def test_two_depths_the_wrong_way_round_are_found_by_what_stood_before():
    log = rounds((40, 60), (41, 61), (61, 41), (42, 62))
    moments, other = depths_swapped(log, "1", 900)
    assert (moments.tolist(), other) == ([2 * 86_400], 300)


def test_depths_that_stay_the_other_way_round_are_taken_as_they_stand():
    log = rounds((40, 60), *[(60, 40)] * 6)
    assert len(depths_swapped(log, "1", 900)[0]) == 3


def test_depths_alike_are_not_told_apart():
    assert len(depths_swapped(rounds((58, 60), (60, 58), (58, 60)), "1", 900)[0]) == 0
