"""Recipes against answers known without the solver: closed forms, and the golden mixes of the recipe notes.

The golden masses (notes 2b) are CALC from typical values, most of them MEMORY; as identities they must
come out to 1e-6. The two-ingredient forms are those of bc-handbook-1998 App. A (READ).
"""

from dataclasses import replace

import pytest

from turnrow.blend.closed_form import two_for_cn, two_for_moisture
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.layers import layers, spread
from turnrow.blend.problem import Offer, Problem, Targets, Water
from turnrow.blend.solve import solve


def exactly(cn: float | None = None, moisture: float | None = None) -> Targets:
    return Targets(
        cn=None if cn is None else (cn, cn), moisture_wet=None if moisture is None else (moisture, moisture)
    )


def a_tonne_of(first: Ingredient, *others: Ingredient) -> tuple[Offer, ...]:
    """Exactly 1000 kg of the first, any amount of the others at 1 a tonne."""
    return (Offer(first, least_kg=1000, stock_kg=1000), *(Offer(one, cost_per_t=1.0) for one in others))


def test_straw_for_a_carbon_to_nitrogen_ratio__golden(dairy: Ingredient, straw: Ingredient) -> None:
    found = solve(Problem(a_tonne_of(dairy, straw), exactly(cn=30)))
    assert found.status == "optimal"
    assert found.mass_kg["straw"] == pytest.approx(162.9, abs=0.05)
    assert found.mix is not None and found.mix.moisture_wet == pytest.approx(0.7134, abs=5e-5)


def test_straw_for_a_moisture__golden(dairy: Ingredient, straw: Ingredient) -> None:
    found = solve(Problem(a_tonne_of(dairy, straw), exactly(moisture=0.6)))
    assert found.mass_kg["straw"] == pytest.approx(437.5, rel=1e-9)
    assert found.mix is not None and found.mix.cn == pytest.approx(41.66, abs=0.005)


def test_straw_and_hay_for_both__golden(dairy: Ingredient, straw: Ingredient, hay: Ingredient) -> None:
    found = solve(Problem(a_tonne_of(dairy, straw, hay), exactly(30, 0.6)))
    assert found.mass_kg["straw"] == pytest.approx(242.55, abs=0.005)
    assert found.mass_kg["hay"] == pytest.approx(183.48, abs=0.005)


def test_leaves_and_litter_for_both__golden(
    dairy: Ingredient, leaves: Ingredient, broiler: Ingredient
) -> None:
    found = solve(Problem(a_tonne_of(dairy, leaves, broiler), exactly(30, 0.6)))
    assert found.mass_kg["leaves"] == pytest.approx(757.53, abs=0.005)
    assert found.mass_kg["broiler litter"] == pytest.approx(188.45, abs=0.005)
    assert found.mix is not None and found.mix.density == pytest.approx(446, abs=0.5)


def test_straw_and_sawdust_cannot_do_both__golden(
    dairy: Ingredient, straw: Ingredient, sawdust: Ingredient
) -> None:
    """The equations ask for -565.6 kg of sawdust."""
    found = solve(Problem(a_tonne_of(dairy, straw, sawdust), exactly(30, 0.6)))
    assert found.status == "infeasible"
    assert not found.found


def test_litter_and_sawdust_need_water__golden(broiler: Ingredient, sawdust: Ingredient) -> None:
    problem = Problem(a_tonne_of(broiler, sawdust), exactly(30, 0.6))
    found = solve(problem)
    assert found.mass_kg["sawdust"] == pytest.approx(957.3, abs=0.05)
    assert found.water_kg == pytest.approx(1078, abs=0.5)
    assert "water" in found.warnings[0]
    assert solve(replace(problem, water=Water("never"))).status == "infeasible"


@pytest.mark.parametrize("cn", [20.5, 25.0, 30.0, 44.0, 79.0])
@pytest.mark.parametrize("other", ["straw", "leaves", "sawdust"])
def test_two_ingredients_agree_with_the_closed_form_for_cn(
    dairy: Ingredient, other: str, cn: float, request: pytest.FixtureRequest
) -> None:
    carbon: Ingredient = request.getfixturevalue(other)
    ratio = two_for_cn(dairy, carbon, cn)
    if not isinstance(ratio, float):
        pytest.fail(f"{other} reaches C:N {cn}") if cn < carbon.c_dry / carbon.n_dry else None
        return
    found = solve(Problem((Offer(dairy), Offer(carbon)), exactly(cn=cn), total_kg=10_000))
    assert found.mass_kg["dairy manure"] / found.mass_kg[other] == pytest.approx(ratio, rel=1e-9)
    assert sum(found.mass_kg.values()) == pytest.approx(10_000, rel=1e-9)


@pytest.mark.parametrize("moisture", [0.15, 0.4, 0.6, 0.8])
def test_two_ingredients_agree_with_the_closed_form_for_moisture(
    dairy: Ingredient, straw: Ingredient, moisture: float
) -> None:
    ratio = two_for_moisture(dairy, straw, moisture)
    found = solve(Problem((Offer(dairy), Offer(straw)), exactly(moisture=moisture), total_kg=777))
    assert found.mass_kg["dairy manure"] / found.mass_kg["straw"] == pytest.approx(ratio, rel=1e-9)


def test_a_volume_is_asked_for(dairy: Ingredient, straw: Ingredient) -> None:
    found = solve(Problem((Offer(dairy), Offer(straw, 50.0)), Targets(moisture_wet=(0.5, 0.65)), total_m3=80))
    assert found.mix is not None and found.mix.volume_m3 == pytest.approx(80, rel=1e-9)
    shrunk = solve(
        Problem(
            (Offer(dairy), Offer(straw, 50.0)), Targets(moisture_wet=(0.5, 0.65)), total_m3=80, shrink=0.1
        )
    )
    assert shrunk.mix is not None and shrunk.mix.volume_m3 == pytest.approx(80, rel=1e-9)
    assert shrunk.mix.mass_kg == pytest.approx(found.mix.mass_kg / 0.9, rel=1e-9)


def test_of_equal_plans_the_one_with_fewest_loads_then_materials(
    dairy: Ingredient, straw: Ingredient
) -> None:
    """The same straw in two stacks at one price, one bucket twice the other: one stack, the big bucket."""
    stack = [replace(straw, name=name) for name in ("stack 1", "stack 2")]
    offers = (
        Offer(dairy, load_m3=3, loads=(4, 4)),
        Offer(stack[0], 50.0, load_m3=3),
        Offer(stack[1], 50.0, load_m3=6),
    )
    found = solve(Problem(offers, Targets(moisture_wet=(0.55, 0.65))), beside=3)
    assert found.loads["stack 1"] == 0
    assert found.loads["stack 2"] > 0
    assert found.near_ties
    assert all(tie.more_cost <= 0.02 * (found.cost or 0) + 1e-6 for tie in found.near_ties)


def test_without_any_price_the_fewest_loads(dairy: Ingredient, straw: Ingredient) -> None:
    offers = (Offer(dairy, load_m3=3, loads=(8, 8)), Offer(straw, load_m3=3))
    found = solve(Problem(offers, Targets(moisture_wet=(0.5, 0.65))))
    assert found.cost == 0
    fewer = {**found.loads, "straw": found.loads["straw"] - 1}
    wet = sum(n * o.unit_kg * o.what.moisture_wet for o, n in zip(offers, fewer.values(), strict=True))
    assert wet / sum(n * o.unit_kg for o, n in zip(offers, fewer.values(), strict=True)) > 0.65


def test_stock_and_most_loads_are_kept(dairy: Ingredient, straw: Ingredient, leaves: Ingredient) -> None:
    offers = (
        Offer(dairy, load_m3=3, loads=(8, 8)),
        Offer(straw, 10.0, load_m3=3, stock_kg=4_000),
        Offer(leaves, 99.0, load_m3=3, loads=(0, 30)),
    )
    found = solve(Problem(offers, Targets(moisture_wet=(0.5, 0.65))))
    assert found.loads["straw"] == 9  # of 405 kg each: ten would be 4050 kg
    assert found.loads["leaves"] > 0


def test_layers_add_up_to_the_recipe(dairy: Ingredient, straw: Ingredient, leaves: Ingredient) -> None:
    problem = Problem(
        (
            Offer(dairy, load_m3=3, loads=(8, 8)),
            Offer(straw, 10.0, load_m3=3, stock_kg=4_000),
            Offer(leaves, 99.0, load_m3=3, loads=(0, 30)),
        ),
        Targets(moisture_wet=(0.5, 0.65)),
    )
    recipe = solve(problem)
    laid = layers(problem, recipe)
    for name, loads in recipe.loads.items():
        assert sum((one.loads or 0) * one.times for one in laid if one.ingredient == name) == loads
    for name, kg in recipe.mass_kg.items():
        assert sum(one.tonnes * one.times for one in laid if one.ingredient == name) == pytest.approx(
            kg / 1000
        )
    assert laid[0].ingredient == "straw"
    assert [one.step for one in laid] == list(range(1, len(laid) + 1))


@pytest.mark.parametrize("count", range(1, 61))
@pytest.mark.parametrize("rounds", [1, 4, 5, 7, 10, 12])
def test_loads_are_spread_over_the_rounds_as_evenly_as_whole_loads_go(count: int, rounds: int) -> None:
    """Every load once, no round two more than another, no long stretch of rounds without one."""
    found = spread(count, rounds)
    assert sum(found) == count and max(found) - min(found) <= 1
    places = [turn for turn, loads in enumerate(found) for _ in range(loads)]
    for k, turn in enumerate(places):  # the k-th load is in the round the k-th part of the row's middle is in
        assert abs((turn + 0.5) / rounds - (k + 0.5) / count) <= 1 / min(count, rounds)


def test_one_scarce_load_does_not_make_one_round_of_everything(dairy: Ingredient, straw: Ingredient) -> None:
    """Twelve of manure, twelve of straw over its base and one of a third: twelve rounds, the third once."""
    meal = Ingredient("meal", 0.3, 0.08, 0.4, 0.8, 500.0)
    offers = (
        Offer(dairy, load_m3=3, loads=(12, 12)),
        Offer(straw, load_m3=3, loads=(24, 24)),
        Offer(meal, load_m3=3, loads=(1, 1)),
    )
    problem = Problem(offers, Targets())
    laid = [one for one in layers(problem, solve(problem)) if one.what != "base"]
    assert sum(one.times for one in laid if one.ingredient == "dairy manure") == 12
    assert all(one.loads == 1 for one in laid)
    assert [one.times for one in laid if one.ingredient == "meal"] == [1]
