"""Weather on the hour, and the table of steps the kernel marches through."""

from dataclasses import dataclass

import numpy as np

from turnrow.heap import air
from turnrow.heap import kernel as k
from turnrow.heap.material import Floats


@dataclass(frozen=True, eq=False)
class Weather:
    """On every hour from the start: (hours + 1,) each, linear between; rain as what fell in each hour.

    air_c [°C]; humid relative humidity 0..1; sun [W/m2 on the flat]; wind [m/s]; rain_mm (hours,) [mm].
    """

    air_c: Floats
    humid: Floats
    sun: Floats
    wind: Floats
    rain_mm: Floats

    @property
    def hours(self) -> int:
        return len(self.air_c) - 1

    def between(self, first: int, last: int) -> "Weather":
        """The hours from `first` to `last`, by themselves."""
        on = slice(first, last + 1)
        return Weather(self.air_c[on], self.humid[on], self.sun[on], self.wind[on], self.rain_mm[first:last])


def steady(
    hours: int,
    *,
    air_c: float = 12.0,
    swing_c: float = 0.0,
    humid: float = 0.7,
    sun: float = 0.0,
    wind: float = 2.0,
    rain_mm_day: float = 0.0,
) -> Weather:
    """The same day again and again, from midnight: air warmest at 15:00, sun from 6 to 18."""
    h = np.arange(hours + 1.0)
    return Weather(
        air_c=air_c + swing_c * np.sin(2 * np.pi * (h - 9.0) / 24.0),
        humid=np.full(hours + 1, humid),
        sun=sun * np.maximum(np.sin(2 * np.pi * (h - 6.0) / 24.0), 0.0),
        wind=np.full(hours + 1, wind),
        rain_mm=np.full(hours, rain_mm_day / 24.0),
    )


def steps(weather: Weather, start_h: float, end_h: float, per_hour: int = 1) -> Floats:
    """Steps from start_h to end_h (n, WEATHER): on the grid of `per_hour`, cut at both ends."""
    if not 0.0 <= start_h < end_h <= weather.hours:
        raise ValueError(f"hours {start_h} to {end_h}, want within 0 to {weather.hours}")
    first, last = np.floor(start_h * per_hour) + 1, np.ceil(end_h * per_hour)
    inner = np.arange(first, last) / per_hour
    edges = np.concatenate([[start_h], inner[(inner > start_h) & (inner < end_h)], [end_h]])
    middle, hours = 0.5 * (edges[1:] + edges[:-1]), np.arange(weather.hours + 1.0)
    table = np.zeros((len(middle), k.WEATHER))
    t = np.interp(middle, hours, weather.air_c)
    w = air.humidity_ratio(t, np.interp(middle, hours, weather.humid))
    table[:, k.W_T] = t
    table[:, k.W_SUN] = np.interp(middle, hours, weather.sun)
    table[:, k.W_WIND] = np.interp(middle, hours, weather.wind)
    table[:, k.W_RAIN] = weather.rain_mm[np.minimum(middle.astype(np.int64), weather.hours - 1)] / 3600.0
    table[:, k.W_HR] = np.where(t >= 0.0, k.CW * t, k.CI * t - k.LF)
    table[:, k.W_W] = w
    table[:, k.W_H] = air.enthalpy(t, w)
    table[:, k.W_RHO] = air.density(t, w * air.PRESSURE / (0.622 + w))
    table[:, k.W_DT] = 3600.0 * np.diff(edges)
    return table
