"""Many materials with a chance asked: the search ends within its budget, with an honest status.

What is counted is the budget, never the time. The materials are invented, and so are their deviations.
"""

from dataclasses import replace

import numpy as np
import pytest

from turnrow.blend.budget import Budget, budget_for
from turnrow.blend.chance import Outcomes
from turnrow.blend.explain import explain
from turnrow.blend.highs import INFINITY, Program
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.limits_linear import limits
from turnrow.blend.problem import Offer, Problem, Targets, Water
from turnrow.blend.solve import solve

NARROW = Targets(cn=(28.0, 33.0), moisture_wet=(0.55, 0.60), fas_min=0.35)
OTHER_DRAWS = 40_000


def many(materials: int, confidence: float, whole: float = 1.0, targets: Targets = NARROW) -> Problem:
    chance = np.random.default_rng(materials)
    offers = []
    for i in range(materials):
        wet = i % 2 == 0
        carbon = chance.uniform(0.40, 0.50)
        nitrogen = carbon / (chance.uniform(12, 30) if wet else chance.uniform(35, 160))
        density = chance.uniform(600, 950) if wet else chance.uniform(80, 350)
        moisture = chance.uniform(0.62, 0.84) if wet else chance.uniform(0.10, 0.42)
        offers.append(
            Offer(
                Ingredient(f"m{i}", moisture, nitrogen, carbon, 0.85, density),
                cost_per_t=round(chance.uniform(0, 60), 2),
                load_m3=2.5 if chance.random() < whole else None,
                stock_kg=chance.uniform(2_000, 40_000),
                lot=Spread(0.02, 0.12 * nitrogen, 0.02, 0.06 * density),
                load=Spread(moisture_wet=0.02, fill=0.1),
            )
        )
    offers = [o if o.load_m3 else replace(o, load=Spread()) for o in offers]
    return Problem(tuple(offers), targets, 40_000.0, confidence=confidence, water=Water("never"))


def counts(problem: Problem, mass_kg: dict[str, float]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([mass_kg[offer.what.name] / offer.unit_kg for offer in problem.offers])


@pytest.mark.parametrize(
    ("materials", "confidence", "whole"), [(25, 0.95, 1.0), (60, 0.8, 1.0), (25, 0.7, 0.6), (60, 0.9, 0.0)]
)
def test_a_plan_of_many_holds_when_drawn_and_its_floor_is_true(
    materials: int, confidence: float, whole: float
) -> None:
    problem = many(materials, confidence, whole)
    found = solve(problem)
    assert found.status in ("optimal", "limit")
    if not found.found:
        assert found.status == "limit" and "ended" in found.why
        return
    assert found.chances is not None and (found.chances.joint or 0) >= confidence
    again = Outcomes(problem.offers, limits(problem), 99).of(
        counts(problem, dict(found.mass_kg)), 0.0, OTHER_DRAWS
    )
    noise = 4 * np.sqrt(confidence * (1 - confidence) * 2 / OTHER_DRAWS)
    assert (again.joint or 0) >= confidence - noise
    if found.status == "limit":
        assert "no plan costs less than" in found.why
        floor = float(found.why.split()[-1])
        assert found.cost is not None and floor <= found.cost * (1 + 1e-5)
        other = solve(replace(problem, offers=problem.offers[::-1]), seed=5)  # comes another way
        assert other.cost is None or floor <= other.cost * (1 + 1e-5)


def test_a_budget_is_never_overdrawn() -> None:
    budget = Budget(runs=3, nodes=40, each=25, drawings=5)
    granted = []
    while nodes := budget.run():
        granted.append(nodes)
        budget.took(nodes, proven=False)
    assert granted == [25, 15] and budget.spent and budget.cut
    assert [budget.draw(3), budget.draw(3), budget.draw(1)] == [3, 2, 0]


def test_steps_at_the_root_of_a_tree_are_counted_too() -> None:
    budget = Budget(runs=9, nodes=900, each=100, steps=5_000)
    granted = []
    while nodes := budget.run():
        granted.append(nodes)
        budget.took(0, proven=False, steps=2_000)
    assert granted == [100, 100, 100] and budget.spent and budget.cut and budget.runs == 6


def test_a_program_asks_its_budget_and_says_when_there_is_none() -> None:
    budget = Budget(runs=1)
    one = Program(
        np.array([3.0, 2.0]),
        np.zeros(2),
        np.full(2, 9.0),
        np.array([[5.0, 3.0]]),
        np.array([17.0]),
        np.array([INFINITY]),
        [True, True],
        budget=budget,
    )
    assert one.solve().cost == 11.0  # one of the first, four of the second: 5 + 12 = 17
    again = one.solve()
    assert again.status == "limit" and not len(again.x) and again.bound == -INFINITY
    assert budget.runs == 0 and budget.cut


def test_many_columns_are_given_less_work_than_few() -> None:
    few, wide = budget_for(8, drawn=True), budget_for(25, drawn=True)
    assert wide.nodes < few.nodes and wide.each < few.each and wide.runs < few.runs
    assert wide.steps < few.steps


@pytest.mark.parametrize("materials", [25, 60])
def test_what_many_cannot_do_is_explained_within_the_budget(materials: int) -> None:
    """A mix wetter than the wettest material: moisture alone stands in the way, whatever is in stock."""
    told = explain(many(materials, 0.9, targets=Targets(moisture_wet=(0.86, 0.9))))
    assert told.conflict and any("moisture at least 86 %" in one for one in told.conflict)
    assert not any("in stock" in one for one in told.conflict)


def test_a_linear_program_that_has_no_end_is_no_plan_and_bounds_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Steps of the simplex are counted: with fewer than it takes, what it stands at is given as neither a
    plan nor a floor, and the recipe says that the search ended, never that none holds."""
    monkeypatch.setattr("turnrow.blend.highs.STEPS", 0)
    one = Program(
        np.array([3.0, 2.0]),
        np.zeros(2),
        np.full(2, 9.0),
        np.array([[5.0, 3.0]]),
        np.array([17.0]),
        np.array([INFINITY]),
    )
    half = one.solve()
    assert half.status == "limit" and not len(half.x) and half.bound == -INFINITY
    found = solve(many(8, 0.9))
    assert found.status == "limit" and "ended" in found.why
