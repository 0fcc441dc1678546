"""Turns logged, and falls seen."""

import numpy as np

from turnrow.heap.bare.turns_seen import drops, turns_known


def known(logged, seen, until=1000.0):
    turns, odd = turns_known(np.array(logged, float), np.array(seen, float), until)
    return turns.tolist(), [hour for hour, _ in odd]


def test_a_fall_is_seen_once_and_only_when_fast():
    hour = np.arange(0, 24.0, 0.5)
    heat = np.where(hour < 10, 60.0, 40 + hour - 10)
    assert drops(hour, heat).tolist() == [10.0]
    assert len(drops(hour, 60 - hour)) == 0
    assert drops(np.array([0.0, 1.0]), np.array([60.0, 55.0])).tolist() == [1.0]
    assert len(drops(np.array([0.0, 1.0]), np.array([60.0, 55.1]))) == 0


def test_daily_readings_show_no_falls():
    assert len(drops(np.arange(0, 240.0, 24), np.array([60.0, 40] * 5))) == 0


def test_a_fall_after_a_logged_turn_is_that_turn():
    assert known([100], [100.5]) == ([100.0], [])
    assert known([100], [99]) == ([99.0], [])


def test_a_turn_without_a_fall_is_believed():
    assert known([100], []) == ([100.0], [])


def test_a_fall_without_a_turn_is_taken_for_one_and_told():
    assert known([], [50]) == ([50.0], [50.0])


def test_a_turn_logged_late_is_put_at_the_fall():
    assert known([124], [100]) == ([100.0], [124.0])
    assert known([131], [100]) == ([100.0, 131.0], [100.0])


def test_no_turn_is_called_late_before_its_own_fall_could_be_seen():
    turns, _ = known([124], [100], until=126)
    assert turns == [100.0, 124.0]
