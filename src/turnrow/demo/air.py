"""The invented weather: a cosine year, wandering days, showers, and the storms the story asks for."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from random import Random

WARMEST_DAY = 201  # of the year
MIDDLE_C, SWING_C = 8.0, 14.0
DAY_SWING_C = 4.5
WARMEST_HOUR = 15


@dataclass(frozen=True)
class Air:
    """Daily means and sums by day of the season; wind at the morning line."""

    mean_c: tuple[float, ...]
    rain_mm: tuple[float, ...]
    wind_m_s: tuple[float, ...]
    wind_from: tuple[str, ...]

    def at(self, hour: float) -> float:
        """Air temperature [°C] `hour` hours after the season's first midnight."""
        day = min(int(hour // 24), len(self.mean_c) - 1)
        swing = DAY_SWING_C * math.cos(2 * math.pi * (hour % 24 - WARMEST_HOUR) / 24)
        return self.mean_c[day] + swing


def season_air(
    start: date, days: int, chance: Random, storms: Mapping[int, float], winds: Mapping[int, float]
) -> Air:
    """Weather for `days` days; `storms` gives rain [mm] and `winds` [m/s] by day of the season."""
    wander = 0.0
    mean, rain, wind, where = [], [], [], []
    for day in range(days):
        of_year = (start.toordinal() + day - date(start.year, 1, 1).toordinal()) % 365.25
        wander = 0.7 * wander + chance.gauss(0, 2.2)
        mean.append(MIDDLE_C + SWING_C * math.cos(2 * math.pi * (of_year - WARMEST_DAY) / 365.25) + wander)
        shower = chance.random() < 0.28
        fell = round(chance.expovariate(1 / 5.0), 1) if shower else 0.0
        rain.append(storms.get(day, min(fell, 18.0)))
        blew = round(min(9.0, 1.0 + chance.expovariate(1 / 2.2)), 1)
        wind.append(winds.get(day, blew))
        where.append(chance.choice(("W", "NW", "SW", "S", "N", "W", "E")))
    return Air(tuple(mean), tuple(rain), tuple(wind), tuple(where))
