"""A problem as columns and rows: what the searches work on."""

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.chance import FULL
from turnrow.blend.highs import INFINITY
from turnrow.blend.limits_linear import Floats, Limit, coefficients, limits, parts
from turnrow.blend.problem import Problem
from turnrow.blend.spreads import variances

MOST_TIMES = 4.0  # what has no stock and no most loads is taken up to so many times the total asked ...
MOST_BESIDE = 50.0  # ... or, without one, up to so many times what is asked for at least


@dataclass(frozen=True, eq=False)
class Columns:
    """x: loads, or tonnes, of each offer, and last tonnes of water where it may be added.

    cost, low, high, unit_kg, whole   per column
    limits, g                         each limit and its g per unit of each column (limits, columns)
    rows, row_low, row_high           total asked, total allowed (only where nothing is in loads)
    lot, load                         variance of g per unit squared, per unit (limits, columns)
    scale                             what g was divided by (limits,)
    spread                            covariances of g undivided, as `spreads.variances` has them
    priced                            False: nothing has a price, and cost counts loads and tonnes
    """

    cost: Floats
    low: Floats
    high: Floats
    unit_kg: Floats
    whole: NDArray[np.bool_]
    limits: tuple[Limit, ...]
    g: Floats
    rows: Floats
    row_low: Floats
    row_high: Floats
    lot: Floats
    load: Floats
    offers: int
    scale: Floats
    spread: tuple[Floats, Floats]
    priced: bool

    @property
    def exact(self) -> NDArray[np.bool_]:
        return np.array([limit.exact for limit in self.limits], dtype=bool)

    @property
    def g_low(self) -> Floats:
        return np.where(self.exact, 0.0, -INFINITY)

    def mean(self, x: Floats) -> Floats:
        return np.asarray(self.g @ x, dtype=float)

    def deviation(self, x: Floats) -> Floats:
        """Standard deviation of each limit's g for a plan (columns,) or plans (plans, columns)."""
        found: Floats = np.sqrt((x * x) @ self.lot.T + x @ self.load.T)
        return found


def columns(problem: Problem, watered: bool) -> Columns:
    """The problem in numbers; `watered`: with water to add."""
    offers = problem.offers
    n = len(offers)
    unit = np.array([offer.unit_kg for offer in offers])
    whole = np.array([offer.load_m3 is not None for offer in offers])
    least = np.array([offer.least_kg for offer in offers]) / unit
    low = np.maximum(np.array([float(offer.loads[0]) for offer in offers]), least)
    stock = np.array([INFINITY if o.stock_kg is None else o.stock_kg for o in offers]) / unit
    loads = np.array([INFINITY if o.loads[1] is None else float(o.loads[1]) for o in offers])
    high = np.minimum(stock, loads)
    low = np.where(whole, np.ceil(low - 1e-9), low)
    cost = np.array([offer.cost_per_t for offer in offers]) * unit / 1000
    priced = bool(cost.any()) or (watered and problem.water.cost_per_t > 0)
    if not priced:  # nothing has a price: the fewest loads, or tonnes, instead
        cost = np.where(whole, 1.0, unit / 1000)
    found = limits(problem)
    g = coefficients(problem, found)
    volume = np.array([parts(offer)[0] for offer in offers]) * (1 - problem.shrink)
    lot, load = variances(offers, found)
    k = len(found)
    lot_own, load_own = (v.reshape(n, k, k).diagonal(axis1=1, axis2=2).T for v in (lot, load))
    if watered:
        water = problem.water
        most = INFINITY if water.most_kg is None else water.most_kg / 1000
        cost, low, high = (np.append(a, b) for a, b in ((cost, water.cost_per_t), (low, 0.0), (high, most)))
        unit, whole, volume = np.append(unit, 1000.0), np.append(whole, False), np.append(volume, 0.0)
        g = np.column_stack([g, [1000 * limit.water for limit in found]]) if k else np.zeros((0, n + 1))
        lot_own, load_own = (np.column_stack([v, np.zeros(k)]) for v in (lot_own, load_own))
    rows, row_low, row_high = _total(problem, unit, volume, whole)
    high = np.minimum(high, _most(rows, row_low, unit, low))
    high = np.where(whole, np.floor(high + 1e-9), high)
    scale = np.abs(g).max(axis=1, initial=0.0)
    scale = np.where(scale > 0, scale, 1.0)
    g = g / scale[:, None]
    lot_own, load_own = lot_own / scale[:, None] ** 2, load_own / scale[:, None] ** 2
    return Columns(
        cost,
        low,
        high,
        unit,
        whole,
        found,
        g,
        rows,
        row_low,
        row_high,
        lot_own,
        load_own,
        n,
        scale,
        (lot, load),
        priced,
    )


def _total(
    problem: Problem, unit: Floats, volume: Floats, whole: NDArray[np.bool_]
) -> tuple[Floats, Floats, Floats]:
    """The rows of the total asked; in tonnes or m3, at least so much, exactly where nothing is in loads."""
    rows, low = [], []
    if problem.total_kg is not None:
        rows.append(unit / 1000)
        low.append(problem.total_kg / 1000)
    if problem.total_m3 is not None:
        rows.append(volume)
        low.append(problem.total_m3)
    if not rows:
        return np.zeros((0, len(unit))), np.zeros(0), np.zeros(0)
    row, at_least = np.array(rows), np.array(low)
    if not whole.any():
        return row, at_least, at_least
    return row, at_least, np.full(len(row), INFINITY)


def _most(rows: Floats, row_low: Floats, unit: Floats, low: Floats) -> Floats:
    """A cap on every column, so that none is endless."""
    beside = MOST_BESIDE * float(low @ unit) / unit + 1
    if not len(rows):
        return beside
    taken = np.where(rows[0] > 0, rows[0], 1.0)
    by_total = np.where(rows[0] > 0, MOST_TIMES * row_low[0] / taken, MOST_BESIDE * row_low[0]) + 1
    return np.asarray(np.maximum(by_total, beside))


def risk(confidence: float) -> float:
    """How often a search lets a plan fail before it is drawn: somewhat more than asked, since tails are
    known from some drawings only, the rarer the less well (twice their own standard error)."""
    return min((1 - confidence) * (1.1 + 2 / math.sqrt((1 - confidence) * FULL)), 0.5)


def asked(confidence: float | None) -> float:
    """How many standard deviations a limit's mean must lie inside for the search to keep a plan: one that
    holds all limits together with `confidence` holds each with at least that."""
    return 0.0 if confidence is None else max(NormalDist().inv_cdf(1 - risk(confidence)), 0.0)
