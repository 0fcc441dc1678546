"""What a heap's own log says of each of its places, nothing of the heap being asked: the statistics of a bare
log, station by station and depth by depth, for the hours in which they can be held against the model.

A place is one station at one depth: depths differ by more than days do, and stations keep apart. So each has
a series of its own, and what a depth will read is the even mix of its stations, as in the model's fan.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from turnrow.heap.bare.beliefs import Beliefs
from turnrow.heap.bare.log import BareLog, bare_log
from turnrow.heap.bare.outlook import outlooks
from turnrow.heap.known import Known
from turnrow.heap.material import Floats
from turnrow.heap.scored import percentiles_of
from turnrow.heap.tidied import HOUR, UNSAID_CM

AHEAD_H = (6.0, 24.0, 48.0, 72.0)  # asked of the log; straight between, and as at the first before it
SPEAKS_H = int(AHEAD_H[-1])
ONE_SET = (Beliefs(),)  # eight sets, as of a bare log, would cost a page eight times as much for little
AIR_LATE_H = 24  # of the air only what an earlier morning knew as well as today does: up to a day before


@dataclass(frozen=True, eq=False)
class LogSays:
    """at_s the moment [s]; places (p, 2) station and depth_m; ahead_c (SPEAKS_H, p, 99) percentiles [°C] of
    what a probe will read there after 1, 2, ... hours."""

    at_s: int
    places: Floats
    ahead_c: Floats

    def of_depth(self, depth_m: float) -> Floats:
        """(SPEAKS_H, 99) of any of the stations read at a depth; (SPEAKS_H, 0) where none was."""
        these = self.ahead_c[:, np.abs(self.places[:, 1] - depth_m) < 0.01]
        if not these.shape[1]:
            return np.empty((SPEAKS_H, 0))
        return percentiles_of(these.reshape(SPEAKS_H, -1))


def log_says(known: Known, at_s: int, earlier: Sequence[tuple[int, Known]] = ()) -> list[LogSays]:
    """Of the moment `at_s`, and of each of `earlier` (moment, what was known then), in their order.

    Where what was known earlier is the beginning of what is known now, one way through the log tells both:
    at each of its origins nothing later is used.
    """
    shares = [_is_beginning(then, known, moment) for moment, then in earlier]
    together = [moment for (moment, _), same in zip(earlier, shares, strict=True) if same]
    told = {one.at_s: one for one in _told(known, [at_s, *together])}
    found = [told[at_s]]
    for (moment, then), same in zip(earlier, shares, strict=True):
        found.append(told[moment] if same else _told(then, [moment])[0])
    return found


def _told(known: Known, moments: Sequence[int]) -> list[LogSays]:
    read = known.read
    depth = np.where(np.isnan(read.depth_cm), UNSAID_CM, read.depth_cm) / 100.0
    by_moment: dict[int, list[tuple[float, float, Floats]]] = {moment: [] for moment in moments}
    for station, deep in sorted(set(zip(read.station.tolist(), depth.tolist(), strict=True))):
        mine = (read.station == station) & (depth == deep) & (read.at_s <= max(moments))
        try:
            log = _log(known, read.at_s[mine], read.temp_c[mine], max(moments))
        except ValueError:  # not a reading of this place is a heap's
            continue
        origins = [(moment - known.built_s) / HOUR for moment in moments]
        since = [hour for hour in origins if hour >= log.hour[0]]
        every = outlooks(log, sorted(since), AHEAD_H, beliefs=ONE_SET)
        for moment, hour in zip(moments, origins, strict=True):
            samples = [one.sample for one in every if one.hour == hour]
            if samples:
                by_moment[moment].append((float(station), deep, _by_hour(np.stack(samples))))
    return [_says(moment, found) for moment, found in by_moment.items()]


def _log(known: Known, at_s: Floats, temp_c: Floats, now_s: int) -> BareLog:
    """The series of one place, hours from the build."""

    def hours(moments: Floats) -> Floats:
        return np.asarray((moments - known.built_s) / HOUR)

    turned = [one.at_s for one in known.done if one.kind == "turn" and (one.written_s or 0) <= now_s]
    air_s, air = np.zeros(0), np.zeros(0)
    if known.outside is not None:
        there = ~np.isnan(known.outside.temp_c)
        air_s = known.outside.start_s + HOUR * np.flatnonzero(there).astype(np.float64)
        air = known.outside.temp_c[there]
    return bare_log(
        hours(at_s.astype(np.float64)),
        temp_c,
        hours(np.array(turned, dtype=np.float64)),
        hours(air_s) + AIR_LATE_H,
        air,
    )


def _by_hour(at_knots: Floats) -> Floats:
    """(SPEAKS_H, 99) from the percentiles at AHEAD_H (k, 99)."""
    hours = np.arange(1.0, SPEAKS_H + 1.0)
    return np.stack([np.interp(hours, AHEAD_H, column) for column in at_knots.T], axis=1)


def _says(moment: int, found: Sequence[tuple[float, float, Floats]]) -> LogSays:
    places = np.array([[station, depth] for station, depth, _ in found]).reshape(-1, 2)
    ahead = [sample for _, _, sample in found]
    return LogSays(moment, places, np.stack(ahead, axis=1) if ahead else np.empty((SPEAKS_H, 0, 99)))


def _is_beginning(then: Known, now: Known, at_s: int) -> bool:
    """Whether the readings, turns and air known at a moment are those known now up to it."""
    if then.built_s != now.built_s or (then.outside is None) != (now.outside is None):
        return False
    kept = now.read.at_s <= at_s
    a, b = then.read, now.read
    same = all(
        np.array_equal(x, y[kept], equal_nan=x.dtype.kind == "f")
        for x, y in ((a.at_s, b.at_s), (a.depth_cm, b.depth_cm), (a.station, b.station), (a.temp_c, b.temp_c))
    )
    turns = [[one.at_s for one in k.done if one.kind == "turn" and one.at_s <= at_s] for k in (then, now)]
    return same and turns[0] == turns[1] and _same_air(then, now, at_s)


def _same_air(then: Known, now: Known, at_s: int) -> bool:
    if then.outside is None or now.outside is None:
        return True
    hours = max((at_s - then.outside.start_s) // HOUR - AIR_LATE_H + 1, 0)
    a, b = then.outside, now.outside
    return a.start_s == b.start_s and np.array_equal(a.temp_c[:hours], b.temp_c[:hours], equal_nan=True)
