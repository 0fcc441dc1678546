"""The base of a heap under its own weight, and the room a mix takes by bucket tests."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from turnrow.blend.air_space import air_space_of_pail, filled_volume
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import Mix, mix
from turnrow.blend.settled import GRAVITY, at_base, base_term, unturned_faults
from turnrow.blend.shrink import BucketTest, fit_shrink


def heap(density: float, moisture: float = 0.6, organic: float = 0.85) -> Mix:
    return mix([Ingredient("heap", moisture, 0.009, 0.45, organic, density)], [1000])


def rich(density: float) -> Mix:
    return mix([Ingredient("heap", 0.6, 0.016, 0.45, 0.85, density)], [1000])


@pytest.mark.parametrize(("density", "height"), [(300, 1.5), (500, 2.0), (600, 3.0)])
def test_the_base_agrees_with_pressing_thin_layers_one_on_another(density: float, height: float) -> None:
    """Ten thousand layers, each pressed by what lies on it, worked by steps."""
    layers, pressure, rho = 10_000, 0.0, density
    for _ in range(layers):
        rho = density * math.exp(0.02 * pressure)
        middle = density * math.exp(0.02 * (pressure + rho * GRAVITY / 1000 * height / layers / 2))
        pressure += middle * GRAVITY / 1000 * height / layers
    got = at_base(heap(density), height)
    assert got.density == pytest.approx(density * math.exp(0.02 * pressure), rel=1e-6)
    assert got.pressure_kpa == pytest.approx(pressure, rel=1e-6)


@given(st.floats(100, 900), st.floats(0.1, 6), st.floats(0, 0.1))
def test_the_base_is_denser_and_has_less_air_but_never_less_than_none(
    density: float, height: float, press: float
) -> None:
    made = heap(density)
    got = at_base(made, height, press)
    assert got.density >= density * (1 - 1e-12)
    assert got.mean_density == pytest.approx(1000 * got.pressure_kpa / GRAVITY / height)
    assert density * (1 - 1e-9) <= got.mean_density <= got.density * (1 + 1e-9)
    assert made.fas is not None
    assert min(made.fas, 0) - 1e-9 <= got.fas <= made.fas + 1e-9
    assert got.fas_conservative < got.fas


def test_an_unturned_heap_is_judged_at_its_settled_base() -> None:
    airy, mid, dense = heap(350), heap(620, 0.6), heap(800, 0.7)
    assert unturned_faults(airy, 1.5) == ()
    assert [word.split(",")[1] for word in unturned_faults(mid, 3.0)] == [" want 30 %"]
    assert len(unturned_faults(dense, 2.0)) == 2
    assert unturned_faults(rich(350), 1.5) == ("C:N 28, want 40-60 where nobody turns",)


@given(
    st.lists(
        st.tuples(st.floats(0.05, 0.8), st.floats(0.4, 0.99), st.floats(40, 900), st.floats(1, 1000)),
        min_size=1,
        max_size=5,
    ),
    st.floats(0.1, 0.6),
    st.floats(0, 4),
)
def test_the_linear_form_of_the_floor_at_the_base_says_what_the_base_says(
    parts: list[tuple[float, float, float, float]], floor: float, height: float
) -> None:
    made = [Ingredient("a part", m, 0.01, 0.45, om, rho) for m, om, rho, _ in parts]
    masses = [kg for *_, kg in parts]
    term = base_term(floor, height)
    sum_of_parts = sum(
        kg * (filled_volume(i.moisture_wet, i.om_dry) + term - (1 - floor) / (i.density or 1))
        for i, kg in zip(made, masses, strict=True)
    )
    assume(abs(sum_of_parts) > 1e-9 * sum(masses))
    assert (at_base(mix(made, masses), height).fas >= floor) == (sum_of_parts < 0)


@given(
    st.floats(0, 0.3),
    st.lists(st.lists(st.floats(1, 100), min_size=2, max_size=4), min_size=2, max_size=6),
)
def test_bucket_tests_give_back_the_shrink_they_were_made_with(
    shrink: float, parts: list[list[float]]
) -> None:
    got = fit_shrink([BucketTest(tuple(one), (1 - shrink) * sum(one)) for one in parts])
    assert got.shrink == pytest.approx(shrink, abs=1e-9)
    assert got.error == pytest.approx(0, abs=1e-9)


def test_bucket_tests_agree_with_least_squares_of_a_library() -> None:
    """numpy.linalg.lstsq on the same line through nothing."""
    apart, together = [20.0, 30.0, 40.0, 25.0], [17.5, 27.0, 35.5, 23.0]
    slope = np.linalg.lstsq(np.array(apart)[:, None], np.array(together), rcond=None)[0][0]
    got = fit_shrink([BucketTest((a / 4, 3 * a / 4), m) for a, m in zip(apart, together, strict=True)])
    assert got.shrink == pytest.approx(1 - slope)
    assert got.error is not None
    assert 0 < got.error < 0.02


def test_a_mix_looser_than_its_parts_shrinks_by_nothing_and_says_so() -> None:
    got = fit_shrink([BucketTest((10, 10), 21)])
    assert (got.shrink, got.error) == (0, None)
    assert got.fitted == pytest.approx(-0.05)
    assert "looser" in got.words
    assert "slip" in fit_shrink([BucketTest((10, 10), 11)]).words
    assert "make three" in fit_shrink([BucketTest((10, 10), 18)]).words


@pytest.mark.parametrize("tests", [[], [BucketTest((10,), 9)], [BucketTest((10, 0), 9)]])
def test_a_bucket_test_that_cannot_be_is_named(tests: list[BucketTest]) -> None:
    with pytest.raises(ValueError, match="bucket test"):
        fit_shrink(tests)


def test_a_base_needs_a_density_and_a_height() -> None:
    with pytest.raises(ValueError, match="density of the mix None"):
        at_base(mix([Ingredient("hay", 0.1, 0.02, 0.45, 0.9)], [10]), 2)
    with pytest.raises(ValueError, match="height -1"):
        at_base(heap(400), -1)
    with pytest.raises(ValueError, match="air space of the mix None"):
        unturned_faults(mix([Ingredient("hay", 0.1, 0.02, 0.45, 0.9)], [10]), 2)


def test_a_pail_filled_with_water_measures_the_air() -> None:
    assert air_space_of_pail(9, 20) == 0.45
    with pytest.raises(ValueError, match="21 litres of water"):
        air_space_of_pail(21, 20)
