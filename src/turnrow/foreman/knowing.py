"""From a row's diary to what its heap is known by: readings, deeds, size, blend, samples, air."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.foreman.laid import blend_of, lots_of
from turnrow.foreman.outside import Lines, outside
from turnrow.heap.known import Blend, Done, Known, Measured, Read, Section, Told
from turnrow.sanitation.standing import Suspect
from turnrow.sanitation.suspects import marked
from turnrow.schedule.limits import METRES, Limits, exact
from turnrow.schedule.water import squeezed
from turnrow.yard import days, entries
from turnrow.yard.history import Event, History
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import NO_DEPTH, Readings
from turnrow.yard.temperature import NINTH
from turnrow.yard.units import of_kind

CUBIC, DENSITIES = of_kind("volume"), of_kind("density")  # m3, kg/m3
NOT_THE_HEAPS = (
    "sensor code",
    "impossible",
    "frozen",
    "other unit",
)  # checks whose readings say nothing of the heap
SAMPLE_SD, SQUEEZE_SD = 0.04, 0.09  # of a moisture: a grab sample's, and what a hand tells (OWN)
DENSITY_SHARE = 0.10  # of a bucket test (OWN)
EACH_S = days.HOUR_S  # of a logger's readings at one place one an hour is kept


@dataclass(frozen=True, eq=False)
class Heap:
    """What is known of a row's heap, and the notices that go with it.

    stations  by the number that stands in `known.read`; lines  what it rests on; since: the moment
    the heap is reckoned from; length_known: masses are of the whole row
    """

    row: str
    known: Known
    stations: tuple[str, ...]
    notices: tuple[str, ...]
    last_line: int


def heap_of(
    history: History, suspects: Sequence[Suspect], weather: Lines, limits: Limits, now_s: int, ahead_h: int
) -> Heap | None:
    """The heap of a row as known at `now_s`; `history` and `weather` hold nothing later. None where the
    diary has neither its building nor a reading.

    Rows pushed into it make it a new heap: what was before is left out, and what it is made of is open.
    """
    notices: list[str] = []
    merged = [e for e, what in history.of(entries.Merged) if what.row == history.row]
    built = history.built
    read = _read(history, suspects)
    if merged:
        since, section, blend = merged[-1].at, Section(), Blend()
        notices.append("Other rows were pushed into it: it counts as a new heap of unknown make.")
    elif built is not None:
        since, section = built[0].at, _section(built[1])
        blend = blend_of(lots_of(built[1].parts))
        if built[1].parts and blend == Blend():
            notices.append("What it was built of is not all in the handbook: its make is left open.")
    elif len(read.at_s):
        since, section, blend = int(read.at_s.min()), Section(), Blend()
        notices.append("Its building is not in the diary: it counts from its first reading.")
    else:
        return None
    read = _since(read, since)
    swing = limits.step("air_swing") / NINTH
    air = outside(weather, history.zone, since, now_s + ahead_h * days.HOUR_S, swing)
    if air is None:
        notices.append("No weather line tells the air: a usual year’s is taken.")
    return Heap(
        row=history.row,
        known=Known(
            built_s=since,
            read=read,
            done=_done(history, since),
            section=section,
            blend=blend,
            measured=_measured(history, since, limits),
            outside=air,
        ),
        stations=history.readings.stations,
        notices=tuple(notices),
        last_line=history.last_line,
    )


def _read(history: History, suspects: Sequence[Suspect]) -> Read:
    readings = history.readings
    silent = marked(readings, [one for one in suspects if one.check in NOT_THE_HEAPS])
    readings = readings.pick(~silent)
    readings = readings.pick(_hourly(readings))
    depth = np.where(readings.depth == NO_DEPTH, np.nan, readings.depth / 10.0)
    return Read(readings.at, depth, readings.station.astype(np.int64), readings.heat / NINTH)


def _hourly(readings: Readings) -> NDArray[np.intp]:
    """The last reading of each place in each hour, in order of time."""
    place = np.stack([readings.at // EACH_S, readings.station, readings.depth])
    _, kept = np.unique(place[:, ::-1], axis=1, return_index=True)
    return np.sort(len(readings) - 1 - kept)


def _since(read: Read, since: int) -> Read:
    kept = read.at_s >= since
    return Read(read.at_s[kept], read.depth_cm[kept], read.station[kept], read.temp_c[kept])


def _section(built: entries.RowBuilt) -> Section:
    def metres(amount: entries.Amount | None) -> float | None:
        found = exact(amount, METRES)
        return None if found is None else float(found)

    volume = exact(built.volume, CUBIC)
    return Section(
        length_m=metres(built.length),
        width_m=metres(built.width),
        height_m=metres(built.height),
        volume_m3=None if volume is None else float(volume),
    )


def _done(history: History, since: int) -> tuple[Done, ...]:
    found: list[Done] = []
    for event in history.events:
        what = event.line.entry.what
        if event.at < since:
            continue
        written = days.seconds(event.line.written)
        if isinstance(what, entries.Turned):
            water = exact(what.water, CUBIC)
            found.append(Done(event.at, "turn", float(water or 0), written_s=written))
        elif isinstance(what, entries.Watered):
            water = exact(what.water, CUBIC)
            if water:
                found.append(Done(event.at, "water", float(water), written_s=written))
        elif isinstance(what, entries.Covered):
            found.append(Done(event.at, "uncover" if what.taken_off else "cover", written_s=written))
    return tuple(sorted(found, key=lambda one: one.at_s))


def _measured(history: History, since: int, limits: Limits) -> tuple[Measured, ...]:
    found = [_told(event, what, limits) for event, what in history.of(entries.Measured) if event.at >= since]
    return tuple(one for one in found if one is not None)


def _told(event: Event, what: entries.Measured, limits: Limits) -> Measured | None:
    """A moisture sample, a squeeze as the moisture it stands for, or a bucket's density; else None."""
    if what.quantity == "moisture" and what.amount.unit == "%":
        share = what.amount.value / (100 * MICRO)
        return Measured(event.at, "moisture", Told(share, SAMPLE_SD)) if 0 < share < 1 else None
    if what.quantity == "squeeze":
        return Measured(event.at, "moisture", Told(squeezed(what.amount.value, limits), SQUEEZE_SD))
    if what.quantity == "bulk density":
        density = exact(what.amount, DENSITIES)
        if density:
            return Measured(event.at, "wet_density", Told(float(density), DENSITY_SHARE * float(density)))
    return None
