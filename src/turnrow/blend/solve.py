"""A recipe: the cheapest plan that holds its limits, with the chance asked, or why there is none."""

from dataclasses import replace
from math import isfinite

import numpy as np

from turnrow.blend.budget import budget_for
from turnrow.blend.chance import FULL, Chances, Outcomes
from turnrow.blend.judge import Judge, Plan
from turnrow.blend.mixing import mix
from turnrow.blend.problem import Problem
from turnrow.blend.program import Columns, asked, columns
from turnrow.blend.recipe import Recipe, Tie
from turnrow.blend.search import Outcome, by_margin, in_loads
from turnrow.blend.skew import fitted

ENDED = (
    "the search ended, at its set amount of work, before a plan was found: "
    "wider limits, a lower chance or fewer materials are searched further"
)
OVER = 0.1  # a total passed by more than this share is said


def solve(problem: Problem, seed: int = 0, *, beside: int = 0) -> Recipe:
    """The recipe for `problem`; `beside`: so many near-ties with it. The same seed, the same answer.

    Water "needed" is added only where no plan does without. ValueError: a load without a density.
    """
    when = problem.water.when
    recipe = _searched(problem, seed, beside, when == "any")
    if recipe.status == "infeasible" and when == "needed" and problem.targets.moisture_wet:
        watered = _searched(problem, seed, beside, True)
        if watered.found:
            said = f"no plan does without water: add {watered.water_kg / 1000:.3g} t"
            return replace(watered, warnings=(*watered.warnings, said))
    return recipe


def _searched(problem: Problem, seed: int, beside: int, watered: bool) -> Recipe:
    laid = columns(problem, watered)
    if (laid.low > laid.high).any():
        return _nothing("infeasible", "")
    outcomes = Outcomes(problem.offers, laid.limits, seed, laid.spread)
    laid, cuts = fitted(laid, outcomes, asked(problem.confidence))
    drawn = problem.confidence is not None or problem.far is not None
    budget = budget_for(len(laid.cost), drawn)
    judge = Judge(laid, outcomes, problem.confidence, budget, problem.far, asked(problem.confidence))
    came = in_loads(laid, judge, beside, seed, cuts) if laid.whole.all() else None
    if came is None:
        came = by_margin(laid, judge, seed)
    if came.plan is None:
        hopeless = problem.confidence is not None and bool(laid.exact.any())  # hit exactly: never, as drawn
        ended = came.status == "limit" and not hopeless
        why = ENDED if ended else ""
        return _nothing("limit" if ended else "infeasible", why)
    return _recipe(problem, laid, outcomes, came, came.plan)


def _nothing(status: str, why: str) -> Recipe:
    assert status in ("infeasible", "limit")
    return Recipe(
        status="limit" if status == "limit" else "infeasible",
        loads={},
        mass_kg={},
        water_kg=0.0,
        mix=None,
        cost=None,
        chances=None,
        why=why,
    )


def _recipe(problem: Problem, laid: Columns, outcomes: Outcomes, came: Outcome, plan: Plan) -> Recipe:
    n = laid.offers
    masses = plan.x[:n] * laid.unit_kg[:n]
    water = float(plan.x[n:].sum()) * 1000
    chances = plan.chances
    if chances is None and problem.spread:
        chances = outcomes.of(plan.x[:n], water, FULL)
    warnings = []
    total = float(masses.sum()) + water
    if problem.total_kg is not None and total > problem.total_kg * (1 + OVER):
        warnings.append(f"whole loads that hold make {total / 1000:.4g} t, more than asked")
    why = ""
    if came.status == "limit" and came.floor is not None:
        why = (
            f"not proven cheapest: no plan costs less than {came.floor:.6g}"
            if laid.priced and isfinite(came.floor)
            else "not proven best"
        )
    return Recipe(
        status=came.status,
        loads=_loads(problem, plan),
        mass_kg=_masses(problem, laid, plan),
        water_kg=water,
        mix=mix([offer.what for offer in problem.offers], masses.tolist(), water, problem.shrink),
        cost=plan.cost if laid.priced else 0.0,
        chances=chances,
        far=plan.far,
        near_ties=tuple(
            Tie(
                _loads(problem, one), _masses(problem, laid, one), _more(laid, one, plan), _joint(one.chances)
            )
            for one in came.beside
        ),
        warnings=tuple(warnings),
        why=why,
    )


def _more(laid: Columns, one: Plan, plan: Plan) -> float:
    return one.cost - plan.cost if laid.priced else 0.0


def _joint(chances: Chances | None) -> float | None:
    return None if chances is None else chances.joint


def _loads(problem: Problem, plan: Plan) -> dict[str, int]:
    offers = enumerate(problem.offers)
    return {offer.what.name: round(float(plan.x[i])) for i, offer in offers if offer.load_m3 is not None}


def _masses(problem: Problem, laid: Columns, plan: Plan) -> dict[str, float]:
    kg = np.asarray(plan.x * laid.unit_kg)
    return {offer.what.name: float(kg[i]) for i, offer in enumerate(problem.offers)}
