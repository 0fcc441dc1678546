"""The searches: plans in whole loads by listing them, others by HiGHS with growing margins.

Both end with plans that were drawn and passed; a plan that fails its own drawing is never given back.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from turnrow.blend import nearby, ties, whole
from turnrow.blend.budget import WIDE
from turnrow.blend.cones import joint_cuts, tightened
from turnrow.blend.judge import EDGE, Judge, Plan
from turnrow.blend.limits_linear import Floats
from turnrow.blend.program import Columns, risk
from turnrow.blend.recipe import Status

HIGHEST = 8.0  # standard deviations: no margin asked for is wider
STEPS, STEPS_WHOLE = 14, 6  # halvings of the risk that limits may share
ROUNDS = 40
NOISE = 0.005  # of the cost: as near to its floor as the drawing can tell (OWN)
RISKY = 400  # plans drawn while looking for a first one
SHARES = (1.0, 0.5, 0.75, 1.0)  # of the way from the floor to the ceiling; the first if it is quick
WIDER = (0.0, 0.1, 0.25, 0.5, 1.0, 2.0)  # standard deviations added to the margins, for a first plan


@dataclass(frozen=True, eq=False)
class Outcome:
    """What a search came to: a plan or none, plans nearly as cheap, and what no plan costs less than."""

    status: Status
    plan: Plan | None
    beside: tuple[Plan, ...] = ()
    floor: float | None = None


def in_loads(columns: Columns, judge: Judge, beside: int, seed: int, cuts: list[Floats]) -> Outcome | None:
    """The cheapest plan where everything comes in whole loads, beginning with `cuts`; None: too many to
    list, and none known."""
    z = np.where(columns.exact, 0.0, judge.z)
    floor = whole.floored(columns, z, cuts)
    if not len(floor.solved.x):
        return Outcome("limit" if floor.solved.status == "limit" else "infeasible", None)
    first = _first(columns, judge, floor, z, seed)
    top = float(columns.cost @ columns.high) if first is None else first.cost
    ceiling = top + (ties.NEAR * abs(top) if beside and first is not None else 0.0)
    listed = whole.quickly(columns, floor, ceiling)
    if listed is not None:
        return _best(columns, judge, listed, beside, floor)
    together = None
    if judge.confidence is not None and first is not None:
        together = judge.joint
        floor = whole.raised(columns, floor, together(columns), first.x)
        first = nearby.cheaper(columns, judge, first)
        top = first.cost
    least = floor.solved.cost
    inside = None if first is None else first.x
    for n, share in enumerate(SHARES if first is not None else SHARES[-1:]):
        most = whole.MOST if n or first is None else whole.FEW
        at = least + share * (top - least)
        listed = whole.below(columns, floor, at, z, together, inside, most)
        if listed is not None:
            found = _best(columns, judge, listed, 0, floor)
            if found.plan is not None or share == 1.0:
                break
        elif most == whole.MOST:  # HiGHS would have to be asked many times; a plan in the hand is given
            return _unproven(columns, judge, floor, z, first, seed) if judge.draws and first else None
        floor = whole.again(columns, floor, z)
    if found.plan is None or not beside:
        return found
    near = whole.below(columns, whole.again(columns, floor, z), found.plan.cost * (1 + ties.NEAR), z)
    return found if near is None else _best(columns, judge, near, beside, floor)


def _unproven(
    columns: Columns, judge: Judge, floor: whole.Floor, z: Floats, plan: Plan, seed: int
) -> Outcome:
    """The plan known, or a cheaper one, and the highest floor that a run in whole numbers gives."""
    solved, _, _ = tightened(columns, z, whole=True, seed=seed, cuts=floor.cuts, budget=judge.budget)
    if len(solved.x) and judge.confidence is not None:
        other = nearby.mended(columns, judge, np.round(solved.x))
        if other is not None:
            plan = min(plan, nearby.cheaper(columns, judge, other), key=lambda one: one.cost)
    return Outcome("limit", plan, floor=min(max(floor.solved.cost, solved.bound), plan.cost))


def _best(columns: Columns, judge: Judge, listed: Floats, beside: int, floor: whole.Floor) -> Outcome:
    """The first of the listed plans, cheapest and easiest first, that holds; and the next few."""
    plans = judge.hopeful(listed)
    plans = plans[ties.order(plans, columns.cost)]
    if judge.confidence is not None and len(plans):
        plans = plans[judge.likely(plans) >= 1 - risk(judge.confidence)]
    kept: list[Plan] = []
    for found in judge.plans(plans):
        if kept and found.cost > kept[0].cost + ties.NEAR * abs(kept[0].cost) + EDGE:
            break
        kept.append(found)
        if len(kept) > beside:
            break
    if not kept:
        return Outcome("infeasible", None, floor=floor.solved.cost)
    return Outcome("optimal", kept[0], tuple(kept[1:]), floor.solved.cost)


def _first(columns: Columns, judge: Judge, floor: whole.Floor, z: Floats, seed: int) -> Plan | None:
    """A plan that holds, to lay a ceiling on the cost: about the relaxation's, then HiGHS' own."""
    wide = len(columns.cost) >= WIDE
    for reach in (1,) if wide else (1, 2, 4):
        plan = _about(columns, judge, floor, reach)
        if plan is not None:
            return plan
    if judge.confidence is not None:
        plan = nearby.mended(columns, judge, np.minimum(np.ceil(floor.solved.x - EDGE), columns.high))
        if plan is not None:
            return nearby.cheaper(columns, judge, plan)
    return _milp(columns, judge, z, seed, floor.cuts)


def _about(columns: Columns, judge: Judge, floor: whole.Floor, reach: int) -> Plan | None:
    """The cheapest plan about the relaxation's that holds."""
    plans = judge.hopeful(whole.near(columns, floor, reach))
    plans = plans[np.argsort(plans @ columns.cost, kind="stable")]
    if judge.confidence is not None and len(plans):
        plans = plans[judge.likely(plans) >= judge.confidence]
    return next(judge.plans(plans[:RISKY]), None)


def _milp(columns: Columns, judge: Judge, z: Floats, seed: int, cuts: list[Floats]) -> Plan | None:
    for more in WIDER if judge.draws else WIDER[:1]:
        margins = z + np.where(columns.exact, 0.0, more)
        solved, _, _ = tightened(columns, margins, whole=True, seed=seed, cuts=cuts, budget=judge.budget)
        if not len(solved.x):
            if judge.budget.spent:
                break
            continue
        x = np.round(solved.x)
        plan = judge.plan(x) if len(judge.hopeful(x[None, :])) else None
        if plan is None and judge.confidence is not None:
            plan = nearby.mended(columns, judge, x)
        if plan is not None:
            return plan
    return None


def by_margin(columns: Columns, judge: Judge, seed: int) -> Outcome:
    """The cheapest plan where something may be taken in any amount: HiGHS on limits with a margin of z
    standard deviations, z widened until its plan holds when drawn; from there, by `_shared`."""

    def at(z: float) -> tuple[str, Plan | None, float]:
        margins = np.where(columns.exact, 0.0, z)
        solved, cuts, _ = tightened(columns, margins, whole=True, seed=seed, budget=judge.budget)
        if not len(solved.x):
            return solved.status, None, solved.bound
        return solved.status, judge.plan(_polished(columns, solved.x, cuts)), solved.bound

    z = judge.z
    judge.finest = not columns.whole.all()
    status, plan, floor = at(z)
    if plan is not None:
        return Outcome("optimal" if status == "optimal" else "limit", plan, floor=floor)
    if status == "infeasible":
        return Outcome("infeasible", None, floor=floor)
    if judge.confidence is not None:
        plan = _rounded(columns, judge)
    while status != "infeasible" and plan is None and z < HIGHEST and not judge.budget.spent:
        z = z + 0.15 if z < judge.z + 1 else z * 1.3
        status, plan, _ = at(z)
    if plan is None:
        return Outcome("limit" if columns.whole.any() else "infeasible", None, floor=floor)
    if judge.confidence is None:
        best = _halved(at, plan, z)
    else:
        best, floor = _shared(columns, judge, plan, floor, seed)
    near = best.cost <= floor + NOISE * max(1.0, abs(floor))
    proven = not columns.whole.any() or near
    return Outcome("optimal" if proven and not judge.budget.cut else "limit", best, floor=floor)


def _rounded(columns: Columns, judge: Judge) -> Plan | None:
    """A plan whose loads are those of a relaxation, rounded, and whose amounts are fitted to them."""
    for more in WIDER:
        margins = np.where(columns.exact, 0.0, judge.z + more)
        loose, cuts, _ = tightened(columns, margins)
        for whole_of in (np.round, np.ceil) if len(loose.x) else ():
            fixed = _fixed(columns, np.clip(whole_of(loose.x - EDGE), columns.low, columns.high))
            solved, _, _ = tightened(fixed, margins, cuts=cuts)
            plan = judge.plan(np.maximum(solved.x, 0.0)) if len(solved.x) else None
            if plan is not None:
                return plan
    return None


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
    known = tightened(columns, margins)[1]
    for step in range(STEPS_WHOLE if columns.whole.any() else STEPS):
        share = fails if not step else (passes + fails) / 2
        joint = judge.joint(columns, 1 - share)
        solved, cuts, model = tightened(columns, margins, cuts=known)
        solved, more = joint_cuts(columns, model, solved, joint, inside, ROUNDS)
        if columns.whole.any() and len(solved.x):  # most cuts are found without whole numbers, cheaply
            solved, cuts, model = tightened(
                columns, margins, whole=True, seed=seed, cuts=[*cuts, *more], budget=judge.budget
            )
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
