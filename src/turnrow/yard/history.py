"""One row's history: its lines in the order they happened, its readings in columns."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import takewhile
from operator import attrgetter
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.yard import blocks, days, entries, goods, readings
from turnrow.yard.entries import Line
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import UNITS

Blob = Callable[[str], bytes]  # the bytes named by a hash
Thing = TypeVar("Thing", bound=entries.Kind)


@dataclass(frozen=True, slots=True)
class Event:
    """A line seen as a moment on the yard's calendar; `at` is local noon where only the day is known."""

    at: int
    day: int
    timed: bool
    line: Line


@dataclass(frozen=True)
class History:
    """All that the diary says of one row.

    events  lines in force, in the order they happened; one that is struck is in `struck` instead
    """

    row: str
    zone: ZoneInfo
    events: tuple[Event, ...] = ()
    struck: tuple[Line, ...] = ()
    blob: Blob = field(repr=False, default=lambda name: b"")
    upto_s: int | None = None  # readings after this moment are left out

    def of(self, kind: type[Thing]) -> list[tuple[Event, Thing]]:
        """Events of one kind, each with what it says."""
        return list(self._kinds.get(kind, ()))

    @cached_property
    def _kinds(self) -> dict[type[entries.Kind], list[tuple[Event, Any]]]:
        """Events by what they are, so that one kind is not looked for among all."""
        found: dict[type[entries.Kind], list[tuple[Event, Any]]] = {}
        for e in self.events:
            what = e.line.entry.what
            found.setdefault(type(what), []).append((e, what))
        return found

    @cached_property
    def built(self) -> tuple[Event, entries.RowBuilt] | None:
        """The first building of the row; None when the diary speaks of it without one."""
        return next(iter(self.of(entries.RowBuilt)), None)

    @cached_property
    def turns(self) -> tuple[Event, ...]:
        """Every pass counts as one event: a line with two passes stands twice."""
        return tuple(e for e, what in self.of(entries.Turned) for _ in range(what.passes))

    @cached_property
    def curing(self) -> Event | None:
        return next((e for e, _ in reversed(self.of(entries.MovedToCuring))), None)

    @cached_property
    def merged_into(self) -> tuple[Event, str] | None:
        """Where the row went, once it was pushed into another."""
        return next(((e, what.row) for e, what in self.of(entries.Merged) if what.row != self.row), None)

    @cached_property
    def split_from(self) -> tuple[Event, str] | None:
        """The row this one was a part of until it was moved apart."""
        return next(((e, what.row) for e, what in self.of(goods.RowSplit) if what.new == self.row), None)

    @cached_property
    def lifted(self) -> tuple[Event, str] | None:
        """The lot the row became, once all that was left of it was taken."""
        made = [(e, what.lot, what.sources) for e, what in self.of(goods.LotMade)]
        made += [(e, what.fines, what.sources) for e, what in self.of(goods.Screened)]
        whole = (
            (e, lot)
            for e, lot, sources in made
            if any(one.row == self.row and one.amount is None for one in sources)
        )
        return min(whole, key=lambda pair: (pair[0].at, pair[0].line.number), default=None)

    @cached_property
    def gone(self) -> Event | None:
        """Where the row ended: pushed into another, or all of it made a lot."""
        ends = [one[0] for one in (self.merged_into, self.lifted) if one is not None]
        return min(ends, key=lambda e: (e.at, e.line.number), default=None)

    @cached_property
    def stations(self) -> tuple[str, ...]:
        """Stations laid out when built, then any other that was ever read."""
        laid = self.built[1].stations if self.built else ()
        return tuple(dict.fromkeys((*laid, *self.readings.stations)))

    @cached_property
    def readings(self) -> Readings:
        """Every reading in force, in columns, sorted by moment."""
        parts = [_rounds(self.of(entries.Round))]
        parts += [
            blocks.unpack(self.blob(what.blob), e.line.number, self.zone)
            for e, what in self.of(entries.LoggerBlock)
        ]
        every = readings.together(parts)
        return every if self.upto_s is None else every.pick(every.at <= self.upto_s)

    @cached_property
    def newest_s(self) -> int:
        """The latest moment anything of the row happened at or was read; 0 without events."""
        read = (days.seconds(what.last) for _, what in self.of(entries.LoggerBlock))
        last = takewhile(lambda e: e.day == self.events[-1].day, reversed(self.events))  # events go by day
        return max((*(e.at for e in last), *read), default=0)

    def until(self, at_s: int) -> "History":
        """The same row without what happened after `at_s`; what is struck stays struck."""
        kept = tuple(e for e in self.events if min(e.at, first(e)) <= at_s)
        return replace(self, events=kept, upto_s=at_s)

    @cached_property
    def last_line(self) -> int:
        """The newest line that speaks of the row, struck ones too."""
        return max((line.number for line in self.lines), default=0)

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """Every line of the row's diary by number, struck ones too."""
        return tuple(sorted((*(e.line for e in self.events), *self.struck), key=lambda x: x.number))


def event(line: Line, yard_zone: ZoneInfo) -> Event:
    at = days.seconds(line.entry.happened)
    return Event(at, days.day_of(at, yard_zone), not line.entry.day_only, line)


def by_then(one: Event, other: Event) -> bool:
    """Whether `one` holds by the time of `other`; where only a day is known it holds that whole day."""
    return one.at <= other.at if one.timed and other.timed else one.day <= other.day


def all_events(lines: Sequence[Line], yard_zone: ZoneInfo) -> list[Event]:
    """As `event` for each; the calendar is asked once for all."""
    at = [days.seconds(line.entry.happened) for line in lines]
    day = days.days_of(np.array(at, dtype=np.int64), yard_zone).tolist()
    return [Event(a, d, not x.entry.day_only, x) for a, d, x in zip(at, day, lines, strict=True)]


def first(e: Event) -> int:
    """The moment of the first thing a line tells: a logger's block begins before it was taken in."""
    what = e.line.entry.what
    return days.seconds(what.first) if isinstance(what, entries.LoggerBlock) else e.at


def in_order(events: Sequence[Event]) -> tuple[Event, ...]:
    """By day, then dated-only turns after what else happened that day, then by moment and line."""

    def key(e: Event) -> tuple[int, bool, int, int]:
        late = not e.timed and isinstance(e.line.entry.what, entries.Turned)
        return e.day, late, e.at, e.line.number

    return tuple(sorted(events, key=key))


def _rounds(rounds: Sequence[tuple[Event, entries.Round]]) -> Readings:
    """The readings of hand rounds as columns."""
    counts = [len(what.readings) for _, what in rounds]
    n = sum(counts)
    if not n:
        return readings.none()
    every = [reading for _, what in rounds for reading in what.readings]
    typed = list(map(attrgetter("station"), every))
    names = tuple(dict.fromkeys(typed))
    place = {name: code for code, name in enumerate(names)}
    starts = np.cumsum([0, *counts[:-1]])

    def spread(values: list[int], kind: type[np.generic]) -> NDArray[Any]:
        return np.repeat(np.array(values, dtype=kind), counts)

    return Readings(
        at=spread([e.at for e, _ in rounds], np.int64),
        day=spread([e.day for e, _ in rounds], np.int32),
        station=np.fromiter(map(place.__getitem__, typed), np.int32, n),
        depth=np.fromiter(map(attrgetter("depth_mm"), every), np.int32, n),
        value=np.fromiter(map(attrgetter("value"), every), np.int64, n),
        unit=spread([UNITS.index(what.unit) for _, what in rounds], np.int8),
        timed=spread([e.timed for e, _ in rounds], np.bool_),
        line=spread([e.line.number for e, _ in rounds], np.int32),
        item=(np.arange(1, n + 1) - np.repeat(starts, counts)).astype(np.int32),
        stations=names,
    )
