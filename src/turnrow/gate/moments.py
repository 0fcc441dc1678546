"""Times as a file writes them, as moments: whole seconds UTC, and whether the time of day is known.

    2026-05-03            a day: local noon, the time not known
    2026-05-03T07:40      the yard's own clock (or the mapping's zone)
    2026-05-03T07:40+01:00, ...Z    as it says, whatever the zone

An hour that the clock runs through twice is told apart only where the order of the file makes it
certain; an hour it leaps over is refused.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import polars as pl
from numpy.typing import NDArray

from turnrow.gate.mapping import TimeColumns
from turnrow.gate.wrongs_list import WrongsList
from turnrow.gate.zones import Clock, to_utc
from turnrow.yard import days

ISO_DAY = r"^\d{4}-\d{2}-\d{2}$"
ISO_LOCAL = r"^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}([.,]\d{1,9})?)?$"
ISO_ZONED = re.compile(
    r"(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2})(:\d{2})?(?:[.,]\d{1,9})? ?(Z|[+-]\d{2}(?::?\d{2})?)", re.IGNORECASE
)
_SLASHED = re.compile(
    r"(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})(?:[ T]+(\d{1,2}):(\d{2})(?::(\d{2}))?(?:[.,]\d+)?)?"
)
_CLOCK = "2026-05-03T07:40 or 2026-05-03"
EARLIEST, LATEST = date(1990, 1, 1), date(2200, 1, 1)
_SERIAL_ZERO = datetime(1899, 12, 30)  # noqa: DTZ001  (a spreadsheet's local clock)
NEVER_CHANGED = (
    'A logger whose clock is never changed: zone = "+00:00", its own offset, in a mapping; '
    "`turnrow outlook` reads it without --zone."
)


@dataclass(frozen=True, eq=False)
class Moments:
    """at (n,) int64 seconds UTC; timed (n,) bool; good (n,) bool where there is a moment at all."""

    at: NDArray[np.int64]
    timed: NDArray[np.bool_]
    good: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class _Local:
    """Clock times as read (n,): seconds as if the clock were UTC, or already UTC where `zoned`."""

    at: NDArray[np.int64]
    timed: NDArray[np.bool_]
    zoned: NDArray[np.bool_]
    good: NDArray[np.bool_]


def read_moments(
    cells: pl.Series,
    column: str,
    time: TimeColumns,
    *,
    clock: Clock,
    yard_zone: ZoneInfo,
    series: NDArray[np.int64],
    first: int,
    workbook: bool,
    wrongs: WrongsList,
    notices: list[str],
) -> Moments:
    """The moments of a column of times.

    series  (n,) which station each row is of: only within one station does order tell anything
    first   the spreadsheet's number of the first row
    Wrong cells go to `wrongs`, in their rows; empty ones are simply not good.
    """
    if time.day_column:
        local = _counted(cells, column, time.day_one, first, wrongs)
    elif time.format in ("", "iso"):
        local = _iso(cells, column, first, workbook, time.format == "iso", wrongs, notices)
    else:
        local = _formatted(cells, column, time.format, first, wrongs)
    if workbook and local.timed.any() and not (local.at[local.timed] % days.DAY_S).any():
        notices.append(f"column {column}: every time is midnight, so the cells are taken as dates alone.")
        local = _Local(local.at, np.zeros_like(local.timed), local.zoned, local.good)
    good = local.good & _in_range(cells, column, local, first, wrongs)
    at = np.where(good, local.at, 0)
    by_clock = good & local.timed & ~local.zoned
    by_day = good & ~local.timed
    utc, told = to_utc(at[by_clock], series[by_clock], clock)
    rows = np.flatnonzero(by_clock)
    for which, what, do in (
        (
            told == 1,
            "a time the clock shows twice that night",
            f"Write its offset, such as {clock.offset_words}. {NEVER_CHANGED}",
        ),
        (
            told == 2,
            "a time the clock leapt over that night",
            f"Write the right time, or its offset, such as {clock.offset_words}. {NEVER_CHANGED}",
        ),
    ):
        for place in rows[which]:
            wrongs.add(f"row {first + place}, column {column}", f"{cells[int(place)]}, {what}", do)
    at[by_clock] = utc
    noon = at[by_day] // days.DAY_S * days.DAY_S + 12 * days.HOUR_S
    at[by_day] = to_utc(noon, np.arange(len(noon)), Clock(yard_zone))[0]
    good[rows[told > 0]] = False
    return Moments(at, local.timed & good, good)


def _in_range(
    cells: pl.Series, column: str, local: _Local, first: int, wrongs: WrongsList
) -> NDArray[np.bool_]:
    low = (EARLIEST.toordinal() - days.EPOCH_DAY) * days.DAY_S
    high = (LATEST.toordinal() - days.EPOCH_DAY) * days.DAY_S
    inside: NDArray[np.bool_] = (local.at >= low) & (local.at < high)
    for place in np.flatnonzero(local.good & ~inside):
        wrongs.add(
            f"row {first + place}, column {column}",
            cells[int(place)],
            f"Write a time from {EARLIEST.year} to {LATEST.year - 1}; was the logger's clock set?",
        )
    return inside


def _empty(n: int) -> _Local:
    no = np.zeros(n, dtype=np.bool_)
    return _Local(np.zeros(n, dtype=np.int64), no.copy(), no.copy(), no.copy())


def _iso(
    cells: pl.Series,
    column: str,
    first: int,
    workbook: bool,
    strictly: bool,
    wrongs: WrongsList,
    notices: list[str],
) -> _Local:
    local = _empty(len(cells))
    left = cells.is_not_null().to_numpy().copy()
    for shape, timed in ((ISO_LOCAL, True), (ISO_DAY, False)):
        these = left & cells.str.contains(shape).fill_null(False).to_numpy()
        if these.any():
            seconds, ok = _fast_iso(cells, these, timed)
            local.at[ok], local.timed[ok], local.good[ok] = seconds[ok], timed, True
            left &= ~ok
    slashed: list[tuple[int, re.Match[str]]] = []
    for place in np.flatnonzero(left):
        text = str(cells[int(place)])
        zoned = ISO_ZONED.fullmatch(text)
        moment = _zoned(zoned) if zoned else None
        serial = _serial(text) if workbook else None
        other = _SLASHED.fullmatch(text)
        if moment is not None:
            local.at[place], local.zoned[place] = moment, True
        elif serial is not None:
            local.at[place] = serial
        elif other and not strictly:
            slashed.append((int(place), other))
            continue
        else:
            wrongs.add(
                f"row {first + place}, column {column}",
                text,
                f"Write {_CLOCK}, or give the time's format in a mapping of `turnrow take`.",
            )
            continue
        local.timed[place] = local.good[place] = True
    if slashed:
        _by_settled_order(slashed, local, column, first, wrongs, notices)
    return local


def _fast_iso(
    cells: pl.Series, these: NDArray[np.bool_], timed: bool
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Seconds of ISO texts of one shape (n,), and which of them are real times of a real day."""
    text = cells if these.all() else cells.set(pl.Series(~these), None)
    head = text.str.slice(0, 16).str.replace(" ", "T", literal=True) if timed else text
    form = "%Y-%m-%dT%H:%M" if timed else "%Y-%m-%d"
    minutes = (
        head.str.to_datetime(form, strict=False, time_unit="us")
        if timed
        else head.str.to_date(form, strict=False).cast(pl.Datetime("us"))
    )
    seconds = minutes.dt.epoch("s")
    if timed and (text.str.len_bytes() > 16).any():
        tail = text.str.slice(17, 2).cast(pl.Int64, strict=False).fill_null(0)
        seconds = (seconds + tail).set(tail > 59, None)
    return seconds.fill_null(0).to_numpy(), seconds.is_not_null().to_numpy() & these


def _zoned(found: re.Match[str]) -> int | None:
    day, minute, second, offset = found.groups()
    offset = offset.upper()
    if offset != "Z":
        digits = offset[1:].replace(":", "").ljust(4, "0")
        offset = f"{offset[0]}{digits[:2]}:{digits[2:]}"
    try:
        return days.seconds(datetime.fromisoformat(f"{day}T{minute}{second or ':00'}{offset}"))
    except ValueError:
        return None


def _serial(text: str) -> int | None:
    """A spreadsheet's day number as clock seconds; None when the text is none."""
    if not re.fullmatch(r"\d{5}(\.\d{1,15})?", text):
        return None
    clock = _SERIAL_ZERO + timedelta(seconds=round(float(text) * days.DAY_S))
    return _clock_seconds(clock)


def _clock_seconds(clock: datetime) -> int:
    return (
        (clock.toordinal() - days.EPOCH_DAY) * days.DAY_S
        + clock.hour * 3600
        + clock.minute * 60
        + clock.second
    )


def _by_settled_order(
    slashed: list[tuple[int, re.Match[str]]],
    local: _Local,
    column: str,
    first: int,
    wrongs: WrongsList,
    notices: list[str],
) -> None:
    """03/04/2026 is two dates: used only when some row of the file settles which comes first."""
    day_first = next((place for place, m in slashed if int(m[1]) > 12), None)
    month_first = next((place for place, m in slashed if int(m[2]) > 12), None)
    if (day_first is None) == (month_first is None):
        place, match = slashed[0]
        what = "and no row tells day from month" if day_first is None else "and rows in both orders"
        wrongs.add(
            f"row {first + place}, column {column}",
            f"{match[0]}, {what}",
            "Write 2026-05-03, or give `turnrow take` a mapping with the format: "
            'format = "%d/%m/%Y %H:%M" or "%m/%d/%Y %H:%M".',
        )
        return
    settled = day_first if day_first is not None else month_first
    order = "day, month, year" if day_first is not None else "month, day, year"
    notices.append(f"column {column}: dates are read as {order}; row {first + int(settled or 0)} settles it.")
    for place, match in slashed:
        one, two, year = int(match[1]), int(match[2]), int(match[3])
        day, month = (one, two) if day_first is not None else (two, one)
        try:
            clock = datetime(year, month, day, int(match[4] or 0), int(match[5] or 0), int(match[6] or 0))  # noqa: DTZ001
        except ValueError:
            wrongs.add(
                f"row {first + place}, column {column}", match[0], f"There is no such time. Write {_CLOCK}."
            )
            continue
        local.at[place] = _clock_seconds(clock)
        local.timed[place] = match[4] is not None
        local.good[place] = True


def _formatted(cells: pl.Series, column: str, form: str, first: int, wrongs: WrongsList) -> _Local:
    """By the mapping's format; distinct texts are read once."""
    local = _empty(len(cells))
    timed = any(mark in form for mark in ("%H", "%I"))
    known: dict[str, tuple[int, bool] | None] = {}
    parts = set(re.findall(r"%(.)", form))
    quick = {"H", "M"} <= parts <= set("YmdHMS")
    fast = cells.str.to_datetime(form, strict=False, time_unit="us") if quick else None
    if fast is not None:
        good = fast.is_not_null().to_numpy()
        local.at[good] = fast.dt.epoch("s").fill_null(0).to_numpy()[good]
        local.good[good] = local.timed[good] = True
    for place in np.flatnonzero(cells.is_not_null().to_numpy() & ~local.good):
        text = str(cells[int(place)])
        if text not in known:
            known[text] = _by_serial(text) if form == "excel" else _by_format(text, form)
        found = known[text]
        if found is None:
            wrongs.add(f"row {first + place}, column {column}", text, f"The mapping says format {form}.")
            continue
        local.at[place], local.zoned[place] = found
        local.good[place] = True
        local.timed[place] = timed or form == "excel"
    return local


def _by_serial(text: str) -> tuple[int, bool] | None:
    found = _serial(text)
    return None if found is None else (found, False)


def _by_format(text: str, form: str) -> tuple[int, bool] | None:
    try:
        found = datetime.strptime(text, form)  # noqa: DTZ007
    except ValueError:
        return None
    return (_clock_seconds(found), False) if found.tzinfo is None else (days.seconds(found), True)


def _counted(cells: pl.Series, column: str, day_one: date | None, first: int, wrongs: WrongsList) -> _Local:
    """Whole days counted from `day_one`, which is day 1."""
    local = _empty(len(cells))
    start = ((day_one or EARLIEST).toordinal() - days.EPOCH_DAY - 1) * days.DAY_S
    number = cells.str.replace(r"\.0+$", "").cast(pl.Int64, strict=False)
    good = (number.is_between(-36_500, 36_500)).fill_null(False).to_numpy()
    for place in np.flatnonzero(cells.is_not_null().to_numpy() & ~good):
        wrongs.add(
            f"row {first + place}, column {column}", cells[int(place)], "Write a whole number of days."
        )
    local.at[good] = start + number.fill_null(0).to_numpy()[good] * days.DAY_S
    local.good[good] = True
    return local
