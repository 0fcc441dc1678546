"""The demonstration's heat model: it need only look like a row, and a few things a row always does."""

from datetime import date
from random import Random

import pytest

from turnrow.demo.air import Air, season_air
from turnrow.demo.cast import DIAL, DIGITAL, FAHRENHEIT
from turnrow.demo.heat import EDGE_SHARE, Course, Heap, course, water_for
from turnrow.demo.walk import seen
from turnrow.demo.work import TURN_HOUR

MILD = Air((12.0,) * 121, (0.0,) * 121, (2.0,) * 121, ("W",) * 121)
ONE = (1.0,)


def _at(run: Course, day: float) -> float:
    return run.at(day * 24, 0)


def test_a_row_heats_within_days_and_ends_near_the_air() -> None:
    """Common practice, no source: hot within a week, cool again after some months."""
    run = course(Heap(0, ONE), MILD, 120 * 24)
    assert _at(run, 0.2) < 30
    assert 55 < _at(run, 7) < 70
    assert _at(run, 119) < 25


def test_the_heat_above_the_air_comes_from_the_food() -> None:
    plenty = course(Heap(0, ONE), MILD, 30 * 24)
    little = course(Heap(0, ONE, food=0.1), MILD, 30 * 24)
    assert _at(little, 10) < _at(plenty, 10) - 15


def test_a_turn_lets_heat_out_and_it_comes_back() -> None:
    turned = course(Heap(0, ONE, turns=(8 * 24 + TURN_HOUR,)), MILD, 12 * 24)
    still = course(Heap(0, ONE), MILD, 12 * 24)
    assert _at(turned, 8.5) < _at(still, 8.5) - 8
    assert _at(turned, 10.5) == pytest.approx(_at(still, 10.5), abs=1.5)


def test_stations_differ_and_a_turn_evens_them() -> None:
    run = course(Heap(0, (1.0, 0.8), turns=(8 * 24 + TURN_HOUR,)), MILD, 12 * 24)
    apart = abs(run.at(8 * 24, 0) - run.at(8 * 24, 1))
    mixed = abs(run.at(8 * 24 + TURN_HOUR + 3, 0) - run.at(8 * 24 + TURN_HOUR + 3, 1))
    assert apart > 8
    assert mixed < apart / 2


def test_the_edge_lies_between_core_and_surroundings() -> None:
    run = course(Heap(0, ONE), MILD, 10 * 24)
    base = 8 + 0.5 * MILD.at(200)
    assert base < run.at(200, 0, edge=True) < run.at(200, 0)
    assert (run.at(200, 0, edge=True) - run.base_c[100]) / (
        run.at(200, 0) - run.base_c[100]
    ) == pytest.approx(EDGE_SHARE)


def test_too_dry_too_wet_and_rain_cool_it() -> None:
    good = _at(course(Heap(0, ONE), MILD, 240), 8)
    assert _at(course(Heap(0, ONE, moisture=0.3, thirsty=True), MILD, 240), 8) < good - 15
    assert _at(course(Heap(0, ONE, moisture=0.72), MILD, 240), 8) < good - 3
    stormy = Air(
        MILD.mean_c, tuple(46.0 if day == 7 else 0.0 for day in range(121)), MILD.wind_m_s, MILD.wind_from
    )
    assert _at(course(Heap(0, ONE), stormy, 240), 7.9) < good - 3


def test_water_brings_a_tonne_to_the_target() -> None:
    """A tonne at 40 % has 0.6 t dry; 0.6 / 0.42 - 1 = 0.429 t water brings it to 58 % (a mass balance)."""
    litres = water_for(0.40)
    assert (400 + litres) / (1000 + litres) == pytest.approx(0.58, abs=1e-9)
    assert water_for(0.6) == 0


def test_a_probe_shows_its_own_steps() -> None:
    """131 °F is 55 °C by definition of the scales."""
    assert seen(55.0, FAHRENHEIT) == 131_000_000
    assert seen(54.8, DIAL) == 55_000_000
    assert seen(54.74, DIAL) == 54_500_000
    assert seen(54.74, DIGITAL) == 54_700_000


def test_the_weather_is_the_seed_s_own() -> None:
    def again(seed: int) -> Air:
        return season_air(date(2026, 2, 4), 252, Random(seed), {100: 46.0}, {200: 12.4})

    air = again(7)
    assert air == again(7) != again(8)
    assert (air.rain_mm[100], air.wind_m_s[200]) == (46.0, 12.4)
    assert sum(air.mean_c[150:190]) / 40 > sum(air.mean_c[:20]) / 20 + 10  # July is warmer than February
