"""Chance limits as flat cuts: a limit with its margin is a cone, and a cone's tangents hold it in.

    mean_k . x + z sqrt(sum_i v_ik x_i^2) <= 0

For whole loads up to U, n lies between n^2/U and n^2, so the load-to-load part lot n^2 + load n is at
least (lot + load/U) n^2: the cone so made leaves no plan out that has the margin z.
"""

from dataclasses import replace

import numpy as np

from turnrow.blend.budget import Budget
from turnrow.blend.highs import INFINITY, Program, Solved
from turnrow.blend.limits_linear import Floats
from turnrow.blend.program import Columns
from turnrow.blend.tails import joint_at_most

ROUNDS = 12
CLOSE = 1e-8
SHARES = np.linspace(0.0, 1.0, 33)[:, None]  # of the way to a plan inside


def program(
    columns: Columns,
    *,
    whole: bool,
    seed: int = 0,
    cuts: Floats | None = None,
    budget: Budget | None = None,
) -> Program:
    """The columns as a program: limits on the means, totals, and cuts (each cut . x <= 0)."""
    more = np.zeros((0, len(columns.cost))) if cuts is None else cuts
    return Program(
        columns.cost,
        columns.low,
        columns.high,
        np.vstack([columns.g, columns.rows, more]),
        np.concatenate([columns.g_low, columns.row_low, np.full(len(more), -INFINITY)]),
        np.concatenate([np.zeros(len(columns.g)), columns.row_high, np.zeros(len(more))]),
        columns.whole.tolist() if whole else None,
        seed,
        budget,
    )


def cone(columns: Columns) -> Floats:
    """v of the docstring above (limits, columns), from the bounds the columns have now."""
    most = np.where(columns.high > 0, np.minimum(columns.high, 1e9), 1.0)
    return columns.lot + columns.load / most


def tangents(columns: Columns, v: Floats, x: Floats, z: Floats) -> list[Floats]:
    """A cut for each limit that x fails at its own margin z (limits,)."""
    deviation = np.sqrt(v @ (x * x))
    over = columns.mean(x) + z * deviation
    reach = np.abs(columns.g) @ x
    found = []
    for k in np.flatnonzero((over > CLOSE * reach) & (deviation > 0) & (z > 0)):
        found.append(columns.g[k] + z[k] * v[k] * x / deviation[k])
    return found


def tightened(
    columns: Columns,
    z: Floats,
    *,
    whole: bool = False,
    seed: int = 0,
    cuts: list[Floats] | None = None,
    budget: Budget | None = None,
) -> tuple[Solved, list[Floats], Program]:
    """The cheapest x that has margin z within the cones, and the cuts that took; `whole`: in whole loads.
    Where a run in whole numbers ends without proof, no more cuts are laid."""
    v = cone(columns)
    known = [] if cuts is None else cuts
    if whole and columns.whole.any() and (z > 0).any():
        loose, known, model = tightened(columns, z, cuts=known)  # most cuts are found so, cheaply
        if loose.status == "infeasible":
            return loose, known, model
    model = program(columns, whole=whole, seed=seed, cuts=np.array(known) if known else None, budget=budget)
    solved = model.solve()
    for _ in range(ROUNDS):
        new = tangents(columns, v, solved.x, z) if len(solved.x) and solved.status == "optimal" else []
        if not new:
            break
        for cut in new:
            model.add(cut, -INFINITY, 0.0)
        known = [*known, *new]
        before, solved = solved, model.solve()
        if solved.status == "limit":  # fewer cuts bound as well
            solved = replace(solved, bound=max(before.bound, solved.bound))
    return solved, known, model


class Joint:
    """At most how likely plans hold all limits together, with the load part as in `cone`; `least` asked."""

    def __init__(self, columns: Columns, lot: Floats, load: Floats, least: float) -> None:
        most = np.where(columns.high > 0, np.minimum(columns.high, 1e9), 1.0)[: columns.offers]
        self._spread = lot + load / most[:, None, None]
        self._columns, self.least = columns, least
        names = [limit.quantity for limit in columns.limits]
        self._groups = [names.index(name) for name in names]

    def of(self, plans: Floats) -> Floats:
        """Shape (plans,)."""
        x = plans[:, : self._columns.offers]
        mean = plans @ self._columns.g.T * self._columns.scale
        return joint_at_most(mean, np.tensordot(x * x, self._spread, axes=1), self._groups)


def joint_cuts(
    columns: Columns, model: Program, solved: Solved, joint: Joint, inside: Floats, rounds: int = ROUNDS
) -> tuple[Solved, list[Floats]]:
    """Tangents to where all limits hold together with the chance `joint` asks, laid between the program's
    solution and a plan `inside`: the cheapest x is then no longer one limit's, but all limits' at once."""
    cuts: list[Floats] = []
    for _ in range(rounds):
        if not len(solved.x):
            break
        line = solved.x * (1 - SHARES) + inside * SHARES
        held = joint.of(line) >= joint.least
        if held[0] or not held[-1]:
            break
        edge = line[int(np.argmax(held))]
        step = 1e-4 * np.maximum(edge, 1e-2 * edge.max())
        moved = joint.of(np.vstack([edge + np.diag(step), edge - np.diag(step)]))
        slope = (moved[: len(edge)] - moved[len(edge) :]) / (2 * step)
        slope -= (slope @ edge) / (edge @ edge) * edge  # the chance is the same for every size of row
        if not (slope @ solved.x < 0):
            break
        cut = -slope / np.abs(slope).max()
        model.add(cut, -INFINITY, 0.0)
        cuts.append(cut)
        before, solved = solved, model.solve()
        if solved.status == "limit":
            return replace(solved, bound=max(before.bound, solved.bound)), cuts
    return solved, cuts
