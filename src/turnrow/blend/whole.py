"""Every plan in whole loads that could be the cheapest, counted out.

A linear relaxation gives a floor under the cost and the duals that say what each load away from it
costs at least; a plan already found gives a ceiling. Between the two few plans are left, and they are
listed one column at a time, each only as far as all rows still allow.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.cones import Joint, joint_cuts, tightened
from turnrow.blend.highs import INFINITY, Program, Solved
from turnrow.blend.limits_linear import Floats
from turnrow.blend.program import Columns

WORK = 64_000_000  # numbers held at once, before a listing gives up
MOST = 400_000  # plans held at once, at most
EDGE = 1e-9
FEW_STARTS = 32  # plans begun, on about so many of which the next column is chosen
SMALL = 1e-12
LOOSE = 1e-7  # what a bound from HiGHS' duals is given away
ROUNDS = 4
FEW = 12_000  # plans at once that are quicker listed than narrowed first

Plans = NDArray[np.float64]
Rows = tuple[Floats, Floats]  # rows . x <= most


@dataclass(frozen=True, eq=False)
class Floor:
    """The relaxation: its solution, its cuts, the program itself to ask again, the bounds it had."""

    solved: Solved
    cuts: list[Floats]
    model: Program
    low: Floats
    high: Floats


def floored(columns: Columns, z: Floats, cuts: list[Floats]) -> Floor:
    """The relaxation that has margin z, beginning with the cuts."""
    return Floor(*tightened(columns, z, cuts=cuts), columns.low, columns.high)


def again(columns: Columns, floor: Floor, z: Floats) -> Floor:
    """The same relaxation with its cuts, asked anew of all columns; the one known where that has no end."""
    found = floored(columns, z, floor.cuts)
    return floor if found.solved.status == "limit" else found


def rows_of(columns: Columns, cuts: list[Floats]) -> tuple[Floats, Floats]:
    """Everything a plan must meet as rows . x <= most, exact limits as two rows."""
    exact = columns.exact
    parts = [columns.g, -columns.g[exact], columns.rows, -columns.rows, *([np.array(cuts)] if cuts else [])]
    rows = np.vstack(parts)
    most = np.concatenate(
        [np.zeros(len(columns.g) + int(exact.sum())), columns.row_high, -columns.row_low, np.zeros(len(cuts))]
    )
    return rows, most


def near(columns: Columns, floor: Floor, reach: int) -> Plans:
    """Plans about the relaxation's solution: up to `reach` loads off where it takes a material, the
    fewest and one more where it does not."""
    x = floor.solved.x
    taken = x > columns.low + 1e-9
    low = np.where(taken, np.maximum(np.ceil(x - reach), columns.low), columns.low)
    high = np.where(taken, np.minimum(np.floor(x + reach), columns.high), columns.low + 1)
    high = np.minimum(high, columns.high)
    rows, most = rows_of(columns, floor.cuts)
    found = listed(rows, most, low, high)
    return np.zeros((0, len(x))) if found is None else found


def quickly(columns: Columns, floor: Floor, ceiling: float) -> Plans | None:
    """As `below`, where the first duals leave few plans; None: they do not."""
    low, high = _within(columns, floor, ceiling)
    none: Rows = np.zeros((0, len(low))), np.zeros(0)
    return _counted(replace(columns, low=low, high=high), floor, none, ceiling, FEW)


def raised(columns: Columns, floor: Floor, joint: Joint, inside: Floats) -> Floor:
    """The relaxation with the chance of all limits together, a plan `inside` being known."""
    solved, cuts = joint_cuts(columns, floor.model, floor.solved, joint, inside)
    if solved.status == "limit":
        return floor
    return replace(floor, solved=solved, cuts=[*floor.cuts, *cuts])


def below(
    columns: Columns,
    floor: Floor,
    ceiling: float,
    z: Floats,
    joint: Callable[[Columns], Joint] | None = None,
    inside: Floats | None = None,
    most: int = MOST,
) -> Plans | None:
    """Every plan of at most `ceiling` cost that the relaxation's rows allow; None: too many to list.
    With a plan `inside`, the chance of all limits together bounds them as well."""
    edge = EDGE * max(1.0, abs(ceiling))
    known: Rows = np.zeros((0, len(columns.cost))), np.zeros(0)
    for n in range(ROUNDS):
        low, high = _within(columns, floor, ceiling)
        before = columns
        low, high, more = _narrowed(columns, floor, ceiling + edge, low, high)
        if (low > high).any():
            return np.zeros((0, len(low)))
        known = np.vstack([known[0], more[0]]), np.concatenate([known[1], more[1]])
        columns = replace(columns, low=low, high=high)
        found = _counted(columns, floor, known, ceiling, FEW)
        shrunk = float(np.prod((high - low + 1) / (before.high - before.low + 1)))
        if found is not None or (shrunk > 0.5 and n):
            break
        closer = floored(columns, z, floor.cuts)  # narrower, so its cones lie closer
        if closer.solved.status == "limit":
            break
        floor = closer
        if joint is not None and inside is not None and len(floor.solved.x):
            floor = raised(columns, floor, joint(columns), inside)
        if floor.solved.status == "infeasible":
            return np.zeros((0, len(low)))
    return _counted(columns, floor, known, ceiling, most) if found is None and most > FEW else found


def _counted(columns: Columns, floor: Floor, known: Rows, ceiling: float, at_once: int) -> Plans | None:
    edge = EDGE * max(1.0, abs(ceiling))
    reduced = floor.solved.reduced
    up, down = np.maximum(reduced, 0.0), np.maximum(-reduced, 0.0)
    rows, most = rows_of(columns, floor.cuts)
    given = LOOSE * max(1.0, abs(ceiling))
    away = ceiling - floor.solved.cost + given + up @ floor.low - down @ floor.high
    rows = np.vstack([rows, known[0], columns.cost, up - down])
    most = np.concatenate([most, known[1], [ceiling + edge, away]])
    return listed(rows, most, columns.low, columns.high, at_once)


def _within(columns: Columns, floor: Floor, ceiling: float) -> tuple[Floats, Floats]:
    """Loads that the duals leave below the ceiling."""
    gap = ceiling - floor.solved.cost + LOOSE * max(1.0, abs(ceiling))
    up, down = np.maximum(floor.solved.reduced, 0.0), np.maximum(-floor.solved.reduced, 0.0)
    room = np.floor(np.where(up > SMALL, gap / np.maximum(up, SMALL), np.inf) + EDGE)
    under = np.floor(np.where(down > SMALL, gap / np.maximum(down, SMALL), np.inf) + EDGE)
    low = np.maximum(columns.low, floor.high - under)
    return low, np.minimum(columns.high, floor.low + room)


def _narrowed(
    columns: Columns, floor: Floor, ceiling: float, low: Floats, high: Floats
) -> tuple[Floats, Floats, Rows]:
    """The least and most loads of each material that any mix below the ceiling has; and what each such
    question's duals say of all plans: rows that tie one material to those the answer leaves out."""
    model = floor.model
    model.add(columns.cost, -INFINITY, ceiling)
    low, high = low.copy(), high.copy()
    rows: list[Floats] = []
    most: list[float] = []
    for i in np.argsort(low - high):
        if high[i] - low[i] < 4:
            continue
        for sign in (1.0, -1.0):
            price = np.zeros(len(low))
            price[i] = sign
            model.price(price)
            model.bound(low, high)
            found = model.solve()
            if found.status == "infeasible":
                return low, low - 1, (np.zeros((0, len(low))), np.zeros(0))
            if found.status != "optimal":
                continue
            up, down = np.maximum(found.reduced, 0.0), np.maximum(-found.reduced, 0.0)
            rows.append(up - down - price)
            most.append(float(up @ low - down @ high) - found.cost + LOOSE * (1 + float((up + down) @ high)))
            if sign > 0:
                low[i] = max(low[i], np.ceil(found.cost - LOOSE * (1 + abs(found.cost))))
            else:
                high[i] = min(high[i], np.floor(-found.cost + LOOSE * (1 + abs(found.cost))))
    return low, high, (np.array(rows).reshape(-1, len(low)), np.array(most))


def listed(rows: Floats, most: Floats, low: Floats, high: Floats, at_once: int = MOST) -> Plans | None:
    """Every whole x in low..high with rows . x <= most. Shape (plans, columns); None: too many.

    Column by column, each time the one that gives the fewest starts: its range is cut, for every start,
    to what all rows leave once the columns still to come take as little of them as they can.
    """
    at_once = min(at_once, WORK // max(rows.size, 1))  # no limit asked: nothing to weigh
    least = np.minimum(rows * low, rows * high)
    slack = EDGE * (np.abs(rows) @ np.maximum(np.abs(low), np.abs(high)))
    left = (most + slack - least.sum(axis=1))[:, None]  # room left of each row, all at their least
    if (left < 0).any():
        return np.zeros((0, len(low)))
    binds = left[:, 0] < np.abs(rows) @ (high - low)  # the others hold whatever is taken
    rows, least, left = rows[binds], least[binds], left[binds]
    per_up, per_down = _inverted(rows), _inverted(-rows)
    plans = np.zeros((1, len(low)))
    still = np.arange(len(low))
    while len(still) and len(plans):
        few = left[:, :: max(1, left.shape[1] // FEW_STARTS)]
        first, last = _ranges(per_up[:, still], per_down[:, still], few, low[still], high[still])
        place = int(np.argmin((last - first).clip(-1.0).sum(axis=1)))
        i = still[place]
        if few.shape[1] == left.shape[1]:
            begin, end = first[place], last[place]
        else:
            begin, end = _range(per_up[:, i], per_down[:, i], left, low[i], high[i])
        count = np.maximum(end - begin + 1, 0).astype(np.int64)
        upto = count.cumsum()
        total = int(upto[-1])
        if total > at_once:
            return None
        start = np.arange(len(count)).repeat(count)
        value = np.arange(total) + (begin - (upto - count))[start]
        plans = plans[start]
        plans[:, i] = value
        still = still[still != i]
        if len(still):  # nothing looks at the room that the last one leaves
            left = (left + least[:, i : i + 1]).take(start, axis=1)
            left -= rows[:, i : i + 1] * value
    return plans


def _inverted(a: Floats) -> Floats:
    """1/a where a is above 0, elsewhere not a number, which `fmin` passes over."""
    found: Floats = np.divide(1.0, a, out=np.full(a.shape, np.nan), where=a > 0)
    return found


def _ranges(
    per_up: Floats, per_down: Floats, left: Floats, low: Floats, high: Floats
) -> tuple[Floats, Floats]:
    """First and last value each column may take, for every start. per_up, per_down (rows, columns):
    columns per unit of a row that more, or less, of them takes up; left (rows, starts). Both answers
    (columns, starts)."""
    room = left[:, None, :]
    up = np.fmin.reduce(room * per_up[:, :, None], axis=0, initial=np.inf)
    down = np.fmin.reduce(room * per_down[:, :, None], axis=0, initial=np.inf)
    first = np.ceil(high[:, None] - down - EDGE)
    last = np.floor(low[:, None] + up + EDGE)
    return np.maximum(first, low[:, None]), np.minimum(last, high[:, None])


def _range(per_up: Floats, per_down: Floats, left: Floats, low: float, high: float) -> tuple[Floats, Floats]:
    """As `_ranges` of one column and many starts: each row is looked at on its own side only."""
    up, down = (
        (left[on] * per[on, None]).min(axis=0, initial=np.inf)
        for on, per in ((np.flatnonzero(np.isfinite(per)), per) for per in (per_up, per_down))
    )
    return np.maximum(low, np.ceil(high - down - EDGE)), np.minimum(high, np.floor(low + up + EDGE))
