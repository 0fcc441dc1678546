"""From a plan in whole loads to a better one close by: one load more or less of one material or two.

No proof comes of it. It finds good plans at once, where a search of all would take long, and what it
finds is judged by drawing as any plan is.
"""

from functools import lru_cache

import numpy as np

from turnrow.blend.judge import EDGE, Judge, Plan
from turnrow.blend.limits_linear import Floats
from turnrow.blend.program import Columns, risk

STEPS = 80
SOME = 64  # plans whose chances are looked at together, the cheapest first
SAFER = (0.0, 0.1, 0.3, 0.6)  # of the risk not taken, until the plan come to holds when drawn


def cheaper(columns: Columns, judge: Judge, plan: Plan) -> Plan:
    """The cheapest plan come to from `plan` by steps that each cost less and stay likely enough."""
    for less in SAFER:
        x = _descended(columns, judge, plan.x, 1 - (1 - less) * (1 - (judge.confidence or 0.0)))
        if float(columns.cost @ x) >= plan.cost - EDGE:
            break
        found = judge.plan(x)
        if found is not None:
            return found
    return plan


def mended(columns: Columns, judge: Judge, x: Floats) -> Plan | None:
    """A plan that holds, come to from whole loads x that may not; None: none is."""
    asked = judge.confidence or 0.0
    for less in SAFER:
        x = _risen(columns, judge, x, 1 - (1 - less) * (1 - asked))
        found = judge.plan(x) if float(judge.likely(x[None, :])[0]) >= 1 - risk(asked) else None
        if found is not None:
            return found
    return None


@lru_cache(maxsize=8)
def _moves(n: int) -> Floats:
    """One load more or less of one material, or of two. Shape (2 n^2, n)."""
    one = np.eye(n)
    i, j = np.triu_indices(n, 1)
    two = [a * one[i] + b * one[j] for a in (1, -1) for b in (1, -1)]
    found = np.vstack([one, -one, *two])
    found.flags.writeable = False
    return found


def _within(columns: Columns, plans: Floats) -> Floats:
    """Those of the plans that keep the bounds and totals."""
    good = ((plans >= columns.low) & (plans <= columns.high)).all(axis=1)
    plans = plans[good]
    total = plans @ columns.rows.T
    edge = EDGE * np.maximum(1.0, np.abs(columns.row_low))
    return plans[((total >= columns.row_low - edge) & (total <= columns.row_high + edge)).all(axis=1)]


def _descended(columns: Columns, judge: Judge, x: Floats, least: float) -> Floats:
    moves = _moves(len(x))
    moves = moves[moves @ columns.cost < -EDGE]
    for _ in range(STEPS):
        plans = judge.hopeful(_within(columns, x + moves))
        plans = plans[np.argsort(plans @ columns.cost, kind="stable")]
        for start in range(0, len(plans), SOME):
            part = plans[start : start + SOME]
            good = judge.likely(part) >= least
            if good.any():
                x = part[int(np.argmax(good))]
                break
        else:
            return x
    return x


def _risen(columns: Columns, judge: Judge, x: Floats, least: float) -> Floats:
    """Steps that each make x likelier, until it is likely enough."""
    moves, best = _moves(len(x)), (-np.inf, -np.inf)
    for _ in range(STEPS):
        plans = _within(columns, np.vstack([x, x + moves]))
        if not len(plans):
            return x
        mean, deviation = plans @ columns.g.T, columns.deviation(plans)
        short = (mean / np.maximum(deviation, EDGE)).max(axis=1)
        near = plans[np.argsort(short, kind="stable")[:SOME]]
        likely = judge.likely(near)
        place = int(np.argmax(likely)) if likely.max() > 0 else 0
        now = float(likely[place]), -float(np.sort(short)[0])
        if now <= best:
            return x
        x, best = near[place], now
        if best[0] >= least:
            return x
    return x
