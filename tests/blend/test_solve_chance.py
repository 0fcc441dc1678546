"""Chances against a drawing that shares nothing with the solver's: every load of every lot drawn and mixed.

The demonstration table is that of the recipe notes 5.4 (CALC there, its standard deviations ASSUMED). Its
carbon contents are not printed; they are taken here from its printed median C:N, so its C:N chances agree
less closely than its moistures.
"""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from turnrow.blend.chance import FULL, Outcomes
from turnrow.blend.explain import explain, reachable
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.limits_linear import limits
from turnrow.blend.problem import FarOutside, Offer, Problem, Targets, Water
from turnrow.blend.solve import solve

WINDOW = Targets(cn=(25, 45), moisture_wet=(0.50, 0.65), fas_min=0.35)
DRAWS = 20_000


def offer(
    what: Ingredient, moisture: tuple[float, float], cv: tuple[float, float, float], cost: float
) -> Offer:
    n, c, fill = cv
    return Offer(
        what,
        cost_per_t=cost,
        load_m3=3.0,
        loads=(0, 26),
        lot=Spread(moisture_wet=moisture[0], n_dry=n * what.n_dry, c_dry=c * what.c_dry),
        load=Spread(moisture_wet=moisture[1], fill=fill),
    )


@pytest.fixture
def shown() -> Problem:
    """The demonstration's three materials in its 3 m3 bucket."""
    dairy = Ingredient("manure", 0.81, 0.024, 0.450, 0.85, 865)
    straw = Ingredient("straw", 0.12, 0.007, 0.523, 0.85, 135)
    leaves = Ingredient("leaves", 0.38, 0.009, 0.494, 0.85, 267)
    return Problem(
        (
            offer(dairy, (0.03, 0.02), (0.15, 0.05, 0.07), 1),
            offer(straw, (0.03, 0.03), (0.25, 0.04, 0.12), 60),
            offer(leaves, (0.10, 0.05), (0.20, 0.06, 0.10), 20),
        ),
        WINDOW,
        water=Water("never"),
    )


def mixed(
    problem: Problem, plan: tuple[int, ...], seed: int, draws: int = DRAWS
) -> dict[str, NDArray[np.float64]]:
    """Brute force: a lot's error once, a load's for each load; ratios compared as they stand."""
    chance = np.random.default_rng(seed)
    mass, water, nitrogen, carbon, volume, solid = (np.zeros(draws) for _ in range(6))
    for one, loads in zip(problem.offers, plan, strict=True):
        what, lot, load = one.what, one.lot, one.load
        z = chance.multivariate_normal([0, 0], [[1, lot.corr_c_n], [lot.corr_c_n, 1]], draws)
        lot_m = what.moisture_wet + lot.moisture_wet * chance.standard_normal(draws)
        lot_n, lot_c = what.n_dry + lot.n_dry * z[:, 0], what.c_dry + lot.c_dry * z[:, 1]
        lot_d = (what.density or 0) + lot.density * chance.standard_normal(draws)
        lot_f = lot.fill * chance.standard_normal(draws)
        for _ in range(loads):
            e = chance.multivariate_normal([0, 0], [[1, load.corr_c_n], [load.corr_c_n, 1]], draws)
            m = lot_m + load.moisture_wet * chance.standard_normal(draws)
            room = (one.load_m3 or 0) * (1 + lot_f + load.fill * chance.standard_normal(draws))
            kg = room * (lot_d + load.density * chance.standard_normal(draws))
            mass += kg
            water += kg * m
            nitrogen += kg * (1 - m) * (lot_n + load.n_dry * e[:, 0])
            carbon += kg * (1 - m) * (lot_c + load.c_dry * e[:, 1])
            volume += room
            solid += kg * (1 - m) * (what.om_dry / 1600 + (1 - what.om_dry) / 2500)
    return {
        "moisture": water / mass,
        "cn": carbon / nitrogen,
        "fas": 1 - (water / 1000 + solid) / volume,
        "bulk_density": mass / volume,
    }


def drawn(problem: Problem, plan: tuple[int, ...], seed: int, draws: int = DRAWS) -> dict[str, float]:
    """Shares of outcomes in which each target holds, and all of them."""
    found, targets, held = mixed(problem, plan, seed, draws), problem.targets, {}
    for name, pair in (("moisture", targets.moisture_wet), ("cn", targets.cn)):
        if pair:
            held[name] = (found[name] >= pair[0]) & (found[name] <= pair[1])
    if targets.fas_min is not None:
        held["fas"] = found["fas"] >= targets.fas_min
    if targets.density_max is not None:
        held["bulk_density"] = found["bulk_density"] <= targets.density_max
    shares = {name: float(each.mean()) for name, each in held.items()}
    return {**shares, "joint": float(np.all(list(held.values()), axis=0).mean())}


def worst_tenth(problem: Problem, plan: tuple[int, ...], seed: int) -> float:
    """Mean of the worst tenth of outcomes outside, in widths of the ranges, ratios as they stand."""
    found, targets = mixed(problem, plan, seed), problem.targets
    loss = np.zeros(DRAWS)
    for name, pair in (("moisture", targets.moisture_wet), ("cn", targets.cn)):
        assert pair is not None
        over = np.maximum(pair[0] - found[name], found[name] - pair[1]) / (pair[1] - pair[0])
        loss = np.maximum(loss, over)
    return float(np.sort(loss)[-DRAWS // 10 :].mean())


def noise(p: float, *draws: int) -> float:
    """Four standard errors of the difference of two estimates, and a thousandth for rounding."""
    return 4 * float(np.sqrt(sum(max(p * (1 - p), 1e-3) / n for n in draws))) + 1e-3


@pytest.mark.parametrize(
    ("plan", "moisture", "cn"),
    [
        ((8, 8, 0), 0.007, 0.82),
        ((8, 12, 0), 0.13, 0.95),
        ((8, 22, 0), 0.975, 0.82),
        ((8, 16, 6), 0.953, 0.89),
    ],
)
def test_the_demonstration_table__recipe_notes_5_4(
    shown: Problem, plan: tuple[int, int, int], moisture: float, cn: float
) -> None:
    found = Outcomes(shown.offers, limits(shown), 0).of(np.array(plan, float), draws=FULL)
    assert found.moisture == pytest.approx(moisture, abs=0.005 + noise(moisture, FULL))
    assert found.cn == pytest.approx(cn, abs=0.03)
    assert found.fas == 1.0


@pytest.mark.parametrize("seed", range(6))
def test_chances_agree_with_every_load_drawn(shown: Problem, seed: int) -> None:
    """Larger errors than any yard's, in all numbers, of few loads and of many, C and N going together."""
    chance = np.random.default_rng(seed)
    offers = tuple(
        replace(
            one,
            lot=Spread(
                0.03, 0.1 * one.what.n_dry, 0.04 * one.what.c_dry, 0.08 * (one.what.density or 0), 0.03, 0.6
            ),
            load=Spread(
                0.03, 0.1 * one.what.n_dry, 0.04 * one.what.c_dry, 0.1 * (one.what.density or 0), 0.12, 0.4
            ),
        )
        for one in shown.offers
    )
    problem = replace(shown, offers=offers, targets=replace(WINDOW, fas_min=0.62, density_max=400))
    plan = tuple(int(n) for n in chance.integers([1, 1, 0], [9, 20, 8]))
    own = Outcomes(problem.offers, limits(problem), seed).of(np.array(plan, float))
    brute = drawn(problem, plan, seed + 77)
    for name, share in brute.items():
        assert getattr(own, name) == pytest.approx(share, abs=noise(share, FULL, DRAWS)), name


def test_the_same_seed_gives_the_same_chances_and_another_nearly(shown: Problem) -> None:
    plan = np.array([8.0, 16.0, 6.0])
    one, again, other = (Outcomes(shown.offers, limits(shown), seed).of(plan) for seed in (5, 5, 6))
    assert one == again
    assert one != other
    assert other.joint == pytest.approx(one.joint, abs=noise(one.joint or 0, FULL, FULL))


@pytest.mark.parametrize("confidence", [0.6, 0.7, 0.8])
def test_the_cheapest_plan_that_holds_is_that_of_counting_out(shown: Problem, confidence: float) -> None:
    """Every plan with 8 loads of manure, drawn load by load; those too close to call are left open."""
    offers = (replace(shown.offers[0], loads=(8, 8)), *shown.offers[1:])
    problem = replace(shown, offers=offers, confidence=confidence)
    found = solve(problem)
    assert found.status == "optimal" and found.chances is not None
    assert (found.chances.joint or 0) >= confidence
    plan = tuple(found.loads.values())
    assert drawn(problem, plan, 1)["joint"] >= confidence - noise(confidence, DRAWS)
    for straw, leaves in itertools.product(range(8, 27), range(12)):
        cost = sum(
            n * o.unit_kg / 1000 * o.cost_per_t for n, o in zip((8, straw, leaves), offers, strict=True)
        )
        if cost < (found.cost or 0) - 1e-9:
            share = drawn(problem, (8, straw, leaves), straw, 3_000)["joint"]
            assert share < confidence + noise(confidence, 3_000), (straw, leaves)


def test_a_chance_no_plan_has_is_infeasible_and_a_lower_one_is_told(shown: Problem) -> None:
    offers = (replace(shown.offers[0], loads=(8, 8)), *shown.offers[1:])
    problem = replace(shown, offers=offers, confidence=0.97)
    assert solve(problem).status == "infeasible"
    assert "a chance of 97 %" in explain(problem).conflict
    assert reachable(problem) in (0.7, 0.8, 0.85)


def test_any_amount_holds_its_chance_at_the_least_cost(shown: Problem) -> None:
    """Two materials, moisture alone: the closed answer for normal errors of two free amounts.

    With shares s and 1 - s of straw and manure the moisture is normal, so the cheapest s is where its
    mean lies z standard deviations below the limit; z for 95 % is 1.644854.
    """
    dry, wet = shown.offers[1], shown.offers[0]
    offers = tuple(replace(o, load_m3=None, loads=(0, None), load=Spread()) for o in (wet, dry))
    problem = Problem(
        offers, Targets(moisture_wet=(0.2, 0.65)), total_kg=10_000, confidence=0.95, water=Water("never")
    )
    found = solve(problem)
    assert found.status == "optimal" and found.chances is not None and (found.chances.joint or 0) >= 0.95
    share = np.linspace(0.1, 0.9, 800_001)
    mean = 0.81 - share * (0.81 - 0.12)
    z = (0.65 - mean) / (0.03 * np.hypot(share, 1 - share))
    least = float(share[np.argmax(z >= 1.644854)])
    assert found.mass_kg["straw"] / 10_000 == pytest.approx(least, abs=0.002)


def test_no_plan_fails_its_own_drawing_over_many_problems(shown: Problem) -> None:
    tried = 0
    for seed in range(25):
        chance = np.random.default_rng(seed)
        offers = tuple(
            replace(
                one, what=replace(one.what, moisture_wet=one.what.moisture_wet * chance.uniform(0.85, 1.05))
            )
            for one in shown.offers
        )
        problem = replace(shown, offers=offers, confidence=float(chance.choice([0.6, 0.75])), total_kg=20_000)
        found = solve(problem, seed)
        if found.found:
            tried += 1
            assert found.chances is not None and (found.chances.joint or 0) >= (problem.confidence or 1)
            share = drawn(problem, tuple(found.loads.values()), seed + 5, 8_000)["joint"]
            assert share >= (problem.confidence or 1) - noise(share, 8_000)
    assert tried >= 15


@pytest.mark.parametrize("plan", [(8, 12, 0), (8, 16, 6), (8, 22, 0)])
def test_how_far_outside_the_worst_lie_agrees_with_every_load_drawn(
    shown: Problem, plan: tuple[int, int, int]
) -> None:
    own = Outcomes(shown.offers, limits(shown), 0).far(np.array(plan, float), 0.0, 0.1)
    assert own == pytest.approx(worst_tenth(shown, plan, 3), rel=0.08, abs=0.005)


def test_the_worst_are_kept_as_near_as_asked_at_the_least_cost(shown: Problem) -> None:
    offers = (replace(shown.offers[0], loads=(8, 8)), *shown.offers[1:])
    problem = replace(shown, offers=offers, far=FarOutside(0.1, 0.35))
    found, plain = solve(problem), solve(replace(problem, far=None))
    assert found.status == "optimal" and found.far is not None and found.far <= 0.35
    assert (found.cost or 0) > (plain.cost or 0)
    assert worst_tenth(problem, tuple(found.loads.values()), 9) <= 0.35 * 1.1
    assert worst_tenth(problem, tuple(plain.loads.values()), 9) > 0.35
    for straw, leaves in itertools.product(range(8, 27), range(8)):
        cost = sum(
            n * o.unit_kg / 1000 * o.cost_per_t for n, o in zip((8, straw, leaves), offers, strict=True)
        )
        if cost < (found.cost or 0) - 1e-9 and drawn(problem, (8, straw, leaves), 1, 1_000)["fas"] > 0.99:
            assert worst_tenth(problem, (8, straw, leaves), straw) > 0.35 * 0.9, (straw, leaves)


def test_an_exact_target_has_no_chance_where_numbers_scatter(shown: Problem) -> None:
    free = tuple(replace(one, load_m3=None, loads=(0, None)) for one in shown.offers)
    problem = replace(shown, offers=free, targets=Targets(moisture_wet=(0.6, 0.6)), total_kg=5_000)
    assert solve(problem).status == "optimal"
    sure = replace(problem, confidence=0.9)
    assert solve(sure).status == "infeasible"
    assert explain(sure).conflict == ("a chance of 90 %", "moisture exactly 60 %")
