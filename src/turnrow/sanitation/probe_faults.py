"""Probes that failed a check: what they read since their last good check proves nothing.

Ice water and boiling water are checked apart: a probe may be right at the one and wrong at the other, and
only a good check in the same bath takes the doubt back.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from turnrow.sanitation.standing import Suspect
from turnrow.sanitation.traces import traces_of
from turnrow.yard import days
from turnrow.yard.entries import Amount, LoggerBlock, ProbeChecked, Round
from turnrow.yard.history import Event, History
from turnrow.yard.temperature import NINTH, Unit, degrees, ninths

BETWEEN = 50 * NINTH  # a bath under it is ice water, over it boiling water
BATHS = ("ice water", "boiling water")
FOR_EVER = 2**62


@dataclass(frozen=True)
class Fault:
    """A probe that failed in one bath: its readings after `since` (its last good check there; from the first
    reading where there is none) up to the next good check `until` are in doubt."""

    probe: str
    bath: str
    since: int
    until: int
    said: str  # "read 6 °C in a bath of 0 °C on 3 May"
    line: int


def heat_of(amount: Amount) -> int:
    """A temperature as typed, in ninths. ValueError for another unit."""
    return ninths(amount.value, cast(Unit, amount.unit))


def off_by(check: ProbeChecked) -> int:
    """How far the probe was off in its bath [ninths], without sign."""
    return abs(heat_of(check.read) - heat_of(check.bath))


def bath_of(check: ProbeChecked) -> str:
    return BATHS[heat_of(check.bath) > BETWEEN]


def faults(checks: Sequence[tuple[Event, ProbeChecked]], most: int) -> tuple[Fault, ...]:
    """Every stretch in which a probe is known to be off by more than `most` [ninths]; checks in the order
    they happened."""
    found: list[Fault] = []
    good: dict[tuple[str, str], int] = {}
    open_: dict[tuple[str, str], Fault] = {}
    for event, check in checks:
        key = (check.probe, bath_of(check))
        if off_by(check) > most:
            said = (
                f"read {_shown(check.read)} in a bath of {_shown(check.bath)} on {days.short_date(event.day)}"
            )
            since = open_[key].since if key in open_ else good.get(key, -FOR_EVER)
            open_[key] = Fault(*key, since, FOR_EVER, said, event.line.number)
            continue
        good[key] = event.at
        if key in open_:
            one = open_.pop(key)
            found.append(Fault(one.probe, one.bath, one.since, event.at, one.said, one.line))
    return (*found, *open_.values())


def doubted(history: History, wrong: Sequence[Fault]) -> tuple[Suspect, ...]:
    """The row's readings that a probe took while it is known to be off, station by station."""
    readings, found = history.readings, list[Suspect]()
    for fault in wrong:
        mask = _taken(history, fault)
        for one in traces_of(readings) if mask.any() else ():
            words = (
                f"Probe {fault.probe}, which read station {one.station}, {fault.said}: what it read since "
                "its last good check is not counted until a good check in the same bath."
            )
            found += [
                Suspect(one.station, int(one.index[first]), int(one.index[last]), "probe off", words)
                for first, last in _runs(mask[one.index])
            ]
    return tuple(found)


def not_counted(history: History, wrong: Sequence[Fault]) -> NDArray[np.bool_]:
    """(n,) readings of the row that prove nothing, as a probe known to be off took them."""
    mask = np.zeros(len(history.readings), np.bool_)
    for fault in wrong:
        mask |= _taken(history, fault)
    return mask


def _taken(history: History, fault: Fault) -> NDArray[np.bool_]:
    """(n,) readings that the probe took within the fault."""
    readings = history.readings
    rounds, blocks = history.of(Round), history.of(LoggerBlock)
    lines = [event.line.number for event, what in rounds if what.probe == fault.probe]
    lines += [event.line.number for event, what in blocks if what.probe == fault.probe]
    inside = (readings.at > fault.since) & (readings.at < fault.until)
    return np.asarray(np.isin(readings.line, lines) & inside)


def _shown(amount: Amount) -> str:
    return degrees(amount.value, cast(Unit, amount.unit))


def _runs(marks: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last place of each stretch of True."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], marks, [False])).astype(np.int8)))
    return [(int(a), int(z) - 1) for a, z in zip(edges[::2], edges[1::2], strict=True)]
