"""The demonstration's own heat model: plain, made up, and no part of any outlook.

A station relaxes towards a goal that lies above the row's surroundings:

    dT/dt = (goal - T) / tau        goal = base + (peak - base) · young · fuel · wet · share

young   how far the life in it has got since it was built       1 - exp(-age / 26 h)
fuel    what is left to eat, 0..1                               min(1, 1.3 (1 - exp(-food / 0.22)))
wet     too dry or too wet slows it, 0..1
share   the station's own: a toe in the wind is colder
base    half the air above 8 °C; peak is the row's own         [°C]

A turn mixes the stations and lets heat out; for a day the row then comes back faster. Food goes by
the warmth, water goes with the food and comes with rain and hose. It only has to look like a row.
"""

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field

from turnrow.demo.air import Air

STEP_H = 2
SETTLE_H = 26.0  # of `young`
TAU_H, TAU_TURNED_H = 18.0, 8.0
FOOD_PER_DAY = 0.05
WET_AGAIN, TOO_DRY = 0.58, 0.50  # a turn waters a row that is drier
WATER_PER_DAY = 0.0045
RAIN_WETS, RAIN_COOLS_C = 0.0006, 0.16  # each mm
TURN_KEEPS = 0.62  # share of the heat above base
EDGE_SHARE = 0.72  # of the heat above base, at 300 mm


@dataclass(frozen=True)
class Heap:
    """What the model needs of one row; hours count from the season's first midnight.

    shares  one a station; peak [°C]; food 0..1; moisture wet basis 0..1
    turns, hosed  hours at which it is turned, or watered; thirsty: nobody gives water at a turn
    """

    built: int
    shares: tuple[float, ...]
    peak: float = 63.0
    food: float = 1.0
    moisture: float = 0.58
    turns: tuple[float, ...] = ()
    hosed: tuple[float, ...] = ()
    sheltered: bool = False
    thirsty: bool = False


@dataclass
class Course:
    """A row's temperatures and moisture through time, one sample a step."""

    hours: list[int] = field(default_factory=list)
    temps_c: list[tuple[float, ...]] = field(default_factory=list)
    moisture: list[float] = field(default_factory=list)
    base_c: list[float] = field(default_factory=list)
    given: dict[float, float] = field(
        default_factory=dict
    )  # hour of a turn or hose -> litres for each tonne of row

    def at(self, hour: float, station: int, edge: bool = False) -> float:
        """Temperature [°C] at a station, between samples on a straight line."""
        right = min(max(bisect_right(self.hours, hour), 1), len(self.hours) - 1)
        left = right - 1
        part = min(1.0, max(0.0, (hour - self.hours[left]) / STEP_H))
        before, after = self.temps_c[left][station], self.temps_c[right][station]
        core = before + (after - before) * part
        return self.base_c[left] + (core - self.base_c[left]) * EDGE_SHARE if edge else core

    def wet_at(self, hour: float) -> float:
        return self.moisture[min(max(bisect_right(self.hours, hour) - 1, 0), len(self.hours) - 1)]


def course(heap: Heap, air: Air, until: int) -> Course:
    """Run the row from its building to hour `until`."""
    out = Course()
    food, wet = heap.food, heap.moisture
    temps = [max(4.0, air.at(heap.built)) + 3.0] * len(heap.shares)
    work = sorted({*heap.turns, *heap.hosed})
    turned_at = -math.inf
    for hour in range(heap.built, until + STEP_H + 1, STEP_H):
        base = 8.0 + 0.5 * air.at(hour)
        while work and work[0] < hour:
            when = work.pop(0)
            if when in heap.turns:
                mixed = base + (sum(temps) / len(temps) - base) * TURN_KEEPS
                temps, turned_at = [mixed] * len(temps), when
            if when in heap.hosed or (wet < TOO_DRY and not heap.thirsty):
                out.given[when], wet = water_for(wet), max(wet, WET_AGAIN)
        rain = 0.0 if heap.sheltered else air.rain_mm[min(hour // 24, len(air.rain_mm) - 1)] * STEP_H / 24
        share_of_goal = (1 - math.exp(-(hour - heap.built) / SETTLE_H)) * _fuel(food) * _wetness(wet)
        tau = TAU_TURNED_H if hour - turned_at < 26 else TAU_H
        temps = _warmed(temps, heap, base, share_of_goal, STEP_H / tau, rain * RAIN_COOLS_C)
        speed = min(1.1, max(0.0, (sum(temps) / len(temps) - 5) / 50))
        food -= food * FOOD_PER_DAY * speed * STEP_H / 24
        wet = min(0.74, max(0.2, wet + rain * RAIN_WETS - WATER_PER_DAY * speed * STEP_H / 24))
        out.hours.append(hour)
        out.temps_c.append(tuple(temps))
        out.moisture.append(wet)
        out.base_c.append(base)
    return out


def water_for(moisture: float) -> float:
    """Litres for each tonne that bring a row from `moisture` to WET_AGAIN; none where it is wetter."""
    return max(0.0, (1 - moisture) / (1 - WET_AGAIN) - 1) * 1000


def _warmed(
    temps: Sequence[float], heap: Heap, base: float, goal_share: float, pull: float, cooled: float
) -> list[float]:
    return [
        temp + (base + (heap.peak - base) * goal_share * share - temp) * pull - cooled
        for temp, share in zip(temps, heap.shares, strict=True)
    ]


def _fuel(food: float) -> float:
    """Plenty until about a third of the food is left, then less and less."""
    return min(1.0, 1.3 * (1 - math.exp(-food / 0.22)))


def _wetness(moisture: float) -> float:
    """How freely life works at this moisture, 0..1."""
    if moisture > 0.66:
        return max(0.6, 1 - 4 * (moisture - 0.66))
    return min(1.0, max(0.15, (moisture - 0.22) / 0.2))
