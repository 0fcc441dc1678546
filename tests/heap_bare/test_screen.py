"""Readings that are no heap's are set aside, by what came before them."""

import numpy as np
import pytest

from turnrow.heap.bare.log import bare_log
from turnrow.heap.bare.screen import as_fahrenheit, screen

NONE = np.zeros(0)


def aside(heat, every=0.5):
    kept, why = screen(np.arange(len(heat)) * every, np.array(heat, dtype=float))
    assert (~kept).sum() == len(why)
    return dict(why)


@pytest.mark.parametrize("value", [-127.0, -40.0, 120.0, 999.0])
def test_what_no_heap_reaches_is_set_aside(value):
    assert list(aside([55, 55, value, 56])) == [2]


def test_the_hottest_and_coldest_a_heap_may_be_are_kept():
    assert aside([-39.9, -39.9]) == {}
    assert aside([95.0, 96.0, 119.9], every=24) == {}


def test_one_fahrenheit_reading_among_celsius_is_told_by_its_size():
    assert "°F written as °C" in aside([48, 48.5, 118.4, 48.2])[2]  # 118.4 °F is 48 °C
    assert "°C written as °F" in aside([48, 48.5, 8.9, 48.2])[2]  # 48 °F is 8.9 °C


def test_what_no_heap_reaches_is_asked_about_where_it_would_be_a_heaps_in_fahrenheit():
    told = aside([55, 130, 140, 185, 186, 999], every=24)  # 54.4, 60, 85, 85.6 and 537 °C
    assert [place for place, why in told.items() if "°F" in why] == [1, 2, 3]
    assert list(told) == [1, 2, 3, 4, 5]


def test_a_second_fahrenheit_reading_that_agrees_with_the_first_is_no_heaps_either():
    assert list(aside([48, 48.5, 118.4, 118.5, 48.2])) == [2, 3]


def test_a_log_is_asked_about_its_unit_by_how_much_of_it_is_above_what_a_heap_reaches():
    hot, low, high = as_fahrenheit(np.array([59.0, 104, 140, 144]))  # 15, 40, 60, 62.2 °C
    assert (hot, round(low, 1), round(high, 1)) == (3, 15.0, 62.2)
    assert as_fahrenheit(np.array([15.0, 40, 60, 140])) is None
    assert as_fahrenheit(np.array([50.0, 82, 104])) is None
    assert as_fahrenheit(np.zeros(0)) is None


def test_a_log_all_in_the_wrong_unit_is_refused_and_not_drawn():
    with pytest.raises(ValueError, match="0 readings"):
        bare_log(np.arange(3.0), np.array([131.0, 135.0, 140.0]), NONE, NONE, NONE)


def test_a_rise_no_heap_makes_waits_for_the_next_reading_to_agree():
    assert list(aside([30, 30.2, 45, 30.1])) == [2]
    assert list(aside([30, 30.2, 45, 45.2, 45.4])) == [2]


def test_the_fall_of_a_turn_is_kept_and_so_is_a_fast_recovery():
    assert aside([60, 60, 38, 41, 45, 49]) == {}


def test_daily_readings_of_a_fresh_heap_are_kept():
    assert aside([10, 12, 28, 40, 48], every=24) == {}


def test_of_two_readings_at_one_moment_the_last_is_kept():
    log = bare_log(np.array([0.0, 1.0, 1.0]), np.array([20.0, 21.0, 22.0]), NONE, NONE, NONE)
    assert log.heat.tolist() == [20.0, 22.0]


def test_air_that_is_no_air_is_set_aside_and_told():
    log = bare_log(np.array([0.0]), np.array([20.0]), NONE, np.array([0.0, 1.0]), np.array([300.0, 7.0]))
    assert log.air.tolist() == [7.0]
    assert [one.column for one in log.doubts] == ["air"]


def test_hotter_than_a_heap_makes_itself_is_told_and_kept():
    log = bare_log(np.arange(3.0) * 24, np.array([50.0, 82.0, 104.0]), NONE, NONE, NONE)
    assert log.heat.tolist() == [50.0, 82.0, 104.0]
    assert [(one.hour, one.column) for one in log.doubts] == [(48.0, "unit")]
