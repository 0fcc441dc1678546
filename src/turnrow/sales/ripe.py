"""What gets ripe in each calendar month, and what may leave of it, with the range of eight draws in ten."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from turnrow.sales.promise import Drawn, Floats

AHEAD = 24  # months looked at


@dataclass(frozen=True)
class Month:
    """One month [t]: p10, middle, p90 of what gets ripe in it and of what may leave from it on."""

    first: date
    ripe: tuple[float, float, float]
    out: tuple[float, float, float]


def by_month(drawn: Drawn, today: date) -> tuple[Month, ...]:
    """From the month of `today` to the last that anything falls in; what is ripe already is in the first.

    Each draw is summed over the rows before its deciles are taken: deciles of rows do not add up.
    """
    found = []
    begins, low = today.replace(day=1), 0.0
    for _ in range(AHEAD):
        ends = (begins + timedelta(days=31)).replace(day=1)
        high = float((ends - today).days)
        ripe, out = (
            _within(drawn.ripe_day, drawn.ripe, low, high),
            _within(drawn.out_day, drawn.out, low, high),
        )
        found.append(Month(begins, _deciles(ripe), _deciles(out)))
        begins, low = ends, high
    while found and found[-1].ripe[2] <= 0.0 and found[-1].out[2] <= 0.0:
        found.pop()
    return tuple(found)


def _within(day: Floats, amount: Floats, low: float, high: float) -> Floats:
    total: Floats = np.where((day >= low) & (day < high), amount, 0.0).sum(axis=1)
    return total


def _deciles(total: Floats) -> tuple[float, float, float]:
    p10, p50, p90 = (float(np.quantile(total, q)) for q in (0.1, 0.5, 0.9))
    return p10, p50, p90
