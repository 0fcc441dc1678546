"""The solver against counting out every plan, on problems it did not make up.

The judge here knows nothing of linear forms: it mixes every plan by `mixing.mix` and compares ratios,
moistures, densities and air spaces with the targets as they stand.
"""

import itertools

import numpy as np
import pytest

from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import Mix, mix
from turnrow.blend.problem import Offer, Problem, Targets, Water
from turnrow.blend.solve import solve

CLOSE = 1e-9
PROBLEMS = 240


def made(seed: int) -> Problem:
    chance = np.random.default_rng(seed)
    offers = []
    for i in range(int(chance.integers(2, 4))):
        moisture = chance.uniform(0.6, 0.85) if i == 0 else chance.uniform(0.05, 0.6)
        ratio = chance.uniform(8, 30) if i == 0 else chance.uniform(20, 200)
        carbon = chance.uniform(0.38, 0.52)
        what = Ingredient(f"m{i}", moisture, carbon / ratio, carbon, 0.9, chance.uniform(60, 900))
        most = int(chance.integers(3, 13))
        offers.append(
            Offer(
                what,
                cost_per_t=float(np.round(chance.uniform(0, 60), 1)),
                load_m3=float(chance.choice([1.5, 3.0])),
                loads=(int(chance.integers(0, 3)), most),
                stock_kg=None if chance.random() < 0.7 else float(chance.uniform(2_000, 30_000)),
            )
        )
    low, wet = chance.uniform(15, 30), chance.uniform(0.45, 0.58)
    targets = Targets(
        cn=(low, low + chance.uniform(3, 20)) if chance.random() < 0.85 else None,
        moisture_wet=(wet, wet + chance.uniform(0.03, 0.15)) if chance.random() < 0.85 else None,
        fas_min=chance.uniform(0.3, 0.6) if chance.random() < 0.5 else None,
        density_max=chance.uniform(300, 650) if chance.random() < 0.5 else None,
    )
    total = float(chance.uniform(2_000, 15_000))
    return Problem(tuple(offers), targets, total_kg=total, water=Water("never"))


def holds(found: Mix, targets: Targets) -> bool:
    cn, wet = targets.cn, targets.moisture_wet
    return (
        (cn is None or cn[0] * (1 - CLOSE) <= found.cn <= cn[1] * (1 + CLOSE))
        and (wet is None or wet[0] * (1 - CLOSE) <= found.moisture_wet <= wet[1] * (1 + CLOSE))
        and (targets.fas_min is None or (found.fas or 0) >= targets.fas_min - CLOSE)
        and (targets.density_max is None or (found.density or 0) <= targets.density_max * (1 + CLOSE))
    )


def counted_out(problem: Problem) -> float | None:
    """The least cost of any plan, None where none holds."""
    best = None
    total = problem.total_kg or 0.0
    units = [(o.load_m3 or 0) * (o.what.density or 0) for o in problem.offers]
    ranges = [range(o.loads[0], (o.loads[1] or 0) + 1) for o in problem.offers]
    for plan in itertools.product(*ranges):
        masses = [n * kg for n, kg in zip(plan, units, strict=True)]
        if sum(masses) < total:
            continue
        if any(
            o.stock_kg is not None and m > o.stock_kg for o, m in zip(problem.offers, masses, strict=True)
        ):
            continue
        if not holds(mix([o.what for o in problem.offers], masses), problem.targets):
            continue
        cost = sum(o.cost_per_t * m / 1000 for o, m in zip(problem.offers, masses, strict=True))
        best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("block", range(8))
def test_the_optimum_is_that_of_counting_out(block: int) -> None:
    feasible = 0
    for seed in range(block * PROBLEMS // 8, (block + 1) * PROBLEMS // 8):
        problem = made(seed)
        best, found = counted_out(problem), solve(problem)
        if best is None:
            assert found.status == "infeasible", seed
            continue
        feasible += 1
        assert found.status == "optimal", seed
        assert found.cost == pytest.approx(best, rel=1e-9, abs=1e-9), seed
        assert found.mix is not None and holds(found.mix, problem.targets), seed
    assert feasible >= 3
