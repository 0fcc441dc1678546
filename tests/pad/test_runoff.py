"""Runoff at its edges, and laws that any runoff keeps."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from turnrow.handbook.figures import pond_figures
from turnrow.pad.runoff import GROUND, Surface, on_ground, peak, retention, runoff, season, shed

BOOK = pond_figures()
rains, numbers = st.floats(0.0, 1000.0), st.floats(30.0, 100.0)
surfaces = st.lists(
    st.builds(Surface, st.just("x"), st.floats(0.0, 1e6), numbers, st.floats(0.0, 1.0), st.floats(0.0, 1.0)),
    min_size=1,
    max_size=6,
)


@given(rains, numbers, st.booleans())
def test_no_more_runs_off_than_rained(rain: float, cn: float, low: bool) -> None:
    assert 0.0 <= runoff(rain, cn, BOOK, low=low) <= rain * (1.0 + 1e-12)


@given(rains, rains, numbers, numbers, st.booleans())
def test_more_rain_or_a_higher_number_runs_off_no_less(a, b, one, two, low) -> None:
    less, more = sorted((a, b))
    low_cn, high_cn = sorted((one, two))
    close = 1e-9 * (1.0 + more)
    assert runoff(less, low_cn, BOOK, low=low) <= runoff(more, low_cn, BOOK, low=low) + close
    assert runoff(more, low_cn, BOOK, low=low) <= runoff(more, high_cn, BOOK, low=low) + close


@given(numbers)
def test_rain_of_just_what_is_kept_runs_off_nowhere(cn: float) -> None:
    kept = 0.2 * retention(cn)
    assert runoff(kept, cn, BOOK) == pytest.approx(0.0, abs=1e-12)
    assert runoff(kept + 1.0, cn, BOOK) > 0.0


def test_exactly_what_is_kept_is_nothing_in_whole_numbers() -> None:
    """CN 50: S is 10 in, of which 2 in are kept."""
    assert runoff(2 * 25.4, 50.0, BOOK) == 0.0


@given(rains, st.booleans())
def test_all_runs_off_ground_that_keeps_nothing(rain: float, low: bool) -> None:
    assert runoff(rain, 100.0, BOOK, low=low) == pytest.approx(rain)


@given(st.floats(1.0, 100.0))
def test_ground_wet_before_has_the_higher_number(cn: float) -> None:
    dry, average, wet = (on_ground(cn, ground, BOOK) for ground in GROUND)
    assert 0.0 < dry <= average + 1e-9 and average <= wet + 1e-9 and wet <= 100.0 + 1e-9


@given(surfaces, st.floats(0.0, 200.0))
def test_one_weighted_number_never_says_more_of_a_storm_to_200_mm(several, rain: float) -> None:
    """There runoff bends upwards in the curve number, whatever the number (looked at from 31 to 99)."""
    assume(sum(one.area for one in several) > 1.0)
    found = shed(several, rain, BOOK)
    assert found.weighted_total is not None
    assert found.weighted_total <= found.total * (1.0 + 1e-9)
    if found.spread == 0.0:
        assert found.weighted_total == pytest.approx(found.total)
    assert found.total <= rain / 1000.0 * sum(one.area for one in several) * (1.0 + 1e-12)


def test_of_a_storm_far_larger_it_may_say_a_little_more() -> None:
    found = shed([Surface("a", 1.0, 30.0), Surface("b", 1.0, 50.0)], 900.0, BOOK)
    assert found.weighted_total is not None and 1.0 < found.weighted_total / found.total < 1.05


def test_parts_of_one_ground_run_off_as_the_whole() -> None:
    whole = shed([Surface("a", 900.0, 88.0)], 40.0, BOOK)
    parts = shed([Surface("a", 400.0, 88.0), Surface("b", 500.0, 88.0)], 40.0, BOOK)
    assert parts.total == pytest.approx(whole.total)
    assert whole.depth == pytest.approx(whole.depths[0])


def test_no_area_is_no_runoff() -> None:
    found = shed([Surface("a", 0.0, 98.0)], 40.0, BOOK)
    assert (found.total, found.depth, found.weighted_cn, found.spread) == (0.0, 0.0, None, 0.0)
    assert found.depths[0] > 30.0
    assert peak([Surface("a", 0.0, coefficient=0.9)], 50.0) == 0.0


def test_a_surface_known_by_its_coefficient_has_no_part_in_a_weighted_number() -> None:
    found = shed([Surface("a", 100.0, 98.0), Surface("b", 100.0, coefficient=0.5)], 40.0, BOOK)
    assert found.weighted_cn is None and found.weighted_total is None
    assert found.depths[1] == 20.0


def test_a_season_goes_by_what_each_surface_lets_run_off() -> None:
    assert season([Surface("a", 1000.0, 90.0), Surface("b", 1000.0, 74.0, runs_off=0.2)], 50.0) == 60.0


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: retention(0.0),
        lambda: retention(100.1),
        lambda: retention(float("nan")),
        lambda: runoff(-1.0, 80.0, BOOK),
        lambda: on_ground(80.0, "soaked", BOOK),
        lambda: shed([Surface("a", -1.0, 80.0)], 10.0, BOOK),
        lambda: shed([Surface("a", 1.0)], 10.0, BOOK),
        lambda: shed([Surface("a", 1.0, coefficient=1.1)], 10.0, BOOK),
        lambda: peak([Surface("a", 1.0, 80.0)], 10.0),
        lambda: peak([Surface("a", 1.0, coefficient=0.5)], -1.0),
        lambda: season([Surface("a", 1.0, 80.0)], -1.0),
    ],
)
def test_what_cannot_be_is_a_broken_promise(wrong) -> None:
    with pytest.raises(ValueError, match="want"):
        wrong()
