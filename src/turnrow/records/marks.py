"""What was done to a row, as marks for its pictures: the day, the moment, the words, the line."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.sanitation.standing import Suspect
from turnrow.yard import entries
from turnrow.yard.entries import Amount
from turnrow.yard.history import History
from turnrow.yard.numbers import plain
from turnrow.yard.readings import Readings

UNIT_WORDS = {"m3": "m³", "yd3": "yd³", "ft3": "ft³", "C": "°C", "F": "°F", "%": "%", "score": "of 5"}
UNIT_WORDS |= {"ton": "short tons", "long ton": "long tons", "gal": "US gal", "bu": "US bu"}


@dataclass(frozen=True)
class Mark:
    """One thing done: `day` is a date ordinal, `at` seconds UTC."""

    day: int
    at: int
    words: str
    line: int


def amount_words(amount: Amount) -> str:
    """ "2.5 m³", "40 %"."""
    return f"{plain(amount.value)} {UNIT_WORDS.get(amount.unit, amount.unit)}".strip()


def marks_of(history: History) -> tuple[Mark, ...]:
    """Turns, waterings, covers, merges and the move to curing, in the order they happened."""
    found = []
    for event in history.events:
        said = _words(event.line.entry.what, history.row)
        if said:
            found.append(Mark(event.day, event.at, said, event.line.number))
    return tuple(found)


def _words(what: entries.What, row: str) -> str:
    if isinstance(what, entries.Turned):
        passes = "turned" if what.passes == 1 else f"turned, {what.passes} passes"
        return passes + (f", {amount_words(what.water)} water" if what.water else "")
    if isinstance(what, entries.Watered):
        return f"watered {amount_words(what.water)}"
    if isinstance(what, entries.Merged):
        others = ", ".join(name for name in what.sources if name != row)
        return f"took in {others}" if what.row == row else f"went into {what.row}"
    if isinstance(what, entries.MovedToCuring):
        return "moved to curing"
    if isinstance(what, entries.Covered):
        return "cover off" if what.taken_off else f"covered {what.cover}".strip()
    return ""


def suspect_readings(readings: Readings, suspects: Iterable[Suspect]) -> NDArray[np.bool_]:
    """(n,) which readings are suspect; those only explained (not a fault) are not."""
    marked = np.zeros(len(readings), dtype=np.bool_)
    for suspect in suspects:
        if suspect.fault and suspect.station in readings.stations:
            span = slice(suspect.first, suspect.last + 1)
            marked[span] |= readings.station[span] == readings.stations.index(suspect.station)
    return marked
