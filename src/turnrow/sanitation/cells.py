"""A record by station and day, and what makes a day hot."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from turnrow.sanitation.by_station import ByStation
from turnrow.sanitation.worlds import COLD, HOT, UNKNOWN, Days, Hot, World
from turnrow.yard.entries import Amount
from turnrow.yard.temperature import Limit

MOST = 40_000_000  # station-days held at once


@dataclass(frozen=True, eq=False)
class Cells:
    """Station minima by day (d days one after the other, s stations).

    coldest, hottest  (d, s) int64  lowest and highest reading [ninths]; nothing where count is 0
    total             (d, s) int64  sum of the readings [ninths]
    count             (d, s) int32  readings that day
    asked             (s,) bool     stations that must be read for a day to be known
    lone              (d, s) bool   the only reading of its day there, and hotter than one alone may be
    """

    first: int  # ordinal of the first day
    stations: tuple[str, ...]
    coldest: NDArray[np.int64]
    hottest: NDArray[np.int64]
    total: NDArray[np.int64]
    count: NDArray[np.int32]
    asked: NDArray[np.bool_]
    lone: NDArray[np.bool_]

    @classmethod
    def of(cls, each: ByStation, laid: Sequence[str], hottest_alone: int) -> "Cells":
        """hottest_alone: hotter than this, one reading says nothing [ninths]"""
        stations = tuple(dict.fromkeys((*each.stations, *laid)))
        if not len(each.day):
            shape = (0, len(stations))
            ninths = np.zeros(shape, np.int64)
            asked = np.ones(len(stations), np.bool_)
            many, lone = np.zeros(shape, np.int32), np.zeros(shape, np.bool_)
            return cls(0, stations, ninths, ninths, ninths, many, asked, lone)
        first = int(each.day.min())
        days = int(each.day.max()) - first + 1
        shape = (days, len(stations))
        if days * len(stations) > MOST:
            raise ValueError(f"{days} days by {len(stations)} stations, want at most {MOST} station-days")
        cell = (each.day.astype(np.int64) - first) * len(stations) + each.station
        starts = np.flatnonzero(np.r_[True, cell[1:] != cell[:-1]])
        heat = each.heat
        where = cell[starts]
        turn = where % len(stations) * days + where // len(stations)
        if (turn[1:] <= turn[:-1]).any():  # days out of step with moments (a dated round at noon)
            again = np.argsort(cell, kind="stable")
            cell, heat = cell[again], heat[again]
            starts = np.flatnonzero(np.r_[True, cell[1:] != cell[:-1]])
            where = cell[starts]

        def spread(values: NDArray[np.int64]) -> NDArray[np.int64]:
            out = np.zeros(shape[0] * shape[1], np.int64)
            out[where] = values
            return out.reshape(shape)

        count = spread(np.diff(np.r_[starts, len(cell)]))
        read = count.sum(axis=0) > 0
        asked = np.isin(np.array(stations, dtype=object), list(laid)) if laid else read
        hottest = spread(np.maximum.reduceat(heat, starts))
        return cls(
            first,
            stations,
            spread(np.minimum.reduceat(heat, starts)),
            hottest,
            spread(np.add.reduceat(heat, starts)),
            count.astype(np.int32),
            asked.astype(np.bool_),
            (count == 1) & (hottest > hottest_alone),
        )

    @property
    def days(self) -> int:
        return len(self.count)

    def under(self, limit: Limit, upper: Limit | None = None) -> Days:
        """The days under a limit, HOT, COLD or UNKNOWN.

        Every reading of every station must satisfy: one that does not makes the day COLD. A station that
        was not read, or only by a lone reading too hot to be believed alone, makes it UNKNOWN when the
        others are hot.
        """
        key = (limit.ninths, limit.op, (upper.ninths, upper.op) if upper else None)
        if key not in self._known:
            hot = self._hot(limit, upper)
            self._known[key] = Days(hot, World(hot == HOT), World(self._possible(hot)), {})
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[object, ...], Days]:
        """Days already reckoned: many rules share a limit."""
        return {}

    def _hot(self, limit: Limit, upper: Limit | None) -> Hot:
        fits = limit.holds(self.coldest)
        if upper is not None:
            fits &= upper.holds(self.hottest)
        cold = (self.read & ~fits).any(axis=1)
        return np.where(cold, COLD, np.where(self._whole, HOT, UNKNOWN)).astype(np.int8)

    def hot_by_mean(self, limit: Limit, upper: Limit | None) -> int:
        """Days on which the plain mean of the stations' lowest readings satisfies, all of them read and
        none over the upper limit: said beside a verdict, never part of one."""
        read = self.read
        many = read.sum(axis=1).astype(np.int64)
        total = np.where(read, self.coldest, 0).sum(axis=1)
        fits = _mean_holds(limit, total, many)
        if upper is not None:
            fits &= ~self.over(upper)
        return int(np.count_nonzero(self._whole & fits))

    def over(self, upper: Limit) -> NDArray[np.bool_]:
        """(d,) days on which any reading lies over the upper limit."""
        return np.asarray((self.read & ~upper.holds(self.hottest)).any(axis=1))

    @cached_property
    def read(self) -> NDArray[np.bool_]:
        """(d, s) whether the station was read that day."""
        return self.count > 0

    @cached_property
    def _whole(self) -> NDArray[np.bool_]:
        """(d,) days on which every station asked for was read, and not by a lone reading alone."""
        sure = self.read & ~self.lone
        return np.asarray(sure[:, self.asked].all(axis=1) & sure.any(axis=1))

    @cached_property
    def warned(self) -> dict[tuple[Amount, ...], tuple[str, ...]]:
        """Cautions already said, by the settings they go by."""
        return {}

    @cached_property
    def hottest_of_day(self) -> NDArray[np.int64]:
        """(d,) the day's highest reading [ninths]; below any where nothing was read."""
        nothing = np.iinfo(np.int64).min
        return np.asarray(np.where(self.read, self.hottest, nothing).max(axis=1, initial=nothing))

    def _possible(self, hot: Hot) -> NDArray[np.bool_]:
        """(d,) days that could at best have been hot.

        Unread days count only between days on which something was read and nothing was cold, so
        that a further cold reading can never help.
        """
        able = hot != COLD
        seen = np.flatnonzero(able & self.read.any(axis=1))
        out = np.zeros(len(hot), np.bool_)
        if len(seen):
            span = slice(int(seen[0]), int(seen[-1]) + 1)
            out[span] = able[span]
        return out

    def unread(self, day: int) -> list[str]:
        """Stations asked for and not read on the day of that index."""
        missing = self.asked & (self.count[day] == 0)
        return [self.stations[i] for i in np.flatnonzero(missing)]


def _mean_holds(limit: Limit, total: NDArray[np.int64], many: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Whether total / many satisfies the limit, compared as whole numbers."""
    over = total - limit.ninths * many  # the sign of (mean - limit)
    return {">=": over >= 0, ">": over > 0, "<=": over <= 0, "<": over < 0}[limit.op]
