"""Why no plan holds: the smallest set of demands that cannot hold together, and what would mend it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np

from turnrow.blend.budget import WIDE, Budget, small
from turnrow.blend.cones import tightened
from turnrow.blend.highs import INFINITY
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.problem import Offer, Problem
from turnrow.blend.program import Columns, asked, columns
from turnrow.blend.solve import solve

LOWER = (0.95, 0.9, 0.85, 0.8, 0.7, 0.6, 0.5)
LOWER_OF_MANY = (0.8, 0.5)  # of many materials each takes seconds
TINY = 1e-3  # of the total: what "any row at all" means when the total itself is dropped


@dataclass(frozen=True)
class Purchase:
    """A material that would mend it, the least of it [kg], and which side of the limits it lies on.

    loads, load_m3   whole loads of that size, where the recipe is laid in loads; None: any amount
    chance           that all limits hold together with it, where a chance was asked
    """

    name: str
    least_kg: float
    side: str
    loads: int | None = None
    load_m3: float | None = None
    chance: float | None = None


@dataclass(frozen=True)
class Explanation:
    """conflict   demands of which any but one can hold; empty where the search could not tell
    purchases  the least first"""

    conflict: tuple[str, ...]
    purchases: tuple[Purchase, ...]
    cut: bool = False  # the work set ended first

    def sentence(self) -> str:
        if not self.conflict and self.cut:
            return "what cannot hold together was not found within the work set for it"
        if not self.conflict:
            return "each demand can be held on the means, but no plan holds them when its outcomes are drawn"
        return "cannot hold together: " + "; ".join(self.conflict)


def explain(problem: Problem, market: Sequence[Ingredient] = (), seed: int = 0, most: int = 3) -> Explanation:
    """What stands in the way of `problem`, and what of `market` would help, each alone, in any amount."""
    laid = columns(problem, problem.water.when != "never")
    asking, budget = small(len(laid.cost)), small(len(laid.cost))
    conflict = _smallest(problem, laid, seed, asking)
    found = [one for what in market if (one := _mends(problem, laid, what, seed, budget)) is not None]
    found.sort(key=lambda one: one.least_kg)
    return Explanation(conflict, tuple(found[:most]), asking.cut)


def _smallest(problem: Problem, laid: Columns, seed: int, budget: Budget) -> tuple[str, ...]:
    """Demands left when each that can go without making a plan possible has gone (a deletion filter, of
    halves first). Where the budget ends, what is left open stays: the set still cannot hold together."""
    demands: list[tuple[str, tuple[str, int]]] = []
    if problem.confidence is not None and problem.spread:
        demands.append((f"a chance of {100 * problem.confidence:g} %", ("chance", 0)))
    if laid.whole.any():
        demands.append(("whole loads", ("whole", 0)))
    demands += [
        (_bound(problem, i, "high"), ("high", i)) for i in range(laid.offers) if _bound(problem, i, "high")
    ]
    demands += [(_bound(problem, i, "low"), ("low", i)) for i in range(laid.offers) if laid.low[i] > 0]
    if len(laid.rows):
        demands.append((_total(problem), ("total", 0)))
    demands += [(limit.name, ("limit", k)) for k, limit in enumerate(laid.limits)]
    dropped: set[tuple[str, int]] = set()
    if _possible(problem, laid, dropped, seed, budget):
        return ()

    def sift(some: list[tuple[str, int]]) -> None:
        if not _possible(problem, laid, {*dropped, *some}, seed, budget):
            dropped.update(some)
        elif len(some) > 1:
            sift(some[: len(some) // 2])
            sift(some[len(some) // 2 :])

    for side, found in groupby((key for _, key in demands), key=lambda key: key[0]):
        if side in ("high", "low"):  # of many materials few bounds stand in the way
            sift(list(found))
        else:
            for key in found:
                sift([key])
    return tuple(words for words, key in demands if key not in dropped)


def _bound(problem: Problem, i: int, side: str) -> str:
    offer = problem.offers[i]
    if side == "low":
        return (
            f"at least {offer.loads[0]} loads of {offer.what.name}"
            if offer.loads[0]
            else (f"at least {offer.least_kg / 1000:g} t of {offer.what.name}")
        )
    if offer.loads[1] is not None:
        return f"at most {offer.loads[1]} loads of {offer.what.name}"
    return "" if offer.stock_kg is None else f"{offer.stock_kg / 1000:g} t of {offer.what.name} in stock"


def _total(problem: Problem) -> str:
    if problem.total_kg is not None:
        return f"a total of {problem.total_kg / 1000:g} t"
    return f"a total of {problem.total_m3:g} m3"


def _possible(
    problem: Problem, laid: Columns, dropped: set[tuple[str, int]], seed: int, budget: Budget
) -> bool:
    """Whether some plan meets all demands but the dropped."""
    keep = [k for k in range(len(laid.limits)) if ("limit", k) not in dropped]
    low, high = laid.low.copy(), laid.high.copy()
    rows, row_low, row_high = laid.rows, laid.row_low, laid.row_high
    for what, i in dropped:
        if what == "high":
            high[i] = max(laid.high.max(), 1.0) * 10
        elif what == "low":
            low[i] = 0.0
    if ("total", 0) in dropped:
        row_low, row_high = row_low * TINY, np.full(len(row_high), INFINITY)
    if not len(rows) or any(what == "low" for what, _ in dropped):
        some = TINY * max(1.0, float(laid.low.sum()))
        rows = np.vstack([rows, laid.unit_kg / laid.unit_kg.max()])
        row_low, row_high = np.append(row_low, some), np.append(row_high, INFINITY)
    if (low > high).any():
        return False
    trial = replace(
        laid,
        low=low,
        high=high,
        rows=rows,
        row_low=row_low,
        row_high=row_high,
        limits=tuple(laid.limits[k] for k in keep),
        g=laid.g[keep],
        lot=laid.lot[keep],
        load=laid.load[keep],
        whole=laid.whole if ("whole", 0) not in dropped else np.zeros(len(low), dtype=bool),
    )
    z = 0.0 if ("chance", 0) in dropped else asked(problem.confidence)
    margins = np.full(len(keep), z)  # an exact target has no margin that holds: it fails with any spread
    solved, _, _ = tightened(trial, margins, whole=True, seed=seed, budget=budget)
    return solved.status != "infeasible"  # not told within the budget: taken as possible


def _mends(problem: Problem, laid: Columns, what: Ingredient, seed: int, budget: Budget) -> Purchase | None:
    """The least of `what` that makes a plan possible with all that is on offer; None: no amount does."""
    needed = what.density is None and (
        problem.targets.fas_min is not None
        or problem.targets.fas_base_min is not None
        or problem.targets.density_max is not None
        or problem.total_m3 is not None
    )
    if needed or any(offer.what.name == what.name for offer in problem.offers):
        return None
    free = tuple(replace(offer, cost_per_t=0.0) for offer in problem.offers)
    wider = replace(problem, offers=(*free, Offer(what, cost_per_t=1000.0)))
    trial = columns(wider, problem.water.when != "never")
    z = np.where(trial.exact, 0.0, asked(problem.confidence))
    solved, _, _ = tightened(trial, z, whole=True, seed=seed, budget=budget)
    if not len(solved.x):
        return None
    return Purchase(what.name, float(solved.x[len(free)]) * 1000, side_of(problem, what))


def side_of(problem: Problem, what: Ingredient) -> str:
    """Which side of the ranges asked a material lies on, in words."""
    said = []
    moisture, cn = problem.targets.moisture_wet, problem.targets.cn
    if moisture:
        wet = what.moisture_wet
        said.append("drier" if wet < moisture[0] else "wetter" if wet > moisture[1] else "as moist as asked")
    if cn and what.n_dry > 0:
        ratio = what.c_dry / what.n_dry
        said.append("C:N above" if ratio > cn[1] else "C:N below" if ratio < cn[0] else "C:N within")
    return ", ".join(said)


def reachable(problem: Problem, seed: int = 0) -> float | None:
    """The highest of a few lower chances that some plan holds; None: none, or no chance was asked."""
    if problem.confidence is None:
        return None
    for lower in LOWER if len(problem.offers) < WIDE else LOWER_OF_MANY:
        if lower < problem.confidence and solve(replace(problem, confidence=lower), seed).found:
            return lower
    return None
