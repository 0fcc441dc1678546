"""The frame a picture of temperatures is drawn in: pixels, degrees up the side, days along the foot."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.records import pen
from turnrow.yard.days import DAY_S, day_of, moment, short_date
from turnrow.yard.temperature import NINTH, Unit


@dataclass(frozen=True)
class Frame:
    """Pixels of moments [s] and temperatures [ninths of a millionth of a degree Celsius]."""

    from_s: int
    to_s: int
    low: float
    high: float
    left: float
    right: float
    top: float
    bottom: float

    def x(self, at: float) -> float:
        return self.left + (at - self.from_s) / (self.to_s - self.from_s) * (self.right - self.left)

    def xs(self, at: NDArray[np.int64]) -> NDArray[np.float64]:
        share: NDArray[np.float64] = (at - self.from_s) / (self.to_s - self.from_s)
        return self.left + share * (self.right - self.left)

    def y(self, heat: float) -> float:
        return self.bottom - (heat - self.low) / (self.high - self.low) * (self.bottom - self.top)


def degrees_up(frame: Frame, unit: Unit) -> list[str]:
    """Degrees up the side; no lines across."""
    span = (frame.high - frame.low) / NINTH
    scale = 1.8 if unit == "F" else 1.0
    step = next(s for s in (5, 10, 20, 50, 100, 1_000_000) if s / scale >= span / 8)
    zero = {"C": 0.0, "F": -160 / 9 * NINTH, "K": -273.15 * NINTH}[unit]
    size = NINTH / scale
    found = []
    value = int(np.ceil((frame.low - zero) / size / step)) * step
    while zero + value * size <= frame.high:
        sign = "" if unit == "K" else "°"
        found.append(
            pen.words(frame.left - 8, frame.y(zero + value * size) + 4, f"{value}{sign}", anchor="end")
        )
        value += step
    return found


def beside(wanted: list[tuple[float, str]], frame: Frame, width: float) -> list[str]:
    """Words at the right, each as near its line as the others let it; a hair leads to one moved."""
    parts, last = [], -1e9
    ordered = sorted(wanted)
    overflow = max(0.0, frame.top + 14.0 * len(ordered) - frame.bottom)
    for number, (y, said) in enumerate(ordered):
        latest = frame.bottom + overflow - 14 * (len(ordered) - 1 - number)
        place = max(min(y, latest), last + 14)
        last = place
        x = frame.right + 8
        if abs(place - y) > 3:
            parts.append(pen.line(frame.right + 1, y, x + 5, place))
            x += 8
        parts.append(pen.words(x, place + 4, pen.short(said, width - x)))
    return parts


def days_along(frame: Frame, zone: ZoneInfo, least: float = 70.0) -> list[str]:
    """Days along the foot, at the yard's own midnight, at least `least` px apart."""
    parts = []
    first, last = day_of(frame.from_s, zone), day_of(frame.to_s, zone)
    a_day = (frame.right - frame.left) * DAY_S / (frame.to_s - frame.from_s)
    step = next(s for s in (1, 2, 7, 14, 28, 91, 182, 365, 3650, 10**6) if s * a_day >= least)
    for day in range(first + 1, last + 1, step):
        x = frame.x(midnight(day, frame.from_s, zone))
        if frame.left <= x <= frame.right - 20:
            parts.append(pen.line(x, frame.bottom, x, frame.bottom + 5))
            parts.append(pen.words(x + 3, frame.bottom + 14, short_date(day)))
    parts.append(pen.line(frame.left, frame.bottom, frame.right, frame.bottom))
    return parts


def midnight(day: int, near_s: int, zone: ZoneInfo) -> int:
    """The first moment of a yard's day [s]; `near_s` is any moment to count from."""
    guess = moment(near_s, zone)
    at = near_s - (guess.hour * 3600 + guess.minute * 60 + guess.second)
    at += (day - guess.toordinal()) * DAY_S
    here = moment(at, zone)
    shift = here.hour * 3600 + here.minute * 60 + (here.toordinal() - day) * DAY_S
    return at - shift
