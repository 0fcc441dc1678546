"""A record by station and moment: how long it was hot, by several ways of reckoning.

A station's readings of one moment (several depths) are one; hot means all of them satisfy.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from turnrow.sanitation.by_station import ByStation
from turnrow.yard.days import HOUR_S
from turnrow.yard.temperature import Limit

LOGGER_GAP_S = 2 * HOUR_S  # over it, a logger's time is not counted
ROUND_GAP_S = 36 * HOUR_S  # the same for hand rounds, a day apart with room for a late one
REACH_S = 24 * HOUR_S  # what a hot reading could at best have stood for on either side
HOTTER_THAN_ANY = 1 << 62
FAR = 1 << 30  # a day after any
HAND_ROUNDS = 4  # readings of a station in a day up to which they are hand rounds

Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Spans:
    """Stretches of time; `start` and `end` (k,) in seconds, `first` and `last` their days."""

    start: Whole
    end: Whole
    first: NDArray[np.int32]
    last: NDArray[np.int32]

    @property
    def seconds(self) -> Whole:
        return self.end - self.start


@dataclass(frozen=True, eq=False)
class Series:
    """Moments by station (m moments, sorted by station, then by clock).

    clock    (m,) int64  seconds
    coldest, hottest  (m,) int64  lowest and highest reading of the moment [ninths]
    gap      (m,) int64  seconds to the station's next moment; -1 at its last
    hand     (m,) bool   read by hand rounds: few that day
    lone     (m,) bool   the only reading of its day there, hotter than one alone may be; None: no such
    """

    each: ByStation
    stations: int
    clock: Whole
    day: NDArray[np.int32]
    coldest: Whole
    hottest: Whole
    gap: Whole
    hand: Flags
    lone: Flags | None = None

    @classmethod
    def of(cls, each: ByStation, hottest_alone: int = HOTTER_THAN_ANY) -> "Series":
        """hottest_alone: hotter than this, one reading says nothing [ninths]"""
        clock, station, day = each.clock, each.station, each.day
        n = len(clock)
        lone = _lone(each, hottest_alone)
        changes = np.ones(n, np.bool_)
        changes[1:] = (clock[1:] != clock[:-1]) | (station[1:] != station[:-1])
        starts = np.flatnonzero(changes)
        coldest = hottest = each.heat
        if len(starts) < n:
            coldest, hottest = (f.reduceat(each.heat, starts) for f in (np.minimum, np.maximum))
            clock, station, day = clock[starts], station[starts], day[starts]
            lone = None if lone is None else lone[starts]
        gap = np.full(len(clock), -1, np.int64)
        same = station[1:] == station[:-1]
        gap[:-1] = np.where(same, clock[1:] - clock[:-1], -1)
        held = int((station[1:] != station[:-1]).sum()) + 1 if len(station) else 0
        return cls(each, held, clock, day, coldest, hottest, gap, _hand(station, day), lone)

    def fits(self, limit: Limit, upper: Limit | None = None, *, best: bool = False) -> Flags:
        """(m,) moments whose every reading satisfies; lone readings only at `best`."""
        key = (limit.ninths, limit.op, (upper.ninths, upper.op) if upper else None)
        if key not in self._fits:
            fits = limit.holds(self.coldest)
            self._fits[key] = fits & upper.holds(self.hottest) if upper is not None else fits
        return self._fits[key] if best or self.lone is None else self._fits[key] & ~self.lone

    @cached_property
    def _fits(self) -> dict[tuple[object, ...], Flags]:
        """Moments already compared: many rules share a limit."""
        return {}

    @cached_property
    def by_time(self) -> NDArray[np.intp]:
        """(m,) order of the moments by clock."""
        order, n = self.each.order, len(self.clock)
        if len(order) != n or not self.each.timed:
            return np.argsort(self.clock, kind="stable")
        back = np.empty(n, np.intp)  # one reading a moment: as they came
        back[order] = np.arange(n)
        return back

    def held(self, fits: Flags, most: int | Whole, *, both: bool) -> Flags:
        """(m,) whether the time from a moment to the station's next counts: no longer than `most`
        seconds, hot at its start and, with `both`, at its end."""
        cover = fits & (self._counts if most is self.usual else (self.gap > 0) & (self.gap <= most))
        if both:
            cover[:-1] &= fits[1:]
        return cover

    @cached_property
    def usual(self) -> Whole:
        """(m,) the longest gap that counts: a logger's or a hand round's."""
        return np.where(self.hand, ROUND_GAP_S, LOGGER_GAP_S)

    @cached_property
    def _counts(self) -> Flags:
        """(m,) moments whose gap is no longer than the usual."""
        return np.asarray((self.gap > 0) & (self.gap <= self.usual))

    @cached_property
    def together(self) -> bool:
        """Whether every station was read at the same moments, as a logger's are."""
        many, rest = divmod(len(self.clock), max(self.stations, 1))
        if rest or self.stations < 2:
            return False
        clock = self.clock.reshape(self.stations, many)
        return bool((clock == clock[0]).all()) and bool((self.gap.reshape(clock.shape)[:, -1] < 0).all())

    def everywhere(self, cover: Flags) -> tuple[Whole, Flags]:
        """Seconds from each moment to the next of any station (t,), and whether every station is
        covered in that time. t is m, or the moments of one station where all were read together."""
        if self.together:
            return self.length, np.asarray(cover.reshape(self.stations, -1).all(axis=0))
        step = cover.astype(np.int8)
        step[1:] -= cover[:-1]
        return self.length, np.cumsum(step[self.by_time], dtype=np.int32) == self.stations

    @cached_property
    def length(self) -> Whole:
        """(t,) seconds from each moment, by clock, to the next of any station; 0 at the last."""
        length = np.zeros(len(self.clocks), np.int64)
        length[:-1] = np.diff(self.clocks)
        return length

    @cached_property
    def clocks(self) -> Whole:
        """(t,) the moments by clock."""
        return self.clock[: len(self.clock) // self.stations] if self.together else self.clock[self.by_time]

    @cached_property
    def days(self) -> NDArray[np.int32]:
        """(t,) day of each moment, by clock."""
        return self.day[: len(self.clocks)] if self.together else self.day[self.by_time]

    def hours(self, cover: Flags) -> float:
        length, full = self.everywhere(cover)
        return int(length[full].sum()) / HOUR_S

    def day_seconds(self, cover: Flags, first: int, days: int) -> Whole:
        """(d,) seconds in which every station is covered, on the day they start."""
        length, full = self.everywhere(cover)
        day = self.days[full] - first
        return np.bincount(day, weights=length[full], minlength=days).astype(np.int64)

    def spans(self, cover: Flags) -> Spans:
        """Unbroken stretches in which every station is covered."""
        _, full = self.everywhere(cover)
        edge = np.diff(np.r_[False, full, False].astype(np.int8))
        at, to = np.flatnonzero(edge == 1), np.flatnonzero(edge == -1)
        to = np.minimum(to, len(full) - 1)
        return Spans(self.clocks[at], self.clocks[to], self.days[at], self.days[to])

    def best_spans(self, fits: Flags) -> Spans:
        """Stretches that could at best have been hot everywhere: any gap between two hot moments,
        and REACH_S beyond a hot moment, never past a moment that was not."""
        if not fits.any():
            return Spans(self.clock[:0], self.clock[:0], self.day[:0], self.day[:0])
        joined = fits[:-1] & fits[1:] & (self.gap[:-1] >= 0)
        opens = fits.copy()
        opens[1:] &= ~joined
        closes = fits.copy()
        closes[:-1] &= ~joined
        back = _reach(np.r_[-1, self.gap[:-1]][opens])
        on = _reach(self.gap[closes])
        start, end = self.clock[opens] - back, self.clock[closes] + on
        day = self.day.astype(np.int64)
        known = np.r_[-1, self.gap[:-1]] >= 0  # a moment of the station came before
        earlier, later = (
            np.where(known, np.r_[0, day[:-1]], 0),
            np.where(self.gap >= 0, np.r_[day[1:], 0], FAR),
        )
        first_day = np.where(back > 0, np.maximum(day[opens] - 1, earlier[opens]), day[opens])
        last_day = np.where(on > 0, np.minimum(day[closes] + 1, later[closes]), day[closes])
        at, days = np.r_[start, end], np.r_[first_day, last_day].astype(np.int32)
        step = np.r_[np.ones(len(start), np.int64), -np.ones(len(end), np.int64)]
        sort = np.lexsort((step, at))
        at, days, full = at[sort], days[sort], np.cumsum(step[sort]) == self.stations
        edge = np.diff(np.r_[False, full, False].astype(np.int8))
        opened = np.flatnonzero(edge[:-1] == 1)
        closed = np.minimum(np.flatnonzero(edge == -1), len(at) - 1)
        return Spans(at[opened], at[closed], days[opened], days[closed])


def _reach(gap: Whole) -> Whole:
    """Seconds that a hot moment could at best have stood for on the side of that gap, short of a moment
    that was not hot; -1: nothing follows."""
    return np.where(gap < 0, REACH_S, np.minimum(gap - 1, REACH_S))


def _hand(station: NDArray[np.int32], day: NDArray[np.int32]) -> Flags:
    """(m,) moments of station-days with at most HAND_ROUNDS of them."""
    if not len(station):
        return np.zeros(0, np.bool_)
    starts = np.flatnonzero(np.r_[True, (station[1:] != station[:-1]) | (day[1:] != day[:-1])])
    many = np.diff(np.r_[starts, len(station)])
    return np.repeat(many <= HAND_ROUNDS, many)


def _lone(each: ByStation, hottest_alone: int) -> Flags | None:
    """(n,) readings hotter than that which are the only one of their station and day; None: no such.

    Readings of one station and day nearly always stand beside one another, so that only those which do not
    are looked for among all.
    """
    hot = np.flatnonzero(each.heat > hottest_alone)
    last = len(each.heat) - 1

    def alike(one: NDArray[np.intp], other: NDArray[np.intp]) -> Flags:
        return np.asarray((each.station[one] == each.station[other]) & (each.day[one] == each.day[other]))

    before, after = np.maximum(hot - 1, 0), np.minimum(hot + 1, last)
    apart = hot[~(alike(hot, before) & (hot > 0)) & ~(alike(hot, after) & (hot < last))]
    lone = np.zeros(last + 1, np.bool_)
    for place in apart.tolist():
        same = (each.day == each.day[place]) & (each.station == each.station[place])
        lone[place] = np.count_nonzero(same) == 1
    return lone if lone.any() else None
