"""A bare log, and what of it was known at a moment.

Whatever is set aside, matched or seen here rests on earlier readings alone, so that a forecast
made of the log up to a moment is the forecast that could have been made then.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.bare.screen import FIRE_C, screen
from turnrow.heap.bare.turns_seen import drops

Hours = NDArray[np.float64]
STILL_GAP_H = 36.0  # a longer gap ends what was unchanged
DUE = 0.9  # of the usual gap: rounds are not made to the minute (OWN)
BRIDGE_H = 2.0  # a logger's gap up to this is drawn across (the open data's own rule)


@dataclass(frozen=True)
class Doubt:
    """A reading or an event that may not be the heap's: hours since the log began, where, why."""

    hour: float
    column: str
    reason: str


@dataclass(frozen=True, eq=False)
class BareLog:
    """hour (n,) strictly rising; heat (n,) °C, the readings that were kept;
    turned (k,) hours at which a turn was logged, in order; air_hour, air (m,) outside temperature;
    drops (d,) hours at which the heap fell faster than it cools; doubts in time;
    still (n,) bool: a value unchanged for a day and longer."""

    hour: Hours
    heat: Hours
    turned: Hours
    air_hour: Hours
    air: Hours
    drops: Hours
    still: NDArray[np.bool_]
    bridged: NDArray[np.bool_]
    doubts: tuple[Doubt, ...]

    def until(self, hour: float) -> "BareLog":
        """What was known at `hour`."""
        n = int(np.searchsorted(self.hour, hour, side="right"))
        a = int(np.searchsorted(self.air_hour, hour, side="right"))
        return replace(
            self,
            hour=self.hour[:n],
            heat=self.heat[:n],
            still=self.still[:n],
            bridged=self.bridged[:n],
            turned=self.turned[self.turned <= hour],
            air_hour=self.air_hour[:a],
            air=self.air[:a],
            drops=self.drops[self.drops <= hour],
            doubts=tuple(one for one in self.doubts if one.hour <= hour),
        )

    def came(self, hours: Hours) -> tuple[Hours, Hours]:
        """Temperature at `hours` (any shape), and the hour from which it was known; NaN where not read.

        Between two readings it is drawn straight, over no gap longer than is usual in this log.
        """
        after = np.searchsorted(self.hour, hours)
        inside = (after < len(self.hour)) & (hours >= self.hour[0])
        after = np.minimum(after, len(self.hour) - 1)
        exact = self.hour[after] == hours
        good = inside & (exact | self.bridged[after])
        drawn = np.interp(hours, self.hour, self.heat)
        return np.where(good, drawn, np.nan), np.where(good, self.hour[after], np.inf)

    def overdue(self, hour: float) -> float:
        """Hours by which another reading is due at `hour`, by the usual gap (median of 50); 0 for none."""
        n = int(np.searchsorted(self.hour, hour, side="right"))
        read = self.hour[max(n - 51, 0) : n]
        usual = float(np.median(np.diff(read))) if n > 1 else 0.0
        return max(hour - float(read[-1]) - max(BRIDGE_H, DUE * usual), 0.0)

    def is_still(self, hours: Hours) -> NDArray[np.bool_]:
        """Whether the reading at or after each of `hours` is one of a probe standing still."""
        after = np.minimum(np.searchsorted(self.hour, hours), len(self.hour) - 1)
        return self.still[after]


def bare_log(hour: Hours, heat: Hours, turned: Hours, air_hour: Hours, air: Hours) -> BareLog:
    """A log from raw columns in any order: hours, °C.

    Of readings at one moment the last is kept. ValueError when no reading is left after screening.
    """
    order = np.argsort(hour, kind="stable")
    hour, heat = hour[order], heat[order]
    last = np.append(hour[1:] > hour[:-1], True) if len(hour) else np.zeros(0, dtype=bool)
    hour, heat = hour[last], heat[last]
    kept, reasons = screen(hour, heat)
    doubts = [Doubt(float(hour[i]), "value", why) for i, why in reasons]
    hour, heat = hour[kept], heat[kept]
    if not len(hour):
        raise ValueError("a log of 0 readings, want at least 1")
    good_air = (air > -60) & (air < 60)
    doubts += [
        Doubt(float(h), "air", f"{v:.1f} °C is no outside air") for h, v in zip(air_hour, air, strict=True)
        if not -60 < v < 60
    ]  # fmt: skip
    doubts += [
        Doubt(float(hour[i]), "unit", f"{heat[i]:.1f} °C: a heap on fire, or °F written as °C?")
        for i in np.flatnonzero(heat > FIRE_C)[:1]
    ]
    air_order = np.argsort(air_hour[good_air], kind="stable")
    still, since = _still(hour, heat)
    doubts += [Doubt(h, "value", "not changed for a day: is the probe alive?") for h in since]
    return BareLog(
        hour,
        heat,
        np.unique(turned),
        air_hour[good_air][air_order],
        air[good_air][air_order],
        drops(hour, heat),
        still,
        _bridged(hour),
        tuple(sorted(doubts, key=lambda one: one.hour)),
    )


def _bridged(hour: Hours) -> NDArray[np.bool_]:
    """(n,) whether the gap before each reading may be drawn across: up to 2 h, or half as long again as
    the usual (median of up to 50 gaps up to this one)."""
    gap = np.diff(hour, prepend=hour[0])
    found = np.zeros(len(hour), dtype=np.bool_)
    for i in range(1, len(hour)):
        usual = float(np.median(gap[max(1, i - 49) : i + 1]))
        found[i] = gap[i] <= max(BRIDGE_H, 1.5 * usual)
    return found


def _still(hour: Hours, heat: Hours) -> tuple[NDArray[np.bool_], list[float]]:
    """(n,) readings at the end of a day or more of one value, at least 8 of them; where each such began
    to be one."""
    found = np.zeros(len(hour), dtype=np.bool_)
    told: list[float] = []
    start = 0
    for i in range(1, len(hour)):
        if heat[i] != heat[i - 1] or hour[i] - hour[i - 1] > STILL_GAP_H:
            start = i
        elif hour[i] - hour[start] >= 24 and i - start >= 7 and abs(heat[i]) > 0.5:
            if not found[i - 1]:
                told.append(float(hour[i]))
            found[i] = True
    return found, told
