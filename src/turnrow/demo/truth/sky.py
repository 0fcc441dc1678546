"""Invented hourly weather: a cosine year, a day's swing under clouds, wandering days, showers."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Sky:
    """On the hour from start_s [s UTC], each (n,).

    temp_c; humid 0..1; sun [W/m2 on the flat]; wind [m/s]; rain_mm what falls in the hour that begins.
    """

    start_s: int
    temp_c: Floats
    humid: Floats
    sun: Floats
    wind: Floats
    rain_mm: Floats


def sky(start_s: int, of_year: int, days: int, chance: np.random.Generator) -> Sky:
    """`days` days from midnight start_s, which is day `of_year` (0..365) of its year."""
    day = np.repeat(np.arange(days), 24)
    clock = np.tile(np.arange(24.0), days)
    wander = wandering(days, 0.75, 2.4, chance)
    cloud = np.clip(0.5 + wandering(days, 0.5, 0.22, chance), 0.0, 1.0)
    middle = 9.0 + 10.0 * np.cos(2 * math.pi * (of_year + np.arange(days) - 201) / 365.25) + wander
    swing = (6.5 - 4.5 * cloud)[day] * np.cos(2 * math.pi * (clock - 15) / 24)
    temp = middle[day] + swing + wandering(24 * days, 0.9, 0.25, chance)
    noon = 750 + 250 * np.cos(2 * math.pi * (of_year + np.arange(days) - 172) / 365.25)
    sun = (noon * (1 - 0.75 * cloud))[day] * np.maximum(np.cos(2 * math.pi * (clock - 12.5) / 27), 0) ** 1.3
    humid = np.clip(0.72 + 0.15 * cloud[day] - 0.02 * swing, 0.25, 1.0)
    wind = np.clip(2.2 + wandering(24 * days, 0.93, 0.6, chance) + 0.15 * swing, 0.1, 14.0)
    return Sky(start_s, temp, humid, sun, wind, _showers(cloud, chance))


def wandering(n: int, keeps: float, kick: float, chance: np.random.Generator) -> Floats:
    """A first-order wander about nought (n,)."""
    out = np.zeros(n)
    for at, push in enumerate(chance.normal(0, kick, n)):
        out[at] = keeps * out[at - 1] + push if at else push
    return out


def _showers(cloud: Floats, chance: np.random.Generator) -> Floats:
    rain = np.zeros((len(cloud), 24))
    for day, covered in enumerate(cloud):
        if chance.random() < 0.6 * covered:
            first, hours = int(chance.integers(0, 20)), int(chance.integers(1, 7))
            rain[day, first : first + hours] = min(chance.exponential(5.5), 40.0) / hours
    return rain.reshape(-1)
