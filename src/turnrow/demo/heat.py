"""The heat of the yard's rows: each plan as sections of the true row's model (`truth/`), read by probes.

The model of `heap`, which is fitted to the readings, has no part in it. The true row is marched through its
hot time; what then lies on the curing pad cools towards the air,

    T = air + (T_last - air) · exp(-(age - HOT_DAYS) / COOLING_DAYS)

with half the air's own swing. Rows pushed together are a larger heap of mixed material: it warms anew by
STACK_WARMS within some days, and cools more slowly, by STACK_DAYS. What a plan says of a row (its peak, its
food, its shares) is told the model as the life's upper limit, food and the size and openness of each station;
those translations are made up.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.demo.air import Air
from turnrow.demo.truth import probe
from turnrow.demo.truth.march import Act, Seen, march
from turnrow.demo.truth.sky import Sky
from turnrow.demo.truth.stuff import ALIVE, ENDOWED, Make, joined

Floats = NDArray[np.float64]
HOT_DAYS, COOLING_DAYS = 36, 16.0
STACK_WARMS, STACK_RISE_DAYS, STACK_DAYS = 20.0, 3.0, 45.0  # °C; ASSUMED
WET_AGAIN, TOO_DRY = 0.57, 0.48  # a turn waters a row that is drier
CORE_CM, EDGE_CM = 60.0, 30.0
OPEN, MONTH_H = 2.2e-9, 30 * 24  # m2 of a row of straw and dung; hours
BATCH = 12  # rows marched together, of like age


@dataclass(frozen=True)
class Heap:
    """What the model needs of one row; hours count from the season's first midnight.

    shares  one a station: 1 is a good place, less a small, open, windy one
    peak [°C] life allows; food, alive and eats against the usual; moisture wet basis 0..1
    width_m, height_m, length_m  as built
    cn  carbon to nitrogen; airy  how openly it lies, against the usual
    turns, hosed  hours at which it is turned, or watered; thirsty: nobody gives water at a turn
    joined  hours at which other rows were pushed into it
    """

    built: int
    shares: tuple[float, ...]
    peak: float = 63.0
    food: float = 1.0
    moisture: float = 0.58
    width_m: float = 3.0
    height_m: float = 1.5
    length_m: float = 18.0
    turns: tuple[float, ...] = ()
    hosed: tuple[float, ...] = ()
    sheltered: bool = False
    thirsty: bool = False
    cn: float = 24.0
    airy: float = 1.0
    joined: tuple[float, ...] = ()


@dataclass(frozen=True, eq=False)
class Course:
    """A row's temperatures and moisture by the hour from its building on.

    core_c, edge_c  (hours, stations) at 600 and 300 mm; moisture (hours,)
    given  hour of a turn or hose -> litres on the whole row
    """

    built: int
    core_c: Floats
    edge_c: Floats
    moisture: Floats
    given: Mapping[float, float]

    def at(self, hour: float, station: int, edge: bool = False) -> float:
        """Temperature [°C] at a station, between hours on a straight line."""
        column = (self.edge_c if edge else self.core_c)[:, station]
        return float(np.interp(hour - self.built, np.arange(len(column)), column))

    def wet_at(self, hour: float) -> float:
        return float(self.moisture[min(max(int(hour - self.built), 0), len(self.moisture) - 1)])


def courses(heaps: Mapping[str, Heap], air: Air, until: int, seed: int = 7) -> dict[str, Course]:
    """Run rows from their building to hour `until`; rows of like age together. `seed`: its warmer spots."""
    sky, chance = sky_of(air), np.random.default_rng(seed)
    out: dict[str, Course] = {}
    oldest = sorted(heaps, key=lambda name: (heaps[name].built, name))
    for names in (oldest[at : at + BATCH] for at in range(0, len(oldest), BATCH)):
        rows = [heaps[name] for name in names]
        hours = min(max(until + 1 - row.built for row in rows), 24 * HOT_DAYS)
        make = joined([_make(number, row, sky) for number, row in enumerate(rows)])
        acts = [act for number, row in enumerate(rows) for act in _acts(number, row)]
        starts = np.array([rows[number].built for number in make.row])
        seen = march(make, sky, starts, acts, hours)
        for number, (name, row) in enumerate(zip(names, rows, strict=True)):
            own = np.flatnonzero(make.row == number)
            out[name] = _course(row, seen, own, make, number, sky, until, chance)
    return out


def sky_of(air: Air) -> Sky:
    """The season's days by the hour: rain falls evenly through its day, the sun shines as in a usual year."""
    days = len(air.mean_c)
    hours = np.arange(24 * days)
    day, clock = hours // 24, hours % 24
    sun = 380.0 * np.maximum(np.cos(2 * math.pi * (clock - 12.5) / 27), 0) ** 1.3
    rain = np.array(air.rain_mm)[day]
    return Sky(
        start_s=0,
        temp_c=np.array([air.at(int(hour)) for hour in hours]),
        humid=np.where(rain > 0, 0.92, 0.72),
        sun=np.where(rain > 0, 0.4, 1.0) * sun,
        wind=np.array(air.wind_m_s)[day],
        rain_mm=rain / 24,
    )


def _make(number: int, row: Heap, sky: Sky) -> Make:
    air = float(sky.temp_c[row.built : row.built + MONTH_H].mean())  # a row for cold weather is built tighter
    share = np.array(row.shares)
    worse = 1 - share
    usual = np.ones(len(share))
    return Make(
        row=np.full(len(share), number),
        width_m=row.width_m * (1 - 1.8 * worse),
        height_m=row.height_m * (1 - 1.8 * worse),
        moisture=row.moisture - 0.3 * worse,
        density=430.0 * usual,
        temp_c=24.0 * usual,
        ready=1.1 * ENDOWED[0] * row.food * share,
        tough=1.1 * ENDOWED[1] * row.food * share,
        woody=ENDOWED[2] * usual,
        alive=1.6 * ALIVE * min(1.0, row.food) * share,
        eats=1.1 * usual,
        over_c=(36.7 + (row.peak - 44.0) / 1.5) * usual,
        permeable=OPEN * math.exp((air - 12.0) / 50.0) * row.airy * (1 + 12 * worse + 190 * worse**2),
        film_mm=0.8 * usual,
        cn=row.cn * usual,
        thorough=0.85 * usual,
        cools=0.18 * usual,
        slumps=0.2 * usual,
        catches=(0.0 if row.sheltered else 0.3) * usual,
    )


def _acts(number: int, row: Heap) -> list[Act]:
    under = 0.0 if row.thirsty else TOO_DRY
    turned = [Act(at, number, True, up_to=WET_AGAIN, if_under=under) for at in row.turns]
    return turned + [Act(at, number, False, up_to=WET_AGAIN, if_under=WET_AGAIN) for at in row.hosed]


def _course(
    row: Heap,
    seen: Seen,
    own: NDArray[np.intp],
    make: Make,
    number: int,
    sky: Sky,
    until: int,
    chance: np.random.Generator,
) -> Course:
    shrunk = np.sqrt(seen.area_m2[:, own] / seen.area_m2[0, own])
    water, dry = seen.water[:, own].sum(1), seen.dry[:, own].sum(1)
    life = until + 2 - row.built
    moisture = (water / (water + dry))[:life]
    turns = [at - row.built for at in row.turns]
    spots = probe.spots((life, len(own), 1), turns, float(make.thorough[own[0]]), chance)[:, :, 0]
    core, edge = (
        np.stack(
            [
                _cooled(
                    _probed(seen.temp_c[..., one], shrunk[:, place], make, int(one), depth), row, sky, life
                )
                for place, one in enumerate(own)
            ],
            1,
        )
        for depth in (CORE_CM, EDGE_CM)
    )
    given = {hour: kg * row.length_m for (which, hour), kg in seen.given.items() if which == number}
    core += spots * (core - probe.SPOTLESS_C)
    return Course(
        row.built, core, edge, np.append(moisture, np.full(life - len(moisture), moisture[-1])), given
    )


def _probed(temp_c: Floats, shrunk: Floats, make: Make, section: int, depth_cm: float) -> Floats:
    """The course [°C] at a depth of one section (hours,); what a small row has no room for is its middle."""
    width, height = make.width_m[section] * shrunk, make.height_m[section] * shrunk
    deep = np.minimum(depth_cm, 45.0 * height)
    return probe.at_tip(temp_c, *probe.tip(deep, width, height))


def _cooled(hot: Floats, row: Heap, sky: Sky, life: int) -> Floats:
    """`hot` cut or drawn out to `life` hours, cooling towards the air."""
    if life <= len(hot):
        return hot[:life]
    later = np.arange(len(hot), life)
    air = sky.temp_c[np.minimum(row.built + later, len(sky.temp_c) - 1)]
    mean = np.convolve(sky.temp_c, np.ones(24) / 24, "same")[
        np.minimum(row.built + later, len(sky.temp_c) - 1)
    ]
    above = (hot[-1] - mean[0]) * np.exp(-(later - len(hot) + 1) / 24 / COOLING_DAYS)
    for at in row.joined:
        since = np.maximum(row.built + later - at, 0) / 24
        above = above + STACK_WARMS * (1 - np.exp(-since / STACK_RISE_DAYS)) * np.exp(-since / STACK_DAYS)
    return np.append(hot, mean + 0.15 * (air - mean) + above)
