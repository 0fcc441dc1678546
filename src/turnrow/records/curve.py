"""Temperature over time: thin ink lines, dotted limits with their words, gaps left open.

A line joins two readings only where they are no further apart than 2.5 times the usual step of that
line; across anything longer nothing is drawn. Where many readings fall into one pixel, the first,
lowest, highest, last and every suspect one of that pixel are kept.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from turnrow.records import pen
from turnrow.records.pen import Label, n
from turnrow.records.row_picture import RowPicture, long_date, station_words
from turnrow.yard.days import DAY_S, day_of, moment, short_date
from turnrow.yard.temperature import NINTH

WIDTH, HEIGHT = 960.0, 260.0
LEFT, RIGHT = 46.0, 190.0
GAP_STEPS = 2.5
EACH_AT_MOST = 8  # stations drawn one by one; more are drawn as coldest and hottest of the hour


@dataclass(frozen=True, eq=False)
class Trace:
    """One line: moments [s], temperatures [ninths], which are suspect, and what it is called."""

    name: str
    at: NDArray[np.int64]
    heat: NDArray[np.int64]
    suspect: NDArray[np.bool_]

    def usual_step_s(self) -> float:
        """The middle of the steps between one reading and the next [s]; a day where there is but one."""
        steps = np.diff(self.at)
        steps = steps[steps > 0]
        return float(np.median(steps)) if len(steps) else float(DAY_S)

    def pieces(self) -> list[slice]:
        """Stretches without a gap."""
        if not len(self.at):
            return []
        breaks = np.flatnonzero(np.diff(self.at) > GAP_STEPS * self.usual_step_s()) + 1
        edges = [0, *breaks.tolist(), len(self.at)]
        return [slice(a, b) for a, b in pairwise(edges)]


def traces(drawn: RowPicture) -> tuple[Trace, ...]:
    """Coldest and hottest where several stations are read at one moment; otherwise each station."""
    readings = drawn.readings
    if not len(readings):
        return ()
    if len(readings.stations) == 1:
        every = np.ones(len(readings), dtype=np.bool_)
        return (_trace(drawn, station_words(readings.stations[0]), every),)
    _, starts, count = np.unique(readings.at, return_index=True, return_counts=True)
    if float(np.median(count)) >= 2:
        return _extremes(drawn, starts, "read")
    if len(readings.stations) <= EACH_AT_MOST:
        return tuple(
            _trace(drawn, station_words(name), readings.station == code)
            for code, name in enumerate(readings.stations)
        )
    hours = readings.at // 3600
    _, starts = np.unique(hours, return_index=True)
    return _extremes(drawn, starts, "of the hour")


def _extremes(drawn: RowPicture, starts: NDArray[np.intp], tail: str) -> tuple[Trace, Trace]:
    """Hottest and coldest of each group of readings that begins at `starts`; suspect where that one is."""
    heat, groups = drawn.readings.heat, np.diff(starts, append=len(drawn.readings))
    both = []
    for name, extreme in (
        ("hottest", np.maximum.reduceat(heat, starts)),
        ("coldest", np.minimum.reduceat(heat, starts)),
    ):
        suspect = np.logical_or.reduceat(drawn.suspect & (heat == np.repeat(extreme, groups)), starts)
        both.append(Trace(f"{name} {tail}", drawn.readings.at[starts], extreme, suspect))
    return both[0], both[1]


def _trace(drawn: RowPicture, name: str, chosen: NDArray[np.bool_]) -> Trace:
    return Trace(name, drawn.readings.at[chosen], drawn.readings.heat[chosen], drawn.suspect[chosen])


def thinned(x: NDArray[np.float64], heat: NDArray[np.int64], suspect: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Indices kept, in order: first, last, lowest, highest and suspect ones of each pixel column."""
    if not len(x):
        return np.zeros(0, dtype=np.int64)
    column = np.floor(x).astype(np.int64)
    starts = np.flatnonzero(np.diff(column, prepend=column[0] - 1))
    ends = np.append(starts[1:], len(x)) - 1
    order = np.lexsort((heat, column))
    return np.unique(np.concatenate((starts, ends, order[starts], order[ends], np.flatnonzero(suspect))))


class _Frame:
    """Pixels of moments and temperatures."""

    def __init__(
        self, drawn: RowPicture, drawn_traces: tuple[Trace, ...], width: float, height: float
    ) -> None:
        ends = [int(t.at[i]) for t in drawn_traces for i in (0, -1)]
        self.from_s, self.to_s = min(ends), max(ends)
        if self.to_s - self.from_s < DAY_S:
            self.from_s, self.to_s = self.from_s - DAY_S // 2, self.to_s + DAY_S // 2
        heats = [int(v) for t in drawn_traces for v in (t.heat.min(), t.heat.max())]
        heats += [limit.heat for limit in drawn.limits]
        self.low, self.high = min(heats) - 3 * NINTH, max(heats) + 3 * NINTH
        self.left, self.right, self.top, self.bottom = LEFT, width - RIGHT, 12.0, height

    def x(self, at: int) -> float:
        return self.left + (at - self.from_s) / (self.to_s - self.from_s) * (self.right - self.left)

    def xs(self, at: NDArray[np.int64]) -> NDArray[np.float64]:
        share: NDArray[np.float64] = (at - self.from_s) / (self.to_s - self.from_s)
        return self.left + share * (self.right - self.left)

    def y(self, heat: float) -> float:
        return self.bottom - (heat - self.low) / (self.high - self.low) * (self.bottom - self.top)


def temperature_curve(drawn: RowPicture, width: float = WIDTH, height: float = HEIGHT) -> str:
    """The curve as SVG text; the same input gives the same text."""
    lines = traces(drawn)
    if not lines:
        said = curve_words(drawn)
        return pen.picture(width, 40, "curve", said, [pen.words(0, 24, said)])
    frame = _Frame(drawn, lines, width, height)
    parts = _degrees(drawn, frame)
    beside: list[tuple[float, str]] = []
    for limit in drawn.limits:
        y = frame.y(limit.heat)
        parts.append(pen.line(frame.left, y, frame.right, y, 1.2, dotted=True))
        beside.append((y, limit.words))
    for trace in lines:
        parts.append(_ink(trace, frame))
        beside.append((frame.y(int(trace.heat[-1])), trace.name))
    parts += _notches(lines, frame)
    parts += _beside(beside, frame, width)
    below = _dates(drawn, frame, parts)
    below = _marks(drawn, frame, below, width, parts)
    return pen.picture(width, below + 4, "curve", curve_words(drawn), parts)


def _ink(trace: Trace, frame: _Frame) -> str:
    """The line in pieces; a reading alone is a dot."""
    x = frame.xs(trace.at)
    d, dots = [], []
    for piece in trace.pieces():
        kept = thinned(x[piece], trace.heat[piece], trace.suspect[piece]) + piece.start
        points = [(n(float(x[i])), n(frame.y(int(trace.heat[i])))) for i in kept.tolist()]
        if len(points) == 1:
            dots.append(f'<circle class="alone" cx="{points[0][0]}" cy="{points[0][1]}" r="2.2"/>')
        else:
            d.append("M" + "L".join([" ".join(points[0]), " ".join(" ".join(p) for p in points[1:])]))
    return (pen.path("".join(d), pen.INK, "trace") if d else "") + "".join(dots)


def _notches(lines: tuple[Trace, ...], frame: _Frame) -> list[str]:
    """A small open square about suspect readings, one where several fall on one place."""
    seen: set[tuple[int, int]] = set()
    parts = []
    for trace in lines:
        for i in np.flatnonzero(trace.suspect).tolist():
            x, y = frame.x(int(trace.at[i])), frame.y(int(trace.heat[i]))
            if (round(x / 7), round(y / 7)) in seen:
                continue
            seen.add((round(x / 7), round(y / 7)))
            parts.append(
                f'<rect class="suspect" x="{n(x - 3.5)}" y="{n(y - 3.5)}" width="7" height="7" fill="none" '
                'stroke="currentColor" stroke-width="1"/>'
            )
    return parts


def _degrees(drawn: RowPicture, frame: _Frame) -> list[str]:
    """Degrees up the side; no lines across."""
    span = (frame.high - frame.low) / NINTH
    scale = 1.8 if drawn.unit == "F" else 1.0
    step = next(s for s in (5, 10, 20, 50, 100, 1_000_000) if s / scale >= span / 8)
    zero = {"C": 0.0, "F": -160 / 9 * NINTH, "K": -273.15 * NINTH}[drawn.unit]
    size = NINTH / scale
    found = []
    value = int(np.ceil((frame.low - zero) / size / step)) * step
    while zero + value * size <= frame.high:
        sign = "" if drawn.unit == "K" else "°"
        found.append(
            pen.words(frame.left - 8, frame.y(zero + value * size) + 4, f"{value}{sign}", anchor="end")
        )
        value += step
    return found


def _beside(wanted: list[tuple[float, str]], frame: _Frame, width: float) -> list[str]:
    """Words at the right, each as near its line as the others let it; a hair leads to one moved."""
    parts, last = [], -1e9
    ordered = sorted(wanted)
    overflow = max(0.0, frame.top + 14.0 * len(ordered) - frame.bottom)
    for number, (y, said) in enumerate(ordered):
        latest = frame.bottom + overflow - 14 * (len(ordered) - 1 - number)
        place = max(min(y, latest), last + 14)
        last = place
        x = frame.right + 8
        if abs(place - y) > 3:
            parts.append(pen.line(frame.right + 1, y, x + 5, place))
            x += 8
        parts.append(pen.words(x, place + 4, pen.short(said, width - x)))
    return parts


def _dates(drawn: RowPicture, frame: _Frame, parts: list[str]) -> float:
    """Days along the foot, at the yard's own midnight."""
    first, last = day_of(frame.from_s, drawn.zone), day_of(frame.to_s, drawn.zone)
    a_day = (frame.right - frame.left) * DAY_S / (frame.to_s - frame.from_s)
    step = next(s for s in (1, 2, 7, 14, 28, 91, 182, 365, 3650, 10**6) if s * a_day >= 70)
    for day in range(first + 1, last + 1, step):
        x = frame.x(_midnight(day, drawn, frame))
        if frame.left <= x <= frame.right - 20:
            parts.append(pen.line(x, frame.bottom, x, frame.bottom + 5))
            parts.append(pen.words(x + 3, frame.bottom + 14, short_date(day)))
    parts.append(pen.line(frame.left, frame.bottom, frame.right, frame.bottom))
    return frame.bottom + 18


def _midnight(day: int, drawn: RowPicture, frame: _Frame) -> int:
    """The first moment of a yard's day [s]."""
    guess = moment(frame.from_s, drawn.zone)
    at = frame.from_s - (guess.hour * 3600 + guess.minute * 60 + guess.second)
    at += (day - guess.toordinal()) * DAY_S
    here = moment(at, drawn.zone)
    shift = here.hour * 3600 + here.minute * 60 + (here.toordinal() - day) * DAY_S
    return at - shift


def _marks(drawn: RowPicture, frame: _Frame, below: float, width: float, parts: list[str]) -> float:
    """Turns and waterings as upright hairs, their words in tiers beneath."""
    labels = []
    for mark in drawn.marks:
        if frame.from_s <= mark.at <= frame.to_s:
            x = frame.x(mark.at)
            parts.append(pen.line(x, frame.top, x, frame.bottom, 1.2))
            labels.append(Label(x, mark.words))
    deepest = -1
    for tier, x, said in pen.tiers(labels, 0, width):
        parts.append(pen.words(x, below + 12 + tier * 14, said, anchor="middle"))
        deepest = max(deepest, tier)
    return below + (deepest + 1) * 14 + 2


def curve_words(drawn: RowPicture) -> str:
    """The curve in one sentence."""
    lines = traces(drawn)
    if not lines:
        return f"Row {drawn.row}: no temperature has been read."
    gaps = max(len(trace.pieces()) - 1 for trace in lines)
    first, last = int(drawn.readings.day.min()), int(drawn.readings.day.max())
    heat = drawn.readings.heat
    said = (
        f"Row {drawn.row} from {long_date(first)} to {long_date(last)}: between "
        f"{drawn.exact(int(heat.min()))} and {drawn.exact(int(heat.max()))}, last "
        f"{drawn.exact(int(heat[-1]))}"
    )
    if gaps:
        said += f"; {gaps} gap{'' if gaps == 1 else 's'} left open"
    return said + "."


CURVE_HEAD = ("line drawn", "from", "to", "readings", "lowest", "highest", "suspect")


def curve_rows(drawn: RowPicture) -> list[tuple[str, ...]]:
    """What is drawn, under CURVE_HEAD: one line for each unbroken piece of each line."""
    rows: list[tuple[str, ...]] = []
    for trace in traces(drawn):
        for piece in trace.pieces():
            heat = trace.heat[piece]
            rows.append(
                (
                    trace.name,
                    _when(drawn, int(trace.at[piece][0])),
                    _when(drawn, int(trace.at[piece][-1])),
                    str(len(heat)),
                    drawn.exact(int(heat.min())),
                    drawn.exact(int(heat.max())),
                    str(int(trace.suspect[piece].sum())),
                )
            )
    return rows


def _when(drawn: RowPicture, at: int) -> str:
    return f"{moment(at, drawn.zone):%Y-%m-%d %H:%M}"
