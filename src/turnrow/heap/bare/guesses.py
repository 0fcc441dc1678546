"""The simple guesses an outlook is mixed from; each uses only what was known at its origin.

    now        the last reading, held
    fade       its excess over the air fades slowly, as the food is spent
    trend      the drift of the last day, soon damped
    warming    a fresh heap heats up, towards the temperature its microbes like best
    recovery   after a turn the core comes back towards what it was, less what turns cost before

A guess that has nothing to say at an origin sleeps there.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.bare.beliefs import Beliefs
from turnrow.heap.bare.log import BareLog
from turnrow.heap.bare.turns_seen import turns_known
from turnrow.heap.bare.warming import warming

Hours = NDArray[np.float64]
GUESSES = ("now", "fade", "trend", "warming", "recovery")
NO_AIR_C = 15.0  # OWN: outside air where none was given, unless the heap itself was colder


@dataclass(frozen=True, eq=False)
class Guessed:
    """At one origin: paths, guess -> (h,) °C at the hours ahead; odds, guess -> its odds before scoring;
    spread (h,) K, what a miss is measured by; last, the newest reading °C; age, its hours."""

    paths: Mapping[str, Hours]
    odds: Mapping[str, float]
    spread: Hours
    last: float
    age: float


def guess(known: BareLog, origin: float, ahead: Hours, air_ahead: Hours | None, b: Beliefs) -> Guessed:
    """The guesses at `origin` for the hours `ahead` (h,).

    known      the log as it was known then
    air_ahead  (h,) mean outside temperature to come, only where it is given as known
    """
    last, age = float(known.heat[-1]), origin - float(known.hour[-1])
    air = outside(known, origin) if air_ahead is None else air_ahead
    days = (ahead + age) / 24
    turns, _ = turns_known(known.turned, known.drops, origin)
    since = float(turns[-1]) if len(turns) else -np.inf
    paths = {"now": np.full(len(ahead), last), "fade": air + (last - air) * np.exp(-days / b.spend_days)}
    odds = {"now": b.odds_now, "fade": b.odds_fade}
    drift = _drift(known, origin, since)
    if drift is not None and drift.readings >= 4:
        damped = b.trend_days * (1 - np.exp(-days / b.trend_days))
        paths["trend"], odds["trend"] = last + drift.k_day * damped, b.odds_trend
    regime = b.settled_k
    rise = warming(known, origin, days, float(np.mean(air)), turns, drift, b)
    if rise is not None:
        paths["warming"], odds["warming"] = rise
        if odds["warming"] > 0.5 * (b.odds_now + b.odds_fade + b.odds_trend):
            regime = b.rising_k
    back = _recovery(known, origin, turns, days, air, b)
    if back is not None:
        paths["recovery"], odds["recovery"] = back, b.odds_recovery
        regime = b.turned_k
    spread = regime * np.minimum(np.sqrt(days), b.widest)
    return Guessed(paths, odds, spread, last, age)


def outside(known: BareLog, origin: float) -> float:
    """Mean outside temperature of the last three days [°C]; without, a mild day or the coldest reading."""
    near = known.air[known.air_hour > origin - 73]
    return float(near.mean()) if len(near) else min(NO_AIR_C, float(known.heat.min()))


@dataclass(frozen=True)
class Drift:
    """Change over about the last day: K/day, over how many hours, from which temperature, how many
    readings."""

    k_day: float
    hours: float
    start: float
    readings: int


def _drift(known: BareLog, origin: float, since: float) -> Drift | None:
    """None where no stretch of 6 h clear of a turn's own dip (18 h) was read."""
    hour, heat = known.hour, known.heat
    start = max(origin - 24, since + 18)
    i = int(np.searchsorted(hour, start - 1e-9))
    if i > 0 and hour[i - 1] >= start - 12 and hour[i - 1] > since + 12:
        i -= 1
    if i >= len(hour) or hour[-1] - hour[i] < 6:
        return None
    hours = float(hour[-1] - hour[i])
    change = float(heat[-1] - heat[i])
    return Drift(change / hours * 24, hours, float(heat[i]), len(hour) - i)


def _recovery(
    known: BareLog, origin: float, turns: Hours, days: Hours, air: float | Hours, b: Beliefs
) -> Hours | None:
    """The way back up after the last turn (h,), None where there is none to be made."""
    if not len(turns) or origin - turns[-1] > b.awake_h:
        return None
    before = _level(known, turns[-1] - 24, turns[-1])
    last, outer = float(known.heat[-1]), float(np.mean(air))
    if before is None:
        return None
    share, weight = b.comes_back, 1.0
    for turn in turns[:-1]:
        was, came = _level(known, turn - 24, turn), _level(known, turn + 18, turn + 42)
        if turn < origin - 42 and was is not None and came is not None and was - outer > 5:
            w = float(np.exp(-(origin - turn) / 24 / b.memory_days))
            share += w * min(max((came - outer) / (was - outer), 0.2), 1.3)
            weight += w
    back_to = outer + (before - outer) * share / weight
    if back_to <= last:
        return None
    return np.asarray(back_to - (back_to - last) * np.exp(-days / b.recover_days))


def _level(known: BareLog, start: float, end: float) -> float | None:
    """Median reading of a span, None where nothing was read in it."""
    within = (known.hour >= start) & (known.hour <= end)
    return float(np.median(known.heat[within])) if within.any() else None
