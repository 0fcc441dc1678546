"""A record's readings sorted by station, then by moment: its days and its hours are reckoned from these."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.days import DAY_S
from turnrow.yard.readings import Readings


@dataclass(frozen=True, eq=False)
class ByStation:
    """Equal-length columns (n readings).

    clock    (n,) int64  seconds; days of equal length where no reading has a time of day
    station  (n,) int32  index into `stations`; day (n,) int32 date ordinals
    heat     (n,) int64  [ninths]
    order    (n,) where each stood among the readings
    """

    order: NDArray[np.intp]
    clock: NDArray[np.int64]
    station: NDArray[np.int32]
    day: NDArray[np.int32]
    heat: NDArray[np.int64]
    stations: tuple[str, ...]
    timed: bool  # whether any time of day is known

    @classmethod
    def of(cls, readings: Readings) -> "ByStation":
        timed = bool(readings.timed.any())
        clock = readings.at if timed else readings.day.astype(np.int64) * DAY_S + DAY_S // 2
        station, day, heat, many = readings.station, readings.day, readings.heat, len(readings.stations)
        if many <= 1:
            return cls(np.arange(len(readings)), clock, station, day, heat, readings.stations, timed)
        order = np.argsort(station.astype(np.int16 if many < 32_000 else np.int32), kind="stable")
        held = np.repeat(np.arange(many, dtype=np.int32), np.bincount(station, minlength=many))
        return cls(order, clock[order], held, day[order], heat[order], readings.stations, timed)
