"""The air outside by the hour, from the yard's own weather lines: a morning's figure and the usual day."""

from collections.abc import Sequence
from typing import cast
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.known import Outside
from turnrow.schedule.limits import SPEEDS
from turnrow.yard import days
from turnrow.yard.entries import Amount, Weather
from turnrow.yard.history import Event
from turnrow.yard.numbers import MICRO
from turnrow.yard.temperature import Unit, celsius
from turnrow.yard.units import size

Hours = NDArray[np.float64]
Lines = Sequence[tuple[Event, Weather]]
WARMEST_H = 15.0
OFTEN_S = 6 * days.HOUR_S  # lines so near one another show the day's swing themselves
LATELY = 7  # lines the days ahead are taken from
RAIN_SPREAD_S = days.DAY_S  # rain "since the line before" fell within so long
MM = {unit: float(size(unit, "mm")) for unit in ("mm", "in")}


def outside(lines: Lines, zone: ZoneInfo, from_s: int, to_s: int, swing_c: float) -> Outside | None:
    """Air on every hour of from_s..to_s from the lines given; None where none of them tells the air.

    Between lines the day's mean is drawn straight and the usual swing (`swing_c` above and below the mean,
    warmest at 15:00) put upon it; beyond the last line the mean of the last week's lines is expected,
    and rain is not known.
    """
    told = [(e.at, celsius(w.air.value, cast(Unit, w.air.unit))) for e, w in lines if w.air is not None]
    if not told:
        return None
    at, air = np.array([a for a, _ in told], dtype=np.int64), np.array([t for _, t in told])
    often = len(at) > 1 and float(np.median(np.diff(at))) < OFTEN_S
    mean = air if often else air - _swing(at, zone, swing_c)
    expected = float(np.mean((air - _swing(at, zone, swing_c))[-LATELY:]))
    first = from_s - from_s % days.HOUR_S
    hours = np.arange(first, to_s + days.HOUR_S, days.HOUR_S, dtype=np.int64)
    drawn = np.interp(hours, np.append(at, at[-1] + days.DAY_S), np.append(mean, expected))
    swings = _swing(hours, zone, swing_c)
    return Outside(
        start_s=first,
        temp_c=drawn + np.where((hours <= at[-1]) & often, 0.0, swings),
        wind=_wind(lines, hours),
        rain_mm=_rain(lines, hours),
    )


def _swing(at: NDArray[np.int64], zone: ZoneInfo, swing_c: float) -> Hours:
    """How far the air is above the day's mean at each moment, by the clock of the place [°C]."""
    clock = (at + days.offsets_of(at, zone)) % days.DAY_S / days.HOUR_S
    return np.asarray(swing_c * np.cos(2 * np.pi * (clock - WARMEST_H) / 24))


def _wind(lines: Lines, hours: NDArray[np.int64]) -> Hours | None:
    """m/s, drawn straight from line to line; beyond the last, the mean of the last week's lines."""
    told = [(e.at, _in(w.wind, {unit: float(size) for unit, size in SPEEDS.items()})) for e, w in lines]
    known = [(a, v) for a, v in told if v is not None]
    if not known:
        return None
    at, wind = [a for a, _ in known], [v for _, v in known]
    later = float(np.mean(wind[-LATELY:]))
    return np.asarray(np.interp(hours, [*at, at[-1] + days.DAY_S], [*wind, later]))


def _rain(lines: Lines, hours: NDArray[np.int64]) -> Hours | None:
    """mm in the hour that begins: what a line tells, even over the time since the line before it, a day at
    most; NaN after the last line."""
    told = [(e.at, _in(w.rain, MM)) for e, w in lines]
    if all(fell is None for _, fell in told):
        return None
    rain = np.zeros(len(hours))
    before = told[0][0] - RAIN_SPREAD_S
    for at, fell in told:
        if fell:
            since = max(before, at - RAIN_SPREAD_S)
            within = (hours + days.HOUR_S > since) & (hours < at)
            rain[within] += fell / max(int(np.count_nonzero(within)), 1)
        before = at
    rain[hours >= told[-1][0]] = np.nan
    return rain


def _in(amount: Amount | None, sizes: dict[str, float]) -> float | None:
    return None if amount is None or amount.unit not in sizes else amount.value / MICRO * sizes[amount.unit]
