"""Moments and days: a moment is whole seconds UTC, a day is a date on the yard's own calendar."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

HOUR_S = 3600
DAY_S = 86_400
HALF_A_YEAR = 182  # days from which a date without its year may be taken for another
EPOCH_DAY = date(1970, 1, 1).toordinal()


def zone(name: str) -> ZoneInfo:
    """The IANA zone `name`; ValueError when there is none of that name."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as wrong:
        raise ValueError(f"time zone {name!r}, want an IANA name such as Europe/Dublin") from wrong


def seconds(moment: datetime) -> int:
    """Whole seconds since 1970 UTC of an aware `moment`."""
    if moment.tzinfo is None:
        raise ValueError(f"moment {moment.isoformat()} has no zone")
    return int((moment - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(seconds=1))


def moment(at_s: int, yard_zone: ZoneInfo) -> datetime:
    return datetime.fromtimestamp(at_s, tz=UTC).astimezone(yard_zone)


def day_of(at_s: int, yard_zone: ZoneInfo) -> int:
    """The yard's calendar day of a moment, as a date's ordinal."""
    return moment(at_s, yard_zone).toordinal()


def days_of(at_s: NDArray[np.int64], yard_zone: ZoneInfo) -> NDArray[np.int32]:
    """The yard's calendar day (date ordinal) of each moment, shape as given.

    Offsets change a few times a year, so they are looked up where they change, not per moment.
    """
    return ((at_s + offsets_of(at_s, yard_zone)) // DAY_S + EPOCH_DAY).astype(np.int32)


def offsets_of(at_s: NDArray[np.int64], yard_zone: ZoneInfo) -> NDArray[np.int64]:
    """The zone's offset from UTC [s] at each moment, shape as given."""
    if at_s.size == 0:
        return np.zeros(0, dtype=np.int64)
    edges, offsets = _offsets(int(at_s.min()), int(at_s.max()), yard_zone)
    return offsets[np.searchsorted(edges, at_s, side="right") - 1]


def _offsets(first_s: int, last_s: int, yard_zone: ZoneInfo) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Moments from which an offset [s] is in force, over first_s..last_s."""
    edges, offsets = [first_s], [_offset(first_s, yard_zone)]
    at = first_s
    while at < last_s:
        step = min(at + 7 * DAY_S, last_s)
        if _offset(step, yard_zone) != offsets[-1]:
            low, high = at, step
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (middle, high) if _offset(middle, yard_zone) == offsets[-1] else (low, middle)
            edges.append(high)
            offsets.append(_offset(high, yard_zone))
        at = step
    return np.array(edges, dtype=np.int64), np.array(offsets, dtype=np.int64)


def _offset(at_s: int, yard_zone: ZoneInfo) -> int:
    offset = moment(at_s, yard_zone).utcoffset()
    return int(offset.total_seconds()) if offset else 0


def date_text(day: int) -> str:
    """ISO date of a day ordinal."""
    return date.fromordinal(day).isoformat()


def short_date(day: int, year: bool = False) -> str:
    """For people: "3 May"; with `year` "3 May 2026"."""
    when = date.fromordinal(day)
    return f"{when.day} {when:%B} {when.year}" if year else f"{when.day} {when:%B}"
