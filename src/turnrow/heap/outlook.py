"""What the outlook of a heap says: temperatures, limits, the run, water, mass, curing, and what a turn or
water would change.

    heap.fit       prior(known, taught=None) -> Prior
                   fit(known, prior, *, now_s, members, seed) -> Fitted
                   taught(fits) -> Taught
    heap.ahead     forecast(fitted, known, *, hours, limits_c, depths_cm=(), events=()) -> Outlook
    heap.changes   what_if(fitted, known, ways, *, hours, limits_c, depth_cm) -> tuple[WhatIf, ...]
    heap.scored    score(outlooks, read) -> tuple[Score, ...]
    heap.faults    faults(fitted, outlook) -> tuple[Finding, ...]
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
QUANTILES = (0.05, 0.10, 0.50, 0.90, 0.95)
USED = ("process model", "statistical", "both")
REASONS = {  # why an act would change the heap as it would
    "air spent": "air in the heap is used up; turning brings it in and the heap warms",
    "core dry": "the core is too dry to work; water wakes it, a turn alone cools it",
    "food used up": "little food is left; the heap cools and does not come back",
    "too wet": "water fills the pores; turning lets steam and air through",
    "too hot": "heat itself holds the heap back; turning lets it off and it works on",
    "fresh food": "a turn opens clumps and gives fresh surfaces to work on",
    "heat let off": "turning lets heat off, and it comes back",
    "wet and cold": "cold water takes up heat",
    "rain kept off": "the cover keeps rain out and warmth in",
    "no difference": "the difference is smaller than what is uncertain about it",
}


@dataclass(frozen=True)
class Band:
    """Five quantiles of what is believed of one number."""

    p5: float
    p10: float
    p50: float
    p90: float
    p95: float


@dataclass(frozen=True)
class Passing:
    """One limit [°C]: whether any of the depths read passes it.

    chance  that it is passed within the outlook's hours, 0..1
    hours   first time over it, hours from the outlook's moment, among the courses that pass; None where
            fewer than one in twenty do
    now     the newest reading of some place is over it
    """

    limit_c: float
    chance: float
    hours: Band | None
    now: bool


@dataclass(frozen=True, eq=False)
class Outlook:
    """What is expected of a heap from a moment on.

    at_s        the moment, seconds UTC
    hours       (H,) hours from it, 1 on
    depths_cm   (D,)
    fan         (H, D, 5) °C a probe would read, at QUANTILES: with model and reading error
    as_now_c    (D,) °C the newest reading of each depth, NaN where there is none
    passing     one for each limit asked
    run_c       the line of the run [°C]
    run         (days,) chance that the coldest place read stays at or above the line to the end of each
                coming day; empty where no place was read
    moisture    one band for the end of each coming day, wet basis 0..1, whole heap
    water_m3    to give at the next turn to come to the target moisture, whole heap
    target      that moisture
    mass_t      wet mass of the whole heap at the end; None where its length is not known
    volume_m3   at the end; likewise
    curing_h    hours until curing can start, by `curing_rule`; None: not within the hours, or no chance of
                one in two
    curing_chance  that it can start within the hours
    used        one of USED; why says why
    notices     plain sentences, one for every fallback
    """

    at_s: int
    hours: Floats
    depths_cm: Floats
    fan: Floats
    as_now_c: Floats
    passing: tuple[Passing, ...]
    run_c: float
    run: Floats
    moisture: tuple[Band, ...]
    water_m3: Band
    target: float
    mass_t: Band | None
    volume_m3: Band | None
    curing_h: Band | None
    curing_chance: float
    curing_rule: str
    used: str
    why: str
    notices: tuple[str, ...] = ()


@dataclass(frozen=True)
class WhatIf:
    """What one way of doing things changes against doing nothing; differences of the same courses.

    name      as asked, such as "turn now"
    temp_k    hours ahead -> difference of the temperature at the deepest depth [K]
    moisture  difference at the end, wet basis
    passing   limit [°C] -> (chance with it, chance without it)
    first_h   limit [°C] -> difference of the first time over it [h], of courses that pass both ways; None
              where fewer than one in twenty do
    reason    a key of REASONS
    """

    name: str
    temp_k: Mapping[int, Band]
    moisture: Band
    passing: Mapping[float, tuple[float, float]]
    first_h: Mapping[float, Band | None]
    reason: str


@dataclass(frozen=True)
class Score:
    """How outlooks did at so many hours ahead, over `count` outcomes read.

    mae, mae_as_now, crps [K] (the CRPS of a plain value is its absolute error); skill 1 - crps / mae_as_now;
    held  share within p5..p95, which should be 0.9
    """

    ahead_h: float
    count: int
    mae: float
    mae_as_now: float
    crps: float
    skill: float
    held: float


@dataclass(frozen=True)
class Finding:
    """Something that does not look right.

    kind    "suspect probe", "heating for the wrong reason" or "nearing dry-core fire"
    station, depth_cm  the place, where it is one
    reason  a plain sentence
    """

    kind: str
    reason: str
    station: int | None = None
    depth_cm: float | None = None
