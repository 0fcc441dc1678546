"""Whether plans hold: on their means, and where a chance is asked when drawn."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from turnrow.blend.budget import Budget
from turnrow.blend.chance import Chances, Counts, Outcomes
from turnrow.blend.cones import Joint
from turnrow.blend.limits_linear import Floats
from turnrow.blend.problem import FarOutside
from turnrow.blend.program import Columns, risk
from turnrow.blend.tails import joint_at_most

EDGE = 1e-9
AT_ONCE, MOST_AT_ONCE = 4, 32  # plans drawn side by side: few, then more


@dataclass(frozen=True, eq=False)
class Plan:
    """x per column, as `Columns`; chances where a confidence was asked."""

    x: Floats
    cost: float
    chances: Chances | None
    far: float | None = None


@dataclass(eq=False)
class Judge:
    """Whether a plan holds: on its means, and where a confidence is asked when drawn."""

    columns: Columns
    outcomes: Outcomes
    confidence: float | None
    budget: Budget
    far: FarOutside | None = None
    z: float = 0.0
    finest: bool = False
    known: dict[bytes, Plan | None] = field(default_factory=dict)

    def hopeful(self, plans: Floats) -> Floats:
        """Those of the plans whose limits each lie inside by the margin z. Shape (some, columns)."""
        g = plans @ self.columns.g.T
        reach = plans @ np.abs(self.columns.g).T
        exact = self.columns.exact
        inside = np.where(exact, np.abs(g), g) <= EDGE * reach
        if self.z > 0 and len(plans):
            inside &= g + self.z * self.columns.deviation(plans) <= EDGE * reach
        return plans[inside.all(axis=1)]

    def likely(self, plans: Floats) -> Floats:
        """At most how likely each plan holds all limits together, in normal terms. Shape (plans,)."""
        n, (lot, load) = self.columns.offers, self.columns.spread
        x = plans[:, :n]
        covariance = np.tensordot(x * x, lot, axes=1) + np.tensordot(x, load, axes=1)
        names = [limit.quantity for limit in self.columns.limits]
        mean = plans @ self.columns.g.T * self.columns.scale
        return joint_at_most(mean, covariance, [names.index(name) for name in names])

    def joint(self, narrowed: Columns, least: float | None = None) -> Joint:
        """The chance of all limits together, as bounds on a search within `narrowed`."""
        if least is None:
            least = 1 - risk(self.confidence or 0.0)
        return Joint(narrowed, *self.columns.spread, least)

    def plan(self, x: Floats) -> Plan | None:
        """The plan, where it holds."""
        return next(self.plans(x[None, :]), None)

    def plans(self, some: Floats) -> Iterator[Plan]:
        """Those of the plans that hold, in their order, as far as the budget's drawings go."""
        if not self.draws:
            yield from (Plan(x, float(self.columns.cost @ x), None) for x in some)
            return
        start, size = 0, AT_ONCE
        while start < len(some):
            part = some[start : start + size]
            granted = self.budget.draw(len(part))
            quick = self._quick(part[:granted]) if granted else []
            for x, held in zip(part, quick, strict=False):
                if x.tobytes() not in self.known:
                    self.known[x.tobytes()] = None if held is None else self._one(x, held)
                found = self.known[x.tobytes()]
                if found is not None:
                    yield found
            if granted < len(part):
                return
            start, size = start + size, min(2 * size, MOST_AT_ONCE)

    def _quick(self, plans: Floats) -> list[Counts | None]:
        """What the first few outcomes say of each plan; None: that it is hopeless."""
        if self.confidence is None or not self.columns.limits:
            return [np.zeros(0, dtype=np.int64)] * len(plans)
        counts, hopeful = self.outcomes.quick(
            plans[:, : self.columns.offers], self._water(plans), self.confidence
        )
        return [held if hope else None for held, hope in zip(counts, hopeful, strict=True)]

    def _water(self, plans: Floats) -> Floats:
        """Water added, in kg."""
        return np.asarray(plans[:, self.columns.offers :].sum(axis=1) * 1000)

    def _one(self, x: Floats, quick: Counts) -> Plan | None:
        counts, water = x[: self.columns.offers], float(self._water(x[None, :])[0])
        chances, far = None, None
        if self.confidence is not None:
            chances = self.outcomes.enough(counts, water, self.confidence, finest=self.finest, held=quick)
            if chances is None:
                return None
        if self.far is not None:
            far = self.outcomes.far(counts, water, self.far.share)
            if far > self.far.widths:
                return None
        return Plan(x, float(self.columns.cost @ x), chances, far)

    @property
    def draws(self) -> bool:
        """Whether a plan must be drawn to be judged."""
        return self.confidence is not None or self.far is not None
