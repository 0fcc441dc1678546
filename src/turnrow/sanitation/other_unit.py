"""Rounds that fit the other unit: °F written as °C, or °C as °F, for all readings of a day at once.

A day's readings written in °C fit °F when half of them or more lie above 85 °C (OWN: microbes stop well
below), none does as °F, and as °F these are nearer to what the row had in the week before. Readings in °F fit
°C when every one fell by 20 K or more in at most 4 days without a turn, and as °C they are near what was
there before. A fresh row that warms from 20 to 68 °C (68 °F is 20 °C) is left alone, as heaps do that.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.days import short_date
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import NINTH, UNITS, Unit, degrees, from_ninths, ninths

HOTTEST = 85 * NINTH
FAR = 20 * NINTH  # from what was there before, to be asked about (OWN)
NEAR_ONE, NEAR_ALL = 15 * NINTH, 8 * NINTH  # of one reading, and of the middle one, to fit as °C (OWN)
WEEK, FEW = 7, 4  # days to look back for what was there before
OTHER: dict[Unit, Unit] = {"C": "F", "F": "C"}
IF_RIGHT = (
    "If they are right as written, it may burn inside: keep everybody off the row and call the fire service"
)


@dataclass(frozen=True, eq=False)
class UnitDoubt:
    """A day's readings in one unit, index (n,) into the readings, that fit the `likely` one; usual: the
    middle of the row's last readings before [ninths], None where there is none."""

    index: NDArray[np.intp]
    unit: Unit
    likely: Unit
    usual: int | None
    sentence: str


def other_unit(readings: Readings, turns: Sequence[int] = ()) -> tuple[UnitDoubt, ...]:
    """The days whose readings fit the other unit. `turns`: moments of known turns."""
    found = list[UnitDoubt]()
    doubted = np.zeros(len(readings), dtype=np.bool_)
    hot = readings.heat > HOTTEST
    if not hot.any() and not (readings.unit == UNITS.index("F")).any():
        return ()
    for first, index, unit in _days(readings):
        if unit == "C" and not hot[index].any():
            continue
        before = _before(readings, first, WEEK if unit == "C" else FEW, ~doubted)
        usual = int(np.median(readings.heat[before])) if len(before) else None
        alike = ninths(readings.value[index], OTHER[unit])
        if unit == "C":
            fits = _fits_fahrenheit(readings.heat[index], alike, usual)
        else:
            since = int(readings.at[before].max()) if len(before) else 0
            turned = any(since <= turn <= int(readings.at[index[-1]]) for turn in turns)
            fits = not turned and _fits_celsius(readings.heat[index], alike, usual)
        if fits:
            doubted[index] = True
            found.append(UnitDoubt(index, unit, OTHER[unit], usual, _words(readings, index, alike, usual)))
    return tuple(found)


def _days(readings: Readings) -> Iterator[tuple[int, NDArray[np.intp], Unit]]:
    """First place of a day, and the places of its readings in each unit that has another."""
    edges = [0, *(np.flatnonzero(np.diff(readings.day)) + 1).tolist(), len(readings)]
    for first, end in pairwise(edges):
        of = readings.unit[first:end]
        for unit in OTHER:
            index = first + np.flatnonzero(of == UNITS.index(unit))
            if len(index):
                yield first, index, unit


def _before(readings: Readings, first: int, back: int, kept: NDArray[np.bool_]) -> NDArray[np.intp]:
    """The newest reading of each station and depth in the days before the place `first`."""
    start = int(np.searchsorted(readings.day, int(readings.day[first]) - back))
    places = (start + np.flatnonzero(kept[start:first]))[::-1]
    key = readings.station[places].astype(np.int64) << 32 | (readings.depth[places].astype(np.int64) + 1)
    return places[np.unique(key, return_index=True)[1]]


def _fits_fahrenheit(heat: NDArray[np.int64], alike: NDArray[np.int64], usual: int | None) -> bool:
    many = int(np.count_nonzero(heat > HOTTEST))
    if 2 * many < len(heat) or alike.max() > HOTTEST or alike.min() < 0:
        return False
    if usual is None:
        return many == len(heat) > 1
    near = abs(float(np.median(alike)) - usual) <= FAR
    nearer = np.abs(alike - usual) < np.abs(heat - usual)
    return near and bool(nearer[heat > HOTTEST].all())


def _fits_celsius(heat: NDArray[np.int64], alike: NDArray[np.int64], usual: int | None) -> bool:
    if usual is None or alike.max() > HOTTEST or (usual - heat < FAR).any():
        return False
    near = abs(float(np.median(alike)) - usual) <= NEAR_ALL
    return near and bool((np.abs(alike - usual) <= NEAR_ONE).all())


def _words(readings: Readings, index: NDArray[np.intp], alike: NDArray[np.int64], usual: int | None) -> str:
    unit = readings.unit_of(int(index[0]))
    values = sorted({int(value) for value in readings.value[index]})
    said = " to ".join(degrees(value, unit) for value in dict.fromkeys((values[0], values[-1])))
    low, high = from_ninths(int(alike.min()), unit, 1), from_ninths(int(alike.max()), unit, 1)
    meant = low if low == high else f"{low} to {high}"
    before = "" if usual is None else f", and the row had {from_ninths(usual, unit, 1)} before"
    right = f" {IF_RIGHT}." if unit == "C" else ""
    return (
        f"The round of {short_date(int(readings.day[index[0]]))} says {said}. Was it °{OTHER[unit]}? Then "
        f"it is {meant}{before}. Read the row again and look at the unit.{right}"
    )
