"""From a yard's clock to UTC, without guessing at the nights when the clock is changed."""

import re
from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.yard import days

_OFFSET = re.compile(r"([+-])(\d\d):(\d\d)")
_SPAN = 2 * days.DAY_S  # more than any offset


@dataclass(frozen=True)
class Clock:
    """The clock a file was written by: a zone, or an offset that never changes."""

    zone: ZoneInfo
    fixed_s: int | None = None

    @property
    def offset_words(self) -> str:
        """A time with an offset that this clock shows."""
        return "2026-10-25T01:30+00:00"


def clock_named(name: str, yard_zone: ZoneInfo) -> Clock:
    """The clock a mapping names: empty for the yard's, "+01:00", or an IANA name."""
    found = _OFFSET.fullmatch(name)
    if found:
        size = int(found[2]) * 3600 + int(found[3]) * 60
        return Clock(yard_zone, -size if found[1] == "-" else size)
    return Clock(days.zone(name) if name else yard_zone)


def to_utc(
    local: NDArray[np.int64], series: NDArray[np.int64], clock: Clock
) -> tuple[NDArray[np.int64], NDArray[np.int8]]:
    """Moments of clock times.

    local   (n,) seconds as if the clock were UTC, in the order of the file
    series  (n,) which station each is of
    Returns (n,) seconds UTC and (n,) 0 certain, 1 shown twice and not told apart, 2 never shown.
    """
    told = np.zeros(len(local), dtype=np.int8)
    if clock.fixed_s is not None:
        return local - clock.fixed_s, told
    if not len(local):
        return local.copy(), told
    ends = np.array([local.min() - _SPAN, local.max() + _SPAN])
    offsets = _offsets_between(int(ends[0]), int(ends[1]), clock.zone)
    utc = np.zeros(len(local), dtype=np.int64)
    count = np.zeros(len(local), dtype=np.int8)
    late = np.zeros(len(local), dtype=np.int64)
    for offset in sorted(offsets, reverse=True):  # the larger offset is the earlier moment
        moment = local - offset
        right = days.offsets_of(moment, clock.zone) == offset
        utc = np.where(right & (count == 0), moment, utc)
        late = np.where(right, moment, late)
        count += right
    told[count == 0] = 2
    if (count > 1).any():
        _tell_apart(local, series, count > 1, utc, late, told)
    return utc, told


def _offsets_between(first_s: int, last_s: int, zone: ZoneInfo) -> set[int]:
    steps = np.arange(first_s, last_s + days.DAY_S, days.DAY_S, dtype=np.int64)
    return {int(offset) for offset in np.unique(days.offsets_of(steps, zone))}


def _tell_apart(
    local: NDArray[np.int64],
    series: NDArray[np.int64],
    twice: NDArray[np.bool_],
    utc: NDArray[np.int64],
    late: NDArray[np.int64],
    told: NDArray[np.int8],
) -> None:
    """Within one station, one step back inside the doubled hour tells first from second.

    Certain only where the station's times otherwise never step back; what is not certain is marked.
    Changes `utc` and `told` in place.
    """
    for one in np.unique(series[twice]):
        places = np.flatnonzero(series == one)
        if local[places[0]] > local[places[-1]]:
            places = places[::-1]  # a file with the newest first
        times, doubled = local[places], twice[places]
        nights = np.cumsum(np.abs(np.diff(times, prepend=times[0])) > 6 * days.HOUR_S)
        back = np.flatnonzero(times[1:] < times[:-1]) + 1
        inside = doubled[back] & doubled[back - 1]
        for night in np.unique(nights[doubled]):
            those = np.flatnonzero(doubled & (nights == night))
            steps = [b for b in back if those[0] < b <= those[-1]]
            if len(steps) == 1 and inside.all():
                second = those[those >= steps[0]]
                utc[places[second]] = late[places[second]]
            else:
                told[places[those]] = 1
