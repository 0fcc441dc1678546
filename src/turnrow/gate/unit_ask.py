"""Readings about to be written that fit the other unit: asked about before they are in the book."""

from collections.abc import Sequence

import numpy as np

from turnrow.sanitation.other_unit import WEEK, UnitDoubt, other_unit
from turnrow.yard import days
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, Reading, Round
from turnrow.yard.history import History
from turnrow.yard.readings import Readings, together
from turnrow.yard.temperature import UNITS, Unit
from turnrow.yard.wrongs import refuse


def unit_doubts(fresh: Readings, history: History) -> tuple[UnitDoubt, ...]:
    """What of `fresh`, whose lines are 0, fits the other unit after what the row's history holds."""
    if not len(fresh):
        return ()
    held = history.readings
    every = together([held.pick(held.day >= int(fresh.day.min()) - WEEK), fresh])
    turns = [event.at for event in history.turns if event.timed]
    return tuple(one for one in other_unit(every, turns) if (every.line[one.index] == 0).any())


def round_doubt(entry: Entry, diary: Diary) -> UnitDoubt | None:
    """Whether a round fits the other unit; None where it was confirmed at every station."""
    what = entry.what
    if not isinstance(what, Round) or {one.station for one in what.readings} <= set(what.confirmed):
        return None
    history = diary.history(what.row)
    fresh = _of_round(what.readings, what.unit, days.seconds(entry.happened), history)
    return next(iter(unit_doubts(fresh, history)), None)


def ask_unit(entry: Entry, diary: Diary) -> None:
    """Raises Refused, with the likely unit, when a round fits the other one and was not confirmed."""
    found = round_doubt(entry, diary)
    if found is not None and isinstance(entry.what, Round):
        stations = ", ".join(dict.fromkeys(one.station for one in entry.what.readings))
        do = f"{found.sentence} Write unit={found.likely}, or, where it is right, confirmed={stations}."
        raise refuse("field unit", found.unit, do)


def _of_round(readings: Sequence[Reading], unit: Unit, at_s: int, history: History) -> Readings:
    """The readings of a round as columns, at one moment, on line 0."""
    n = len(readings)
    names = tuple(dict.fromkeys(one.station for one in readings))
    return Readings(
        at=np.full(n, at_s, np.int64),
        day=np.full(n, days.day_of(at_s, history.zone), np.int32),
        station=np.array([names.index(one.station) for one in readings], np.int32),
        depth=np.array([one.depth_mm for one in readings], np.int32),
        value=np.array([one.value for one in readings], np.int64),
        unit=np.full(n, UNITS.index(unit), np.int8),
        timed=np.ones(n, np.bool_),
        line=np.zeros(n, np.int32),
        item=np.arange(1, n + 1, dtype=np.int32),
        stations=names,
    )
