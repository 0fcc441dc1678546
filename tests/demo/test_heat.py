"""The demonstration's rows behave as rows do: through the true row's model, read where probes go."""

from datetime import date
from random import Random

import numpy as np
import pytest

from turnrow.demo.air import Air, season_air
from turnrow.demo.cast import DIAL, DIGITAL, FAHRENHEIT
from turnrow.demo.heat import HOT_DAYS, WET_AGAIN, Course, Heap, courses, sky_of
from turnrow.demo.walk import seen
from turnrow.demo.work import TURN_HOUR

MILD = Air((12.0,) * 121, (0.0,) * 121, (2.0,) * 121, ("W",) * 121)
ONE = (1.0,)
EIGHT = 8 * 24 + TURN_HOUR


@pytest.fixture(scope="module")
def runs() -> dict[str, Course]:
    heaps = {
        "long": Heap(0, ONE),
        "hungry": Heap(0, ONE, food=0.1),
        "turned": Heap(0, ONE, turns=(EIGHT,)),
        "toe": Heap(0, (1.0, 0.76), turns=(EIGHT,)),
        "dry": Heap(0, ONE, moisture=0.2, thirsty=True),
        "watered": Heap(0, ONE, moisture=0.45, turns=(EIGHT,)),
        "soaked": Heap(0, ONE, moisture=0.75),
    }
    return courses(heaps, MILD, 120 * 24)


def _at(run: Course, day: float) -> float:
    return run.at(day * 24, 0)


def test_a_row_heats_within_days_and_ends_near_the_air(runs) -> None:
    """Common practice, no source: hot within a week, cool again after some months."""
    run = runs["long"]
    assert _at(run, 0.2) < 30
    assert 55 < _at(run, 7) < 70
    assert 10 < _at(run, 119) < 25
    ends = run.core_c[24 * HOT_DAYS - 2 : 24 * HOT_DAYS + 3, 0]
    assert np.abs(np.diff(ends)).max() < 2.0  # the hot time passes into cooling without a leap


def test_the_heat_above_the_air_comes_from_the_food(runs) -> None:
    assert _at(runs["hungry"], 10) < _at(runs["long"], 10) - 15


def test_a_turn_lets_heat_out_and_it_comes_back(runs) -> None:
    turned, still = runs["turned"], runs["long"]
    assert turned.at(EIGHT + 2, 0) < still.at(EIGHT + 2, 0) - 6
    assert _at(turned, 10.5) == pytest.approx(_at(still, 10.5), abs=3.0)


def test_an_open_toe_is_colder_and_a_turn_evens_it(runs) -> None:
    run = runs["toe"]
    apart = run.at(EIGHT - 2, 0) - run.at(EIGHT - 2, 1)
    mixed = run.at(EIGHT + 1, 0) - run.at(EIGHT + 1, 1)
    assert apart > 8
    assert mixed < 0.7 * apart


def test_the_edge_is_colder_than_the_core(runs) -> None:
    run = runs["long"]
    assert 12 < run.at(200, 0, edge=True) < run.at(200, 0) + 1
    late = slice(30 * 24, 40 * 24)
    assert run.edge_c[late].mean() < run.core_c[late].mean()


def test_too_dry_does_nothing_and_too_wet_is_late__luangwilai_2012(runs) -> None:
    """Luangwilai, Sidhu, Nelson 2012 (ANZIAM J 53): negligible reaction if too dry, delayed if too wet."""
    assert runs["dry"].core_c.max() < 35
    assert _at(runs["soaked"], 3) < _at(runs["long"], 3) - 3


def test_a_dry_row_gets_the_water_that_brings_it_to_the_target(runs) -> None:
    run = runs["watered"]
    litres = run.given[EIGHT]
    assert litres > 100
    assert run.moisture[int(EIGHT) - 1] < WET_AGAIN - 0.05
    assert run.moisture[int(EIGHT) + 1] == pytest.approx(WET_AGAIN, abs=0.01)
    assert runs["turned"].given == {}
    assert runs["dry"].given == {}


def test_rain_falls_on_its_day_and_wets_a_row_that_is_not_sheltered() -> None:
    stormy = Air(
        MILD.mean_c, tuple(46.0 if d == 3 else 0.0 for d in range(121)), MILD.wind_m_s, MILD.wind_from
    )
    assert sky_of(stormy).rain_mm[72:96].sum() == pytest.approx(46.0)
    out = courses({"open": Heap(0, ONE), "roofed": Heap(0, ONE, sheltered=True)}, stormy, 6 * 24)
    assert out["open"].wet_at(5 * 24) > out["roofed"].wet_at(5 * 24) + 0.005


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
