"""What a rule is judged on: a row's readings and its turns, wherever they came from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.book import handbook
from turnrow.sanitation.by_station import ByStation
from turnrow.sanitation.cells import Cells
from turnrow.sanitation.series import Series
from turnrow.yard import readings as columns
from turnrow.yard.entries import Amount
from turnrow.yard.history import Event, History
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import as_unit, ninths

LONE = "lone_reading"  # the setting


def hottest_alone(settings: Mapping[str, Amount]) -> int:
    """Hotter than this, a station's only reading of a day proves nothing [ninths]."""
    limit = settings.get(LONE) or handbook().settings[LONE].amount
    return ninths(limit.value, as_unit(limit.unit))


@dataclass(frozen=True)
class TurnAt:
    """One pass. `at` is local noon and `timed` false where only the day is known; such a turn
    comes after that day's readings."""

    at: int
    day: int
    timed: bool = False
    line: int = 0


@dataclass(frozen=True, eq=False)
class Record:
    """Readings and turns, sorted by moment.

    laid  stations marked out along the row, read or not; where none are, every station that was
          ever read is asked for on every day (a cold place cannot be dropped from the record)
    hottest_alone  hotter than this, a station's only reading of a day proves nothing [ninths]
    """

    readings: Readings
    turns: tuple[TurnAt, ...] = ()
    laid: tuple[str, ...] = ()
    hottest_alone: int = field(default_factory=lambda: hottest_alone({}))

    @classmethod
    def of(
        cls,
        history: History,
        since: Event | None = None,
        keep: NDArray[np.bool_] | None = None,
        settings: Mapping[str, Amount] | None = None,
    ) -> "Record":
        """The row's record.

        since  only what came after this event; on its own day only what is known to be later
        keep   (n,) which of the history's readings to take; all of them without it
        settings  the yard's own values; the handbook's defaults where absent
        """
        readings = history.readings
        kept = np.ones(len(readings), np.bool_) if keep is None else keep.copy()
        turns = tuple(TurnAt(e.at, e.day, e.timed, e.line.number) for e in history.turns)
        if since is not None:
            later = since.timed & readings.timed & (readings.at > since.at)
            kept &= (readings.day > since.day) | later
            turns = tuple(
                t
                for t in turns
                if t.day > since.day or (t.day == since.day and t.timed and since.timed and t.at > since.at)
            )
        laid = history.built[1].stations if history.built else ()
        taken = readings if kept.all() else readings.pick(kept)
        return cls(taken, turns, laid, hottest_alone(settings or {}))

    @classmethod
    def empty(cls) -> "Record":
        return cls(columns.none())

    @cached_property
    def by_station(self) -> ByStation:
        return ByStation.of(self.readings)

    @cached_property
    def cells(self) -> Cells:
        """The record by station and day, reckoned once for every rule."""
        return Cells.of(self.by_station, self.laid, self.hottest_alone)

    @cached_property
    def series(self) -> Series:
        """The record by station and moment, reckoned once for every rule."""
        return Series.of(self.by_station, self.hottest_alone)

    @cached_property
    def hours(self) -> dict[tuple[object, ...], tuple[float, float]]:
        """Hot hours already reckoned, and those proven, by limit: many rules share one."""
        return {}

    @cached_property
    def lines(self) -> tuple[int, ...]:
        """Lines of the journal it holds; empty for a plain file."""
        found = {int(n) for n in set(self.readings.line.tolist())} if self.readings.line.any() else set()
        return tuple(sorted((found | {t.line for t in self.turns}) - {0}))
