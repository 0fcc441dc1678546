"""The chance that a plan's mix holds its limits, by drawing it many times with one set of numbers.

Each lot's error is drawn once an outcome and moves all its loads. The errors of n loads about their lot
add up to sqrt(n) times those of one, each number's drawn for the outcome and taken to first order about
the lot as drawn (products of two load errors, a hundredth of the rest, are left out).
Numbers scatter as plain normals about their means; carbon and nitrogen of one lot go together by
`corr_c_n`. The same seed gives the same numbers for every plan, so plans are compared fairly.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.drawn import STAGES, Singles, brought, stages
from turnrow.blend.limits_linear import PARTS, Floats, Limit, parts
from turnrow.blend.problem import Offer
from turnrow.blend.spreads import variances

QUANTITIES = ("moisture", "cn", "fas", "bulk_density")
COUNTED_BY = ("moisture", "cn", "volume")
QUICK, FULL, FINE, FINEST = 2_000, 10_000, 40_000, 160_000
FAR = 7.0
SLACK = 1e-6  # of the mass: how exactly a limit is looked at; outcomes are kept in single precision
Counts = NDArray[np.int64]  # outcomes in which each of QUANTITIES holds, and last all together


@dataclass(frozen=True)
class Chances:
    """Shares of outcomes in which a quantity's limits hold, None where it has none; `joint` all of them."""

    moisture: float | None
    cn: float | None
    fas: float | None
    bulk_density: float | None
    joint: float | None
    draws: int

    @property
    def error(self) -> float:
        """Standard error of `joint`."""
        p = self.joint or 0.0
        return float(np.sqrt(max(p * (1 - p), 1e-9) / self.draws))


class Outcomes:
    """The outcomes of plans over `offers` against `limits`, from one seed."""

    def __init__(
        self,
        offers: tuple[Offer, ...],
        limits: tuple[Limit, ...],
        seed: int,
        spread: tuple[Floats, Floats] | None = None,
    ) -> None:
        self.offers, self.limits, self.seed = offers, limits, seed
        lot, load = variances(offers, limits) if spread is None else spread
        own = range(len(limits))
        self._lot, self._load = lot[:, own, own], load[:, own, own]
        self._mean = np.array([[limit.rates[i] @ parts(o) for i, o in enumerate(offers)] for limit in limits])
        self._water = np.array([limit.water for limit in limits])
        self._unit_kg = np.array([offer.unit_kg for offer in offers])
        self._scatters = np.array([offer.spread for offer in offers], dtype=bool)
        self._exact = np.array([limit.exact for limit in limits], dtype=bool)
        self._counted: Outcomes | None = None
        self._near: list[int] = []  # limits that some plan drawn so far can fail
        self._units: dict[tuple[int, int], tuple[list[int], Singles]] = {}

    def _unit(self, i: int, stage: int, which: list[int]) -> Singles:
        """g of limits `which` by one load of offer i in each outcome of a stage, given its lot; and what a
        load's own errors move it by, where they do. Shape (1 or 2, limits, outcomes)."""
        known = self._units.get((i, stage))
        if known is None or known[0] != which:
            rates = np.array([self.limits[k].rates[i] for k in which], dtype=np.float32)
            brings = brought(self.offers[i], self.seed, i, stage)
            known = self._units[i, stage] = which, np.einsum("kp,opd->okd", rates, brings)
        return known[1]

    def _g(self, plans: Floats, water_kg: Floats, stage: int, which: list[int], most: int) -> Singles:
        """g of limits `which` of plans (plans, offers) in the first `most` outcomes of a stage. Shape
        (plans, limits, outcomes). Summed one after another: the threads of a matrix product as wide as
        this cost more than they bring."""
        sure = plans[:, ~self._scatters] @ self._mean[which][:, ~self._scatters].T
        sure = (sure + np.outer(water_kg, self._water[which])).astype(np.float32)
        found = np.empty((len(plans), len(which), most), dtype=np.float32)
        if not which:
            return found
        found[:] = sure[:, :, None]
        one = np.empty((len(which), most), dtype=np.float32)
        for i in np.flatnonzero(plans.any(axis=0) & self._scatters):
            unit = self._unit(int(i), stage, which)[:, :, :most]
            for plan, count in enumerate(plans[:, i].astype(np.float32)):
                for by, times in zip(unit, (count, np.sqrt(count)), strict=False):
                    np.multiply(by, times, out=one)
                    found[plan] += one
        return found

    def outside(
        self, counts: Floats, water_kg: float = 0.0, draws: int = FULL, which: list[int] | None = None
    ) -> Singles:
        """g of limits (`which`, else all) in every outcome of a plan. Shape (limits, draws)."""
        chosen = list(range(len(self.limits))) if which is None else which
        plan, water = counts[None, :], np.array([water_kg])
        self._near = sorted({*self._near, *chosen, *self._can_fail(plan, water)})
        rows = [self._near.index(k) for k in chosen]
        parts_ = [self._g(plan, water, stage, self._near, most)[0, rows] for stage, most in stages(draws)]
        return np.concatenate(parts_, axis=1)

    def held(self, plans: Floats, water_kg: Floats, stage: int, most: int | None = None) -> Counts:
        """In how many outcomes of a stage (its first `most`) plans hold. Shape (plans, quantities + 1)."""
        size = STAGES[stage + 1] - STAGES[stage] if most is None else most
        self._near = near = sorted({*self._near, *self._can_fail(plans, water_kg)})
        g = self._g(plans, water_kg, stage, near, size)
        exact = self._exact[near]
        if exact.any():
            g[:, exact] = np.abs(g[:, exact])
        inside = g <= (SLACK * (plans @ self._unit_kg + water_kg)).astype(np.float32)[:, None, None]
        found = np.full((len(plans), len(QUANTITIES) + 1), size, dtype=np.int64)
        for n, quantity in enumerate((*QUANTITIES, "")):
            mine = [row for row, k in enumerate(near) if quantity in ("", self.limits[k].quantity)]
            if mine:
                found[:, n] = np.count_nonzero(inside[:, mine].all(axis=1), axis=1)
        return found

    def of(self, counts: Floats, water_kg: float = 0.0, draws: int = FULL) -> Chances:
        """The chances of a plan: loads (tonnes where any amount may be taken) of each offer."""
        return self._shares(self._held(counts, water_kg, 0, draws), draws)

    def _held(self, counts: Floats, water_kg: float, after: int, until: int) -> Counts:
        """In how many of the outcomes from `after` (where a stage ends) to `until` one plan holds."""
        plan, water = counts[None, :], np.array([water_kg])
        own = [one for one in stages(until) if STAGES[one[0]] >= after]
        return np.asarray(np.sum([self.held(plan, water, *one)[0] for one in own], axis=0))

    def _shares(self, held: Counts, draws: int) -> Chances:
        own = {limit.quantity for limit in self.limits}
        shares = dict(zip(QUANTITIES, (held / draws).tolist(), strict=False))
        asked = {one: shares[one] if one in own else None for one in QUANTITIES}
        return Chances(**asked, joint=float(held[-1]) / draws if own else None, draws=draws)

    def _can_fail(self, plans: Floats, water_kg: Floats) -> list[int]:
        """Limits that can fail at all: those with some mean less than FAR standard deviations inside."""
        if not self.limits:
            return []
        mean = plans @ self._mean.T + np.outer(water_kg, self._water)
        deviation = np.sqrt((plans * plans) @ self._lot + plans @ self._load)
        near = self._exact | (mean > -FAR * deviation - 1e-12).any(axis=0)
        return [int(k) for k in np.flatnonzero(near)]

    def far(self, counts: Floats, water_kg: float, share: float, draws: int = FULL) -> float:
        """How far outside the worst `share` of outcomes lie in the mean, in widths of the range they fail.

            CVaR = mean of the worst share of max(0, max_k g_k / (w_k s_k))

        s_k is what the limit's quantity is counted by in the outcome (mass, nitrogen, volume), w_k the
        width of its range; where there is no range, a tenth of the limit.
        Source: rockafellar-uryasev-2000 for the measure (MEMORY).
        """
        if self._counted is None:
            self._counted = Outcomes(self.offers, _counters(len(self.offers)), self.seed)
        by = dict(zip(COUNTED_BY, self._counted.outside(counts, water_kg, draws), strict=True))
        loss = np.zeros(draws, dtype=np.float32)
        for row, limit in zip(self.outside(counts, water_kg, draws), self.limits, strict=True):
            unit = np.maximum(by.get(limit.quantity, by["volume"]), np.float32(1e-9))
            over = (np.abs(row) if limit.exact else row) / (unit * np.float32(limit.width))
            loss = np.maximum(loss, over)
        worst = max(1, round(share * draws))
        return float(np.partition(loss, draws - worst)[draws - worst :].mean())

    def quick(self, plans: Floats, water_kg: Floats, confidence: float) -> tuple[Counts, NDArray[np.bool_]]:
        """The first QUICK outcomes of many plans at once, and which of the plans are not hopeless."""
        held = self.held(plans, water_kg, 0)
        return held, held[:, -1] >= QUICK * (confidence - 4 * _error(confidence, QUICK))

    def enough(
        self,
        counts: Floats,
        water_kg: float,
        confidence: float,
        *,
        finest: bool = False,
        held: Counts | None = None,
    ) -> Chances | None:
        """The chances where a plan reaches `confidence`, else None. Few numbers (`held`, where `quick` had
        them) turn away the hopeless; one that only just reaches it is drawn on until it is clear, and at
        the end must reach it in those outcomes alone. `finest`: where amounts may move by little, one long
        drawing decides."""
        if not self.limits:
            return self.of(counts, water_kg, FULL)
        if held is None:
            first, hopeful = self.quick(counts[None, :], np.array([water_kg]), confidence)
            if not hopeful[0]:
                return None
            held = first[0]
        full = held + self._held(counts, water_kg, QUICK, FULL)
        if finest:
            every = full + self._held(counts, water_kg, FULL, FINEST)
            return self._shares(every, FINEST) if every[-1] >= confidence * FINEST else None
        if full[-1] < confidence * FULL:
            return None
        every, draws = full, FULL
        while draws < FINE:
            if every[-1] / draws - confidence >= 2 * _error(confidence, draws):
                return self._shares(every, draws)
            every, draws = every + self._held(counts, water_kg, draws, draws + FULL), draws + FULL
        return self._shares(every, FINE) if (every - full)[-1] >= confidence * (FINE - FULL) else None


def _counters(offers: int) -> tuple[Limit, ...]:
    """Mass, nitrogen and volume of a mix, written as limits so that they are drawn with the same numbers."""
    found = []
    for name, part in zip(COUNTED_BY, ("mass", "nitrogen", "volume"), strict=True):
        rates = np.tile([float(one == part) for one in PARTS], (offers, 1))
        found.append(Limit(name, "high", 0.0, rates, float(part == "mass")))
    return tuple(found)


def _error(p: float, draws: int) -> float:
    return float(np.sqrt(p * (1 - p) / draws))
