"""A probe in the true row: where its tip is on the grid, and what a walker with real probes brings home."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.demo.truth.grid import NX, NY

Floats = NDArray[np.float64]
Chance = np.random.Generator
ENTERS = 0.45  # of the half width: where on the flank the probe goes in, square to the skin
DEAD_C = -127.0  # what a probe with a broken wire shows
NOISE_C = 0.7
ASTRAY_CM = 5.0
SPOT, SPOTLESS_C = (
    0.03,
    12.0,
)  # sd of what a place is warmer than its surroundings, as a share of what it is over


def tip(depth_cm: Floats, width_m: Floats, height_m: Floats) -> tuple[Floats, Floats]:
    """Tip in parts of the half width and of the height, for a probe square to the arch's skin."""
    half = width_m / 2
    steep = 2 * height_m * ENTERS / half
    long = np.sqrt(1 + steep**2)
    across = ENTERS - depth_cm / 100 * steep / long / half
    up = (1 - ENTERS**2) - depth_cm / 100 / long / height_m
    return np.abs(across), np.maximum(up, 0.0)


def at_tip(temp_c: Floats, across: Floats, up: Floats) -> Floats:
    """Temperature between the squares' middles. temp_c (m, y, x); across, up (m,) -> (m,)."""
    y = np.clip(up * NY - 0.5, 0, NY - 1e-6)
    x = np.clip(across * NX - 0.5, 0, NX - 1e-6)
    low, left = y.astype(np.int64), x.astype(np.int64)
    dy, dx, m = y - low, x - left, np.arange(len(temp_c))
    below = temp_c[m, low, left] * (1 - dx) + temp_c[m, low, left + 1] * dx
    above = temp_c[m, low + 1, left] * (1 - dx) + temp_c[m, low + 1, left + 1] * dx
    mixed: Floats = below * (1 - dy) + above * dy
    return mixed


def spots(shape: tuple[int, int, int], turns: list[float], thorough: float, chance: Chance) -> Floats:
    """Warmer and colder places (hours, stations, depths), as shares; a turn moves most of them."""
    out = np.zeros(shape)
    now = chance.normal(0, SPOT, shape[1:])
    due = sorted(turns)
    for hour in range(shape[0]):
        while due and due[0] <= hour:
            due.pop(0)
            now = (1 - thorough) * now + chance.normal(0, SPOT, shape[1:]) * np.sqrt(1 - (1 - thorough) ** 2)
        out[hour] = now
    return out


@dataclass(frozen=True)
class Faults:
    """What is wrong with a row's probes: (station, first hour, last hour) of the row's life, or None."""

    dead: tuple[int, float, float] | None
    stuck: tuple[int, float, float] | None
    missed: frozenset[int]  # days without a round


def faults(stations: int, days: int, chance: Chance) -> Faults:
    def spell(often: float, lasts: int) -> tuple[int, float, float] | None:
        if chance.random() >= often:
            return None
        first = 24.0 * int(chance.integers(3, days - lasts))
        return int(chance.integers(stations)), first, first + 24.0 * lasts

    missed = {int(day) for day in range(1, days) if chance.random() < 0.07}
    if chance.random() < 0.3:
        away = int(chance.integers(4, days - 2))
        missed |= {away, away + 1}
    return Faults(spell(0.25, 2), spell(0.25, 4), frozenset(missed))
