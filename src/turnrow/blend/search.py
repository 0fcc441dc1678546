"""The searches: plans in whole loads by listing them, others by HiGHS with growing margins.

Both end with plans that were drawn and passed; a plan that fails its own drawing is never given back.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from turnrow.blend import ties, whole
from turnrow.blend.chance import Chances, Outcomes
from turnrow.blend.cones import Joint, joint_cuts, tightened
from turnrow.blend.highs import INFINITY
from turnrow.blend.limits_linear import Floats
from turnrow.blend.problem import FarOutside
from turnrow.blend.program import Columns, asked, risk
from turnrow.blend.recipe import Status
from turnrow.blend.tails import joint_at_most

HIGHEST = 8.0  # standard deviations: no margin asked for is wider
STEPS, STEPS_WHOLE = 14, 6  # halvings of the risk that limits may share
ROUNDS = 40
RISKY = 400  # plans drawn while looking for a first one
EDGE = 1e-9
SHARES = (1.0, 0.35, 0.6, 0.8, 1.0)  # of the way from the floor to the ceiling; the first if it is quick


@dataclass(frozen=True, eq=False)
class Plan:
    """x per column, as `Columns`; chances where a confidence was asked."""

    x: Floats
    cost: float
    chances: Chances | None
    far: float | None = None


@dataclass(frozen=True, eq=False)
class Outcome:
    """What a search came to: a plan or none, plans nearly as cheap, the best joint chance seen."""

    status: Status
    plan: Plan | None
    beside: tuple[Plan, ...] = ()
    floor: float | None = None
    best_joint: float | None = None


@dataclass(eq=False)
class Judge:
    """Whether a plan holds: on its means, and where a confidence is asked when drawn."""

    columns: Columns
    outcomes: Outcomes
    confidence: float | None
    far: FarOutside | None = None
    z: float = 0.0
    finest: bool = False
    failed: set[bytes] = field(default_factory=set)

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
        cost = float(self.columns.cost @ x)
        if not self.draws:
            return Plan(x, cost, None)
        if x.tobytes() in self.failed:
            return None
        n = self.columns.offers
        water = float(x[n:].sum()) * 1000
        chances, far = None, None
        if self.confidence is not None:
            chances = self.outcomes.enough(x[:n], water, self.confidence, finest=self.finest)
        if self.far is not None and (chances is not None or self.confidence is None):
            far = self.outcomes.far(x[:n], water, self.far.share)
        short = self.confidence is not None and chances is None
        if short or (self.far is not None and far is not None and far > self.far.widths):
            self.failed.add(x.tobytes())
            return None
        return Plan(x, cost, chances, far)

    @property
    def draws(self) -> bool:
        """Whether a plan must be drawn to be judged."""
        return self.confidence is not None or self.far is not None


def in_loads(columns: Columns, judge: Judge, beside: int, seed: int) -> Outcome | None:
    """The cheapest plan where everything comes in whole loads; None: too many to list."""
    z = np.where(columns.exact, 0.0, judge.z)
    floor = whole.floor(columns, z)
    if not len(floor.solved.x):
        return Outcome("infeasible", None)
    first = next(filter(None, _first(columns, judge, floor, z, seed)), None)
    top = float(columns.cost @ columns.high) if first is None else first.cost
    ceiling = top + (ties.NEAR * abs(top) if beside and first is not None else 0.0)
    listed = whole.quickly(columns, floor, ceiling)
    if listed is not None:
        return _best(columns, judge, listed, beside, floor)
    together = None
    if judge.confidence is not None and first is not None:
        together = judge.joint
        floor = whole.raised(columns, floor, together(columns), first.x)
        first = next(filter(None, _about(columns, judge, floor, 1, first.cost)), first)
        top = first.cost
    least = floor.solved.cost
    inside = None if first is None else first.x
    for share in SHARES if first is not None else SHARES[-1:]:
        most = whole.SOME if share == SHARES[0] and first is not None else whole.MOST
        at = least + share * (top - least)
        listed = whole.below(columns, floor, at, z, together, inside, most)
        if listed is not None:
            found = _best(columns, judge, listed, 0, floor)
            if found.plan is not None or share == 1.0:
                break
        elif most == whole.MOST:  # a plan in the hand, where HiGHS would have to be asked many times
            known = judge.draws and first is not None
            return Outcome("limit", first, floor=floor.solved.cost) if known else None
        floor = whole.again(columns, floor, z)
    if found.plan is None or not beside:
        return found
    near = whole.below(columns, whole.again(columns, floor, z), found.plan.cost * (1 + ties.NEAR), z)
    return found if near is None else _best(columns, judge, near, beside, floor)


def _best(columns: Columns, judge: Judge, listed: Floats, beside: int, floor: whole.Floor) -> Outcome:
    """The first of the listed plans, cheapest and easiest first, that holds; and the next few."""
    plans = judge.hopeful(listed)
    plans = plans[ties.order(plans, columns.cost)]
    if judge.confidence is not None and len(plans):
        plans = plans[judge.likely(plans) >= 1 - risk(judge.confidence)]
    kept: list[Plan] = []
    for x in plans:
        if kept and float(columns.cost @ x) > kept[0].cost + ties.NEAR * abs(kept[0].cost) + EDGE:
            break
        found = judge.plan(x)
        if found is not None:
            kept.append(found)
            if len(kept) > beside:
                break
    if not kept:
        return Outcome("infeasible", None, floor=floor.solved.cost)
    return Outcome("optimal", kept[0], tuple(kept[1:]), floor.solved.cost)


def _first(columns: Columns, judge: Judge, floor: whole.Floor, z: Floats, seed: int) -> Iterator[Plan | None]:
    """Plans that hold, to lay a ceiling on the cost: about the relaxation's, then HiGHS' own."""
    for reach in (1, 2, 4):
        yield from _about(columns, judge, floor, reach, INFINITY)
    yield from _milp(columns, judge, z, seed, floor.cuts)


def _about(
    columns: Columns, judge: Judge, floor: whole.Floor, reach: int, under: float
) -> Iterator[Plan | None]:
    """Plans about the relaxation's that cost less than `under`, the cheapest first."""
    plans = judge.hopeful(whole.near(columns, floor, reach))
    cost = plans @ columns.cost
    order = np.argsort(cost, kind="stable")
    plans = plans[order[cost[order] < under - EDGE]]
    if judge.confidence is None:
        yield from (judge.plan(x) for x in plans[: RISKY if judge.draws else 1])
    elif len(plans):
        yield from (judge.plan(x) for x in plans[judge.likely(plans) >= judge.confidence][:RISKY])


def _milp(columns: Columns, judge: Judge, z: Floats, seed: int, cuts: list[Floats]) -> Iterator[Plan | None]:
    for more in (0.0, 0.1, 0.25, 0.5, 1.0, 2.0):
        solved, _, _ = tightened(
            columns, z + np.where(columns.exact, 0.0, more), whole=True, seed=seed, cuts=cuts
        )
        if len(solved.x) and solved.status != "infeasible":
            yield judge.plan(np.round(solved.x)) if len(judge.hopeful(np.round(solved.x)[None, :])) else None
        if not judge.draws:
            return


def by_margin(columns: Columns, judge: Judge, seed: int) -> Outcome:
    """The cheapest plan where something may be taken in any amount: HiGHS on limits with a margin of z
    standard deviations, z widened until its plan holds when drawn; from there, by `_shared`."""

    def at(z: float) -> tuple[str, Plan | None, float]:
        margins = np.where(columns.exact, 0.0, z)
        solved, cuts, _ = tightened(columns, margins, whole=True, seed=seed)
        if not len(solved.x):
            return solved.status, None, solved.bound
        return solved.status, judge.plan(_polished(columns, solved.x, cuts)), solved.bound

    z = judge.z
    judge.finest = not columns.whole.all()
    status, plan, floor = at(z)
    if plan is not None:
        return Outcome("optimal" if status == "optimal" else "limit", plan, floor=floor)
    while status == "optimal" and plan is None and z < HIGHEST:
        z = z + 0.15 if z < judge.z + 1 else z * 1.3
        status, plan, _ = at(z)
    if plan is None:
        ended = status == "limit" or bool(columns.whole.any())
        return Outcome("limit" if ended and floor < INFINITY else "infeasible", None, floor=floor)
    if judge.confidence is None:
        best = _halved(at, plan, z)
    else:
        best, floor = _shared(columns, judge, plan, floor, seed)
    proven = not columns.whole.all() or best.cost <= floor + EDGE * max(1.0, abs(floor))
    return Outcome("optimal" if proven else "limit", best, floor=floor)


def _halved(at: Callable[[float], tuple[str, Plan | None, float]], plan: Plan, z: float) -> Plan:
    """The plan of the least margin that holds, `plan` holding at z."""
    low, best = 0.0, plan
    for _ in range(STEPS):
        middle = (low + z) / 2
        _, found, _ = at(middle)
        low, z = (middle, z) if found is None else (low, middle)
        best = best if found is None else min(best, found, key=lambda one: one.cost)
    return best


def _shared(columns: Columns, judge: Judge, plan: Plan, floor: float, seed: int) -> tuple[Plan, float]:
    """A cheaper plan than `plan` and a floor, the risk shared among the limits as is cheapest: the joint
    chance of normal limits is held at a level by tangents, the least level whose plan holds when drawn."""
    asked_risk = 1 - (judge.confidence or 0.0)
    inside = plan.x
    safe = 1 - float(judge.joint(columns).of(inside[None, :])[0])
    most = risk(judge.confidence or 0.0)
    passes, fails, best = min(safe, most), most, plan
    margins = np.where(columns.exact, 0.0, judge.z)
    _, known, _ = tightened(columns, margins)
    for step in range(STEPS_WHOLE if columns.whole.any() else STEPS):
        share = fails if not step else (passes + fails) / 2
        joint = judge.joint(columns, 1 - share)
        solved, cuts, model = tightened(columns, margins, whole=True, seed=seed, cuts=known)
        solved, more = joint_cuts(columns, model, solved, joint, inside, ROUNDS)
        if not len(solved.x):
            break
        if not step:
            floor = max(floor, solved.bound)
        found = judge.plan(_polished(columns, solved.x, [*cuts, *more]))
        if found is None:
            fails = share
        else:
            passes = share
            best = min(best, found, key=lambda one: one.cost)
        if fails - passes < 1e-3 * asked_risk or (not step and found is not None):
            break
    if columns.whole.any() and not columns.whole.all():
        best, _ = _shared(_fixed(columns, best.x), judge, best, floor, seed)  # the amounts beside its loads
    return best, floor


def _fixed(columns: Columns, x: Floats) -> Columns:
    """The columns with the loads of x, so that only amounts are left open."""
    low, high = (np.where(columns.whole, x, side) for side in (columns.low, columns.high))
    return replace(columns, low=low, high=high, whole=np.zeros(len(x), dtype=bool))


def _polished(columns: Columns, x: Floats, cuts: list[Floats]) -> Floats:
    """Whole numbers made exactly whole, and what may be any amount solved anew beside them."""
    x = np.where(columns.whole, np.round(x), x)
    if columns.whole.all():
        return np.maximum(x, 0.0)
    fixed = _fixed(columns, x)
    solved, _, _ = tightened(fixed, np.zeros(len(columns.limits)), cuts=cuts)
    return np.maximum(solved.x, 0.0) if len(solved.x) else np.maximum(x, 0.0)


def judge_of(columns: Columns, outcomes: Outcomes, confidence: float | None, far: FarOutside | None) -> Judge:
    return Judge(columns, outcomes, confidence, far, asked(confidence))
