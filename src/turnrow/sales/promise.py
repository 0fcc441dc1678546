"""When an order can be kept, and how surely: stock on hand, then what is still becoming ripe."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

DRAWS = 4000
SPAN = NormalDist().inv_cdf(0.9)  # standard deviations from the middle to the ninth decile


@dataclass(frozen=True)
class Coming:
    """Material that will be there: how much, and from when.

    amount      middle, in one unit for all; sd its standard deviation, 0 for what lies there weighed
    ready_day   days from now: p10, p50, p90; None: it lies there, released
    """

    name: str
    amount: float
    sd: float = 0.0
    ready_day: tuple[float, float, float] | None = None

    def __post_init__(self) -> None:
        if self.amount < 0 or self.sd < 0:
            raise ValueError(f"{self.name}: amount {self.amount} and sd {self.sd}, want 0 or more")
        if self.ready_day and not self.ready_day[0] <= self.ready_day[1] <= self.ready_day[2]:
            raise ValueError(f"{self.name}: days {self.ready_day}, want p10, p50, p90 in order")


@dataclass(frozen=True)
class Promise:
    """For one order: chance that it can be kept by its day (None: no day asked), and days from now by which
    it can with chances of 50, 80 and 95 %; inf where even all that is coming falls short that often."""

    name: str
    chance: float | None
    p50: float
    p80: float
    p95: float


def promises(
    wanted: Sequence[tuple[str, float, float | None]],
    coming: Sequence[Coming],
    rng: np.random.Generator,
    draws: int = DRAWS,
) -> tuple[Promise, ...]:
    """Orders served first come, first served, each whole.

    wanted  (name, amount, day it is wanted from now or None), in the order they are served
    Each source is drawn by itself: days lognormal-like between their deciles, amounts normal and not below
    nothing. Weather that makes all rows late at once is not in it, so surer promises are a little too sure.
    """
    days = np.column_stack([_days(one, rng, draws) for one in coming]) if coming else np.zeros((draws, 0))
    size = (
        np.column_stack([np.maximum(0.0, rng.normal(one.amount, one.sd, draws)) for one in coming])
        if coming
        else np.zeros((draws, 0))
    )
    order = np.argsort(days, axis=1, kind="stable")
    sorted_days = np.take_along_axis(days, order, axis=1)
    there = np.cumsum(np.take_along_axis(size, order, axis=1), axis=1)
    found, asked = [], 0.0
    for name, amount, by in wanted:
        asked += amount
        when = _first(there, sorted_days, asked)
        chance = None if by is None else float(np.mean(when <= by))
        p50, p80, p95 = (float(np.quantile(when, q, method="higher")) for q in (0.5, 0.8, 0.95))
        found.append(Promise(name, chance, p50, p80, p95))
    return tuple(found)


def _first(there: NDArray[np.float64], days: NDArray[np.float64], asked: float) -> NDArray[np.float64]:
    """The day on which what is there reaches `asked`, for each draw; inf where it never does."""
    enough = there >= asked * (1 - 1e-12)
    column = np.argmax(enough, axis=1) if there.shape[1] else np.zeros(len(there), dtype=int)
    never = ~enough.any(axis=1)
    if not there.shape[1]:
        return np.full(len(there), np.inf)
    return np.where(never, np.inf, days[np.arange(len(there)), column])


def _days(one: Coming, rng: np.random.Generator, draws: int) -> NDArray[np.float64]:
    """Days until it is ready: a normal on each side of the middle, joined there, so both deciles hold."""
    if one.ready_day is None:
        return np.zeros(draws)
    low, middle, high = one.ready_day
    z = rng.standard_normal(draws)
    return np.maximum(0.0, middle + np.where(z < 0, (middle - low) / SPAN, (high - middle) / SPAN) * z)
