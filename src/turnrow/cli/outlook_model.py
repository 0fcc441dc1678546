"""The outlook of a log whose heap is described: its model fitted at each origin, beside the bare log's."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.cli.outlook_input import Taken
from turnrow.gate.heap_described import Described
from turnrow.heap.ahead import forecast
from turnrow.heap.bare.outlook import Outlook as Bare
from turnrow.heap.bare.outlook import outlooks
from turnrow.heap.bare.score import crps_sample
from turnrow.heap.bare.taken import celsius_of
from turnrow.heap.fit import fit, prior
from turnrow.heap.known import Done, Known, Outside, Read
from turnrow.heap.scored import Choice, choice, even_mix, sample, speaks_first
from turnrow.yard.days import HOUR_S
from turnrow.yard.readings import NO_DEPTH

MEMBERS, SEED = 256, 1
EVERY_H, BACK = 24.0, 8  # past origins forecast again to choose by, where only one forecast is asked for
UNSAID_CM = 60.0


@dataclass(frozen=True, eq=False)
class Spoken:
    """One origin and hours ahead: (99,) percentiles [°C] of what speaks; used and why, as `heap.outlook`."""

    hour: float
    ahead: float
    sample: NDArray[np.float64]
    used: str
    why: str


def spoken(
    taken: Taken, described: Described, ahead: Sequence[float], *, air_known: bool
) -> tuple[list[Spoken], list[str]]:
    """What to say at each of taken.origins for each of the hours `ahead`, and the fits' notices."""
    origins = list(taken.origins)
    first = speaks_first(described.section)
    if len(origins) == 1:
        past = [origins[0] - EVERY_H * i for i in range(BACK, 0, -1)]
        origins = [hour for hour in past if hour >= float(taken.log.hour[0])] + origins
    bare = {(one.hour, one.ahead): one for one in outlooks(taken.log, origins, ahead, air_known=air_known)}
    mine: dict[tuple[float, float], NDArray[np.float64]] = {}
    found: list[Spoken] = []
    notices: list[str] = []
    for origin in origins:
        made, notices = _model(taken, described, origin, max(ahead), air_known)
        for hours in ahead:
            mine[origin, hours] = made[round(hours) - 1 if hours >= 1 else 0]
        chosen = choice(*_past(taken, origin, mine, bare), first)
        if origin in taken.origins:
            found += [_spoken(origin, hours, mine, bare, chosen) for hours in ahead]
    return found, notices


def _spoken(
    origin: float,
    hours: float,
    mine: dict[tuple[float, float], NDArray[np.float64]],
    bare: dict[tuple[float, float], Bare],
    chosen: Choice,
) -> Spoken:
    a, b = mine[origin, hours], bare[origin, hours].sample
    if chosen.used == "both":
        a = even_mix(a, b)
    return Spoken(origin, hours, b if chosen.used == "statistical" else a, chosen.used, chosen.why)


def _past(
    taken: Taken,
    origin: float,
    mine: dict[tuple[float, float], NDArray[np.float64]],
    bare: dict[tuple[float, float], Bare],
) -> tuple[list[float], list[float]]:
    """CRPS of the model and of the bare log where an earlier forecast's outcome was known at `origin`."""
    model, plain = [], []
    for (hour, ahead), said in mine.items():
        came, since = taken.log.came(np.array([hour + ahead]))
        if hour < origin and since[0] <= origin and not np.isnan(came[0]):
            model.append(crps_sample(said, float(came[0])))
            plain.append(crps_sample(bare[hour, ahead].sample, float(came[0])))
    return model, plain


def _model(
    taken: Taken, described: Described, origin: float, furthest: float, air_known: bool
) -> tuple[NDArray[np.float64], list[str]]:
    """(hours, 99) percentiles of the place looked at, and what had to be assumed."""
    known = known_of(taken, described, origin, air_known)
    now_s = taken.start + round(origin * HOUR_S)
    fitted = fit(known, prior(known), now_s=max(now_s, known.built_s), members=MEMBERS, seed=SEED)
    depth = UNSAID_CM if taken.series.depth[0] == NO_DEPTH else float(taken.series.depth[0]) / 10.0
    hours = max(int(np.ceil(furthest)) + 1, 24)
    made = forecast(fitted, known, hours=hours, limits_c=(), depths_cm=(depth,))
    return sample(made.fan[:, 0]), list(made.notices)


def known_of(taken: Taken, described: Described, origin: float, air_known: bool) -> Known:
    """What was known of the heap at an origin [h]: of the station looked at, at all its depths.

    Stations are parts of a heap that differ for good in wetness and air. A model that knows one heap,
    fitted to all of them, becomes the heap's mean and speaks worse of each: other stations are left out.
    """
    now_s = taken.start + round(origin * HOUR_S)
    every = taken.every.pick(taken.every.station == taken.series.station[0])
    read = Read(
        every.at,
        np.where(every.depth == NO_DEPTH, UNSAID_CM, every.depth / 10.0),
        every.station.astype(np.int64),
        celsius_of(every),
    )
    built = min(taken.built, taken.start) if taken.built is not None else taken.start // HOUR_S * HOUR_S
    done = tuple(Done(int(at), "turn") for at in taken.turned if at >= built)
    log = taken.log if air_known else taken.log.until(origin)
    outside = None
    if len(log.air_hour):
        at = np.round(log.air_hour + taken.start / HOUR_S).astype(np.int64)
        hours = np.full(int(at[-1] - at[0]) + 1, np.nan)
        hours[at - at[0]] = log.air
        outside = Outside(int(at[0]) * HOUR_S, hours)
    return Known(
        built_s=min(built, now_s),
        read=read,
        done=done,
        section=described.section,
        blend=described.blend,
        outside=outside,
        covered=described.covered,
    )
