"""Masses add up, whatever is mixed with whatever."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import mix

fractions = st.floats(0.02, 0.95)
ingredients = st.builds(
    Ingredient,
    name=st.just("a part"),
    moisture_wet=fractions,
    n_dry=st.floats(0.0005, 0.12),
    c_dry=st.floats(0.2, 0.58),
    om_dry=st.floats(0.2, 1.0),
    density=st.floats(20, 1100),
)
parts = st.lists(st.tuples(ingredients, st.floats(0.1, 5000)), min_size=1, max_size=8)
Parts = list[tuple[Ingredient, float]]


@given(parts, st.floats(0, 3000))
def test_dry_matter_carbon_and_nitrogen_of_the_mix_are_those_of_the_parts(
    parts: Parts, water_kg: float
) -> None:
    got = mix([i for i, _ in parts], [kg for _, kg in parts], water_kg)
    dry = sum(kg - kg * i.moisture_wet for i, kg in parts)
    assert math.isclose(got.dry_kg, dry, rel_tol=1e-12)
    assert math.isclose(got.mass_kg * (1 - got.moisture_wet), dry, rel_tol=1e-9)
    assert math.isclose(got.c_kg, sum((kg - kg * i.moisture_wet) * i.c_dry for i, kg in parts), rel_tol=1e-12)
    assert math.isclose(got.n_kg, sum((kg - kg * i.moisture_wet) * i.n_dry for i, kg in parts), rel_tol=1e-12)


@given(parts, st.randoms())
def test_a_mix_does_not_depend_on_the_order_of_its_parts(parts: Parts, chance: object) -> None:
    turned = list(parts)
    chance.shuffle(turned)  # type: ignore[attr-defined]
    assert mix([i for i, _ in parts], [kg for _, kg in parts], 10, 0.1) == mix(
        [i for i, _ in turned], [kg for _, kg in turned], 10, 0.1
    )


@given(parts)
def test_cn_moisture_and_density_of_a_mix_lie_between_those_of_its_parts(parts: Parts) -> None:
    got = mix([i for i, _ in parts], [kg for _, kg in parts])
    for value, values in (
        (got.cn, [i.c_dry / i.n_dry for i, _ in parts]),
        (got.moisture_wet, [i.moisture_wet for i, _ in parts]),
        (got.density, [i.density for i, _ in parts]),
    ):
        assert min(values) * (1 - 1e-9) <= value <= max(values) * (1 + 1e-9)


@given(parts, parts)
def test_mixing_two_mixes_is_mixing_all_their_parts(one: Parts, two: Parts) -> None:
    halves = [mix([i for i, _ in half], [kg for _, kg in half]) for half in (one, two)]
    again = mix(
        [Ingredient("half", h.moisture_wet, h.n_dry, h.c_dry, h.om_dry, h.density) for h in halves],
        [h.mass_kg for h in halves],
    )
    whole = mix([i for i, _ in one + two], [kg for _, kg in one + two])
    for name in ("moisture_wet", "cn", "density", "om_dry"):
        assert math.isclose(getattr(again, name), getattr(whole, name), rel_tol=1e-9)


def test_a_part_of_unknown_density_leaves_volume_and_air_space_unknown(
    dairy: Ingredient, hay: Ingredient
) -> None:
    got = mix([dairy, hay], [1000, 100])
    assert (got.volume_m3, got.density, got.fas, got.fas_conservative) == (None, None, None, None)
    assert mix([dairy, hay], [1000, 0]).density == pytest.approx(dairy.density)


def test_shrink_takes_volume_and_air_but_no_mass(dairy: Ingredient, straw: Ingredient) -> None:
    loose, set_in = mix([dairy, straw], [1000, 200]), mix([dairy, straw], [1000, 200], shrink=0.1)
    assert set_in.mass_kg == loose.mass_kg
    assert set_in.volume_m3 == pytest.approx(0.9 * loose.volume_m3)
    assert set_in.fas < loose.fas


def test_without_nitrogen_the_cn_is_infinite() -> None:
    assert mix([Ingredient("lime-free sand", 0.1, 0.0, 0.0, 0.0)], [10]).cn == math.inf


@pytest.mark.parametrize(
    ("masses", "water", "shrink", "says"),
    [
        ([-1.0, 1.0], 0.0, 0.0, "mass of dairy manure -1.0 kg"),
        ([math.nan, 1.0], 0.0, 0.0, "mass of dairy manure nan kg"),
        ([1.0], 0.0, 0.0, "1 masses for 2 ingredients"),
        ([1.0, 1.0], -3.0, 0.0, "mass of water -3.0 kg"),
        ([1.0, 1.0], 0.0, 1.0, "shrink 1.0"),
        ([0.0, 0.0], 5.0, 0.0, "dry mass 0.0 kg"),
    ],
)
def test_a_broken_promise_names_value_and_limit(
    dairy: Ingredient, straw: Ingredient, masses: list[float], water: float, shrink: float, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        mix([dairy, straw], masses, water, shrink)
