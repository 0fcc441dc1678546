"""Rows drawn by chance: what they are made of, how their places differ, when they are turned. All ASSUMED."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.demo.truth.stuff import ALIVE, ENDOWED, Make

Floats = NDArray[np.float64]
Chance = np.random.Generator


@dataclass(frozen=True)
class Turn:
    """A turn as it was: hour since the row was built, water [m3, whole row]; logged late by so many hours."""

    hour: float
    water_m3: float
    late_h: float = 0.0


@dataclass(frozen=True)
class Row:
    """A row before it is run: its make by station, its length [m], its turns."""

    make: Make
    length_m: float
    turns: tuple[Turn, ...]


def row(number: int, chance: Chance) -> Row:
    """One windrow: three or four stations alike but for what chance makes of them."""
    n = int(chance.integers(3, 5))
    moisture = chance.normal(0.595, 0.04)
    width = chance.uniform(3.2, 4.8)
    permeable = 3e-9 * np.exp(chance.normal(0, 0.45))
    each = chance.normal(0, 1, (6, n))
    if chance.random() < 0.3:  # the toe in the wind
        each[2, -1] += 3.0
    usual = np.ones(n)
    make = Make(
        row=np.full(n, number),
        width_m=width * usual,
        height_m=width * chance.uniform(0.38, 0.46) * usual,
        moisture=np.clip(moisture + 0.018 * each[0], 0.4, 0.75),
        density=chance.uniform(430, 620) * np.exp(0.05 * each[1]),
        temp_c=chance.uniform(13, 28) + 1.0 * each[3],
        ready=ENDOWED[0] * np.exp(chance.normal(0, 0.25) + 0.08 * each[4]),
        tough=ENDOWED[1] * np.exp(chance.normal(0, 0.2)) * usual,
        woody=ENDOWED[2] * usual,
        alive=ALIVE * np.exp(chance.normal(0, 0.3) + 0.1 * each[5]),
        eats=np.exp(chance.normal(0, 0.2)) * usual,
        over_c=chance.normal(51.5, 2.2) * usual,
        permeable=permeable * np.exp(0.2 * each[2]),
        film_mm=0.9 * np.exp(chance.normal(0, 0.15)) * usual,
        cn=chance.uniform(22, 38) * usual,
        thorough=chance.uniform(0.7, 0.95) * usual,
        cools=chance.uniform(0.15, 0.30) * usual,
        slumps=chance.uniform(0.15, 0.3) * usual,
        catches=chance.uniform(0.15, 0.45) * usual,
    )
    return Row(make, float(chance.uniform(20, 60)), _turns(make, chance))


def _turns(make: Make, chance: Chance) -> tuple[Turn, ...]:
    """Every few days at first, then seldomer; watered from the third on where the yard has a hose."""
    hoses, late = chance.random() < 0.75, chance.random() < 0.35
    days, day = [], float(chance.integers(3, 7))
    while day < 58:
        days.append(day)
        day += float(chance.integers(3, 7) if day < 18 else chance.integers(6, 14))
    size = float(make.width_m[0] * make.height_m[0])
    slow = int(chance.integers(1, 4)) if late else -1
    return tuple(
        Turn(
            24 * day + float(chance.integers(-3, 5)),
            round(size * float(chance.uniform(0.1, 0.45)), 1) if hoses and place > 1 else 0.0,
            24.0 if place == slow else 0.0,
        )
        for place, day in enumerate(days)
    )
