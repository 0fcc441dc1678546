"""Bases, water, closed forms and losses: exact where they are exact, refused where they do not hold."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.blend import basis, water
from turnrow.blend.closed_form import Impossible, two_for_cn, two_for_moisture
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.losses import BANDS, nitrogen_loss
from turnrow.blend.mixing import mix

moistures = st.floats(0.0, 0.95)


@given(moistures)
def test_wet_and_dry_basis_turn_back_into_one_another(moisture: float) -> None:
    assert basis.wet_basis(basis.dry_basis(moisture)) == pytest.approx(moisture, rel=1e-12, abs=1e-15)
    assert basis.as_received(basis.per_dry(0.02, moisture), moisture) == pytest.approx(0.02)


@given(st.floats(1, 1e6), moistures, moistures)
def test_water_added_or_dried_off_reaches_the_moisture_and_keeps_the_dry_mass(
    mass: float, moisture: float, wanted: float
) -> None:
    added = water.water_to_add(mass, moisture, wanted)
    gone = water.water_to_dry_off(mass, moisture, wanted)
    assert min(added, gone) == 0
    after = mass + added - gone
    assert after * (1 - wanted) == pytest.approx(mass * (1 - moisture), rel=1e-9)
    assert water.mass_after_drying(mass, moisture, wanted) == pytest.approx(after, rel=1e-9)


def test_water_that_runs_off_must_be_given_too() -> None:
    assert water.water_to_add(1000, 0.5, 0.6, kept=0.8) == pytest.approx(250 / 0.8)


parts = st.builds(
    Ingredient,
    name=st.just("a part"),
    moisture_wet=st.floats(0.05, 0.9),
    n_dry=st.floats(0.001, 0.1),
    c_dry=st.floats(0.3, 0.55),
    om_dry=st.just(0.9),
)


@given(parts, parts, st.floats(0.1, 0.85), st.floats(5, 200))
def test_two_ingredients_by_pencil_meet_the_target_when_mixed(
    a: Ingredient, b: Ingredient, moisture: float, cn: float
) -> None:
    ratio = two_for_moisture(a, b, moisture)
    if isinstance(ratio, Impossible):
        assert not min(a.moisture_wet, b.moisture_wet) < moisture < max(a.moisture_wet, b.moisture_wet)
    else:
        assert mix([a, b], [ratio, 1]).moisture_wet == pytest.approx(moisture, rel=1e-9)
    ratio = two_for_cn(a, b, cn)
    ends = sorted((a.c_dry / a.n_dry, b.c_dry / b.n_dry))
    if isinstance(ratio, Impossible):
        assert not ends[0] * (1 + 1e-12) < cn < ends[1] * (1 - 1e-12)
    else:
        assert mix([a, b], [ratio, 1]).cn == pytest.approx(cn, rel=1e-7)


def test_a_target_outside_both_is_reported_and_not_divided_by(dairy: Ingredient, straw: Ingredient) -> None:
    found = two_for_cn(straw, dairy, 80)
    assert isinstance(found, Impossible)
    assert "C:N 80 is not between that of straw (80) and of dairy manure (19)" in found.words
    assert isinstance(two_for_moisture(straw, dairy, 0.12), Impossible)


def test_nitrogen_loss_bands_leave_no_gap_and_are_not_interpolated() -> None:
    assert [(b.above, b.upto) for b in BANDS] == [(0, 20), (20, 25), (25, 30), (30, math.inf)]
    assert [nitrogen_loss(cn).loss for cn in (12, 19.99, 20, 24.9, 25, 30, 45)] == [
        *("high", "high", "some", "some", "low to some", "low", "low")
    ]
    with pytest.raises(ValueError, match="C:N 0"):
        nitrogen_loss(0)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: basis.dry_basis(1.0), "moisture 1.0"),
        (lambda: basis.wet_basis(-0.1), "moisture on the dry basis -0.1"),
        (lambda: basis.moisture_of_sample(5, 6), "dry 6 g"),
        (lambda: basis.density_of_pail(1, 2, 20), "want full above empty"),
        (lambda: water.water_to_add(-1, 0.5, 0.6), "mass -1"),
        (lambda: water.water_to_add(1, 0.5, 1.0), "moisture 1.0"),
        (lambda: water.water_to_add(1, 0.5, 0.6, kept=0), "kept 0"),
        (lambda: water.moisture_ceiling(0, 0.8, 0.3), "dry density 0"),
    ],
)
def test_a_broken_promise_names_the_value(call: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()  # type: ignore[operator]
