"""A fresh heap heats up: how likely this log is of one, and the way it would go."""

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.bare.beliefs import Beliefs
from turnrow.heap.bare.log import BareLog

Hours = NDArray[np.float64]


class Drifting(Protocol):
    """How the log moved over about the last day: K/day, hours it was read over, °C it set out from."""

    @property
    def k_day(self) -> float: ...
    @property
    def hours(self) -> float: ...
    @property
    def start(self) -> float: ...


def warming(
    known: BareLog,
    origin: float,
    days: Hours,
    air: float,
    turns: Hours,
    drift: Drifting | None,
    b: Beliefs,
) -> tuple[Hours, float] | None:
    """The path (h,) °C at `days` after the last reading, and the odds that the heap is warming up.

    None where it is not: begun hot, old, at the ceiling, fallen back, or only just turned.
    The odds are the prior ones times how much better the last day's rise fits a fresh heap than one
    that only drifts (both normal, a day of readings counting in full).
    """
    last, first = float(known.heat[-1]), float(known.heat[0])
    old = (origin - known.hour[0]) / 24
    if first >= b.begins_below_c or old >= b.warming_days or last >= b.ceiling_c:
        return None
    if (len(turns) and origin - turns[-1] < 6) or _fell(known, turns, b.fell_k):
        return None
    told, rise = 0.0, b.rise_k_day
    ratio = 0.0
    if drift is not None:
        told = min(drift.hours / 24, 1.0)
        rise = drift.k_day / briskness((last + drift.start) / 2)
        fresh = np.exp(-0.5 * ((rise - b.rise_k_day) / b.rise_sd) ** 2) / b.rise_sd
        still = np.exp(-0.5 * (rise / b.still_sd) ** 2) / b.still_sd
        if last < b.lag_below_c and old < b.lag_days:
            fresh = (fresh + still) / 2
        ratio = float(np.clip(np.log((fresh + 1e-12) / (still + 1e-12)) * told, -8, 8))
    too_warm = max(first - air - b.above_air_k, 0.0) / b.near_k
    odds = b.fresh_odds * float(np.exp(ratio - too_warm))
    trust = told if last >= b.lag_below_c else told / 4
    pace = (b.rise_k_day + max(rise, 1.0) * trust) / (1 + trust)
    return climb(last, pace, days, b), odds


def briskness(temp_c: float) -> float:
    """How briskly a heap heats itself at a temperature, 0.3 to 1 (OWN).

    s = (T + 5) / 35        T  temperature [°C]; at most 1, from 30 °C on
    """
    return min(max((temp_c + 5) / 35, 0.3), 1.0)


def climb(start: float, pace: float, days: Hours, b: Beliefs) -> Hours:
    """Temperature (h,) °C at `days` of a heap at `start` rising `pace` K/day, in steps of an hour.

    dT/dt = pace · s(T) · min(1, (ceiling − T) / taper)
    """
    steps = int(np.ceil(float(days.max()) * 24)) + 1
    path = [start]
    for _ in range(steps):
        slowed = min(1.0, max(b.ceiling_c - path[-1], 0.0) / b.taper_k)
        path.append(path[-1] + pace * briskness(path[-1]) * slowed / 24)
    return np.interp(days * 24, np.arange(steps + 1), path)


def _fell(known: BareLog, turns: Hours, fell_k: float) -> bool:
    """Whether the log ever fell by more than `fell_k` below its highest, but for 36 h after a turn."""
    below = np.maximum.accumulate(known.heat) - known.heat > fell_k
    for turn in turns:
        below &= ~((known.hour >= turn) & (known.hour <= turn + 36))
    return bool(below.any())
