"""Invented rows of sixty days: what the yard knows of each, and, held apart, what was true."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.demo.truth import drawn, probe
from turnrow.demo.truth.march import Act, Seen, march
from turnrow.demo.truth.sky import Sky, sky
from turnrow.demo.truth.stuff import joined

Floats = NDArray[np.float64]
Moments = NDArray[np.int64]
HOUR = 3600
DAYS = 60
MIDNIGHT_S = 1_772_323_200  # 2026-03-01 00:00 UTC, the sixtieth day of its year
LIMITS_C = (55.0, 60.0, 65.5, 70.0)


@dataclass(frozen=True)
class Believed:
    """A quantity as the yard reckons with it, and one standard deviation."""

    value: float
    sd: float


@dataclass(frozen=True, eq=False)
class Rounds:
    """Readings as typed, in columns (n,): s UTC, station 0 on, depth [cm], °C; a dead probe shows -127."""

    at_s: Moments
    station: NDArray[np.int64]
    depth_cm: Floats
    temp_c: Floats


@dataclass(frozen=True)
class Turned:
    """A turn as logged; written_s is when. A turn logged late stands a day after it was."""

    at_s: int
    water_m3: float
    written_s: int


@dataclass(frozen=True)
class Checked:
    """A moisture (0..1 wet) somebody found: "squeeze" or "oven"."""

    at_s: int
    how: str
    moisture: Believed


@dataclass(frozen=True, eq=False)
class Truth:
    """What was so, on the hour from the building on.

    at_s (hours,); temp_c (hours, stations, depths) at depths_cm to the centimetre, without any probe
    moisture, mass_kg, volume_m3 (hours,) of the whole row
    over       limit [°C] -> seconds UTC at which any place first was over it, or None
    turned_s   when the turns were;  wrong (readings,) where a probe was at fault
    """

    at_s: Moments
    depths_cm: tuple[float, ...]
    temp_c: Floats
    moisture: Floats
    mass_kg: Floats
    volume_m3: Floats
    over: dict[float, int | None]
    turned_s: tuple[int, ...]
    wrong: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class TrueRow:
    """One row: all that stands here but `truth` is the yard's own knowledge.

    size [m] as paced; moisture 0..1 wet; density [kg/m3 wet]; outside from a day before to a day after
    """

    name: str
    built_s: int
    length_m: float
    width_m: float
    height_m: float
    moisture: Believed
    cn: Believed
    density: Believed
    temp_c: Believed
    rounds: Rounds
    turns: tuple[Turned, ...]
    checked: tuple[Checked, ...]
    outside: Sky
    truth: Truth


def synthetic_rows(seed: int, count: int = 30, days: int = DAYS) -> tuple[TrueRow, ...]:
    """`count` invented rows of one season's weather; the same seed gives the same rows.

    Rows are built in the afternoon between March and September. Nothing here comes from the model they
    are meant to try. Raises ValueError where count is under one or days under eight.
    """
    if count < 1 or days < 8:
        raise ValueError(f"count {count} must be 1 or more, days {days} 8 or more")
    chance = np.random.default_rng(seed)
    air = sky(MIDNIGHT_S, 60, 200 + days, chance)
    rows = [drawn.row(number, chance) for number in range(count)]
    first = chance.integers(0, 190, count) * 24 + chance.integers(11, 18, count)
    make = joined([row.make for row in rows])
    acts = [
        Act(int(first[number]) + turn.hour, number, True, 1000 * turn.water_m3 / row.length_m)
        for number, row in enumerate(rows)
        for turn in row.turns
        if turn.hour < 24 * days
    ]
    seen = march(make, air, first[make.row], acts, 24 * days)
    return tuple(
        _told(number, row, int(first[number]), air, seen, np.flatnonzero(make.row == number), days, chance)
        for number, row in enumerate(rows)
    )


def _told(
    number: int,
    row: drawn.Row,
    first: int,
    air: Sky,
    seen: Seen,
    own: NDArray[np.intp],
    days: int,
    chance: np.random.Generator,
) -> TrueRow:
    make = row.make
    built_s = MIDNIGHT_S + first * HOUR
    depths = ((60.0,), (30.0, 60.0, 90.0), (30.0, 60.0), (40.0, 80.0))[int(chance.integers(4))]
    hourly = seen.temp_c[..., own]
    wrongs = probe.faults(len(own), days, chance)
    shrunk = np.sqrt(seen.area_m2[:, own] / seen.area_m2[0, own])  # the arch keeps its shape
    spots = probe.spots(
        (len(hourly), len(own), len(depths)), [turn.hour for turn in row.turns], make.thorough[0], chance
    )
    rounds, wrong = _walked(hourly, shrunk, row, built_s, depths, wrongs, spots, days, chance)
    water, dry = seen.water[:, own].mean(1), seen.dry[:, own].mean(1)
    exact = np.stack(
        [
            np.stack([_exact(hourly, shrunk, make.width_m, make.height_m, s, d) for d in depths], 1)
            for s in range(len(own))
        ],
        1,
    )
    exact += spots * (exact - probe.SPOTLESS_C)
    at_s = built_s + HOUR * np.arange(len(exact), dtype=np.int64)
    turns = [turn for turn in row.turns if turn.hour < 24 * days]
    truth = Truth(
        at_s=at_s,
        depths_cm=depths,
        temp_c=exact,
        moisture=water / (water + dry),
        mass_kg=2 * row.length_m * (water + dry),
        volume_m3=2 * row.length_m * seen.area_m2[:, own].mean(1),
        over={limit: _first(exact.max((1, 2)) > limit, at_s) for limit in LIMITS_C},
        turned_s=tuple(built_s + round(turn.hour * HOUR) for turn in turns),
        wrong=wrong,
    )
    hours = slice(max(0, first - 24), first + 24 * days + 25)
    return TrueRow(
        name=f"T{number + 1}",
        built_s=built_s,
        length_m=round(row.length_m),
        width_m=round(float(make.width_m[0]) * float(np.exp(chance.normal(0, 0.03))), 1),
        height_m=round(float(make.height_m[0]) * float(np.exp(chance.normal(0, 0.04))), 1),
        moisture=_about(float(make.moisture.mean()), 0.03, chance),
        cn=_about(float(make.cn[0]), 0.12 * float(make.cn[0]), chance),
        density=_about(float(make.density.mean()), 0.08 * float(make.density.mean()), chance),
        temp_c=_about(float(make.temp_c.mean()), 3.0, chance),
        rounds=rounds,
        turns=tuple(_logged(built_s, turn) for turn in turns),
        checked=_checked(truth, days, chance),
        outside=Sky(
            MIDNIGHT_S + hours.start * HOUR,
            *(column[hours] for column in (air.temp_c, air.humid, air.sun, air.wind, air.rain_mm)),
        ),
        truth=truth,
    )


def _about(value: float, sd: float, chance: np.random.Generator) -> Believed:
    return Believed(float(value + chance.normal(0, sd)), sd)


def _logged(built_s: int, turn: drawn.Turn) -> Turned:
    at = built_s + round((turn.hour + turn.late_h) * HOUR)
    return Turned(at, turn.water_m3, at + 2 * HOUR)


def _first(over: NDArray[np.bool_], at_s: Moments) -> int | None:
    return int(at_s[int(over.argmax())]) if over.any() else None


def _exact(
    hourly: Floats, shrunk: Floats, width: Floats, height: Floats, station: int, depth: float
) -> Floats:
    """The course at one depth (hours,); a row that has shrunk brings the tip nearer to its foot."""
    part = shrunk[:, station]
    across, up = probe.tip(np.full(len(part), depth), width[station] * part, height[station] * part)
    return probe.at_tip(hourly[..., station], across, up)


def _walked(
    hourly: Floats,
    shrunk: Floats,
    row: drawn.Row,
    built_s: int,
    depths: tuple[float, ...],
    wrongs: probe.Faults,
    spots: Floats,
    days: int,
    chance: np.random.Generator,
) -> tuple[Rounds, NDArray[np.bool_]]:
    """Rounds as typed, and where a probe was at fault: daily for thirty days, every third day after."""
    lines: list[tuple[int, int, float, float, bool]] = []
    stuck: dict[float, float] = {}
    for day in range(1, days):
        if day in wrongs.missed or (day > 30 and day % 3):
            continue
        hour = 24 * day - float(chance.uniform(4, 8))  # a morning: rows are built in the afternoon
        for station in range(hourly.shape[-1]):
            for place, depth in enumerate(depths):
                temp = _read(hourly, shrunk, row, station, depth, hour, chance)
                temp += float(spots[int(hour), station, place]) * (temp - probe.SPOTLESS_C)
                temp += float(chance.normal(0, probe.NOISE_C))
                dead, held = _within(wrongs.dead, station, hour), _within(wrongs.stuck, station, hour)
                if held:
                    temp = stuck.setdefault(depth, temp)
                shown = probe.DEAD_C if dead else round(2 * temp) / 2
                lines.append(
                    (built_s + round(hour * HOUR) + 40 * station, station, depth, shown, dead or held)
                )
    at, where, deep, temp_c, wrong = (np.array(column) for column in zip(*lines, strict=True))
    return Rounds(at.astype(np.int64), where.astype(np.int64), deep, temp_c), wrong.astype(np.bool_)


def _read(
    hourly: Floats,
    shrunk: Floats,
    row: drawn.Row,
    station: int,
    depth: float,
    hour: float,
    chance: np.random.Generator,
) -> float:
    at, part = int(hour), shrunk[int(hour), station]
    deep = max(5.0, depth + float(chance.normal(0, probe.ASTRAY_CM)))
    across, up = probe.tip(
        np.array([deep]), row.make.width_m[[station]] * part, row.make.height_m[[station]] * part
    )
    now, then = (float(probe.at_tip(hourly[h : h + 1, :, :, station], across, up)[0]) for h in (at, at + 1))
    return now + (then - now) * (hour - at)


def _within(spell: tuple[int, float, float] | None, station: int, hour: float) -> bool:
    return spell is not None and spell[0] == station and spell[1] <= hour < spell[2]


def _checked(truth: Truth, days: int, chance: np.random.Generator) -> tuple[Checked, ...]:
    """A squeeze each week or so, an oven now and then."""
    out = []
    for day in range(2, days, int(chance.integers(5, 12))):
        how, sd = ("oven", 0.015) if chance.random() < 0.2 else ("squeeze", 0.05)
        at = 24 * day - 5
        found = _about(float(truth.moisture[at]), sd, chance)
        out.append(Checked(int(truth.at_s[at]), how, found))
    return tuple(out)
