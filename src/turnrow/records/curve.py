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
from turnrow.records.frame import Frame, beside, days_along, degrees_up
from turnrow.records.pen import Label, n
from turnrow.records.row_picture import RowPicture, long_date, station_words
from turnrow.yard.days import DAY_S, moment
from turnrow.yard.readings import Readings
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
    """The lines of a row's picture."""
    return traces_of(drawn.readings, drawn.suspect)


def traces_of(readings: Readings, suspect: NDArray[np.bool_]) -> tuple[Trace, ...]:
    """Coldest and hottest where several stations are read at one moment; otherwise each station."""
    if not len(readings):
        return ()
    heat = readings.heat
    if len(readings.stations) == 1:
        return (Trace(station_words(readings.stations[0]), readings.at, heat, suspect),)
    _, starts, count = np.unique(readings.at, return_index=True, return_counts=True)
    if float(np.median(count)) >= 2:
        return _extremes(readings, suspect, starts, "read")
    if len(readings.stations) <= EACH_AT_MOST:
        each = [(station_words(name), readings.station == i) for i, name in enumerate(readings.stations)]
        return tuple(Trace(name, readings.at[own], heat[own], suspect[own]) for name, own in each)
    hours = readings.at // 3600
    _, starts = np.unique(hours, return_index=True)
    return _extremes(readings, suspect, starts, "of the hour")


def _extremes(
    readings: Readings, doubted: NDArray[np.bool_], starts: NDArray[np.intp], tail: str
) -> tuple[Trace, Trace]:
    """Hottest and coldest of each group of readings that begins at `starts`; suspect where that one is."""
    heat, groups = readings.heat, np.diff(starts, append=len(readings))
    both = []
    for name, extreme in (
        ("hottest", np.maximum.reduceat(heat, starts)),
        ("coldest", np.minimum.reduceat(heat, starts)),
    ):
        suspect = np.logical_or.reduceat(doubted & (heat == np.repeat(extreme, groups)), starts)
        both.append(Trace(f"{name} {tail}", readings.at[starts], extreme, suspect))
    return both[0], both[1]


def thinned(x: NDArray[np.float64], heat: NDArray[np.int64], suspect: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Indices kept, in order: first, last, lowest, highest and suspect ones of each pixel column."""
    if not len(x):
        return np.zeros(0, dtype=np.int64)
    column = np.floor(x).astype(np.int64)
    starts = np.flatnonzero(np.diff(column, prepend=column[0] - 1))
    ends = np.append(starts[1:], len(x)) - 1
    order = np.lexsort((heat, column))
    return np.unique(np.concatenate((starts, ends, order[starts], order[ends], np.flatnonzero(suspect))))


def _frame(drawn: RowPicture, lines: tuple[Trace, ...], width: float, height: float) -> Frame:
    """Room for every line and limit; at least a day wide."""
    ends = [int(t.at[i]) for t in lines for i in (0, -1)]
    from_s, to_s = min(ends), max(ends)
    if to_s - from_s < DAY_S:
        from_s, to_s = from_s - DAY_S // 2, to_s + DAY_S // 2
    heats = [int(v) for t in lines for v in (t.heat.min(), t.heat.max())]
    heats += [limit.heat for limit in drawn.limits]
    low, high = min(heats) - 3 * NINTH, max(heats) + 3 * NINTH
    return Frame(from_s, to_s, low, high, LEFT, width - RIGHT, 12.0, height)


def temperature_curve(drawn: RowPicture, width: float = WIDTH, height: float = HEIGHT) -> str:
    """The curve as SVG text; the same input gives the same text."""
    lines = traces(drawn)
    if not lines:
        said = curve_words(drawn)
        return pen.picture(width, 40, "curve", said, [pen.words(0, 24, said)])
    frame = _frame(drawn, lines, width, height)
    parts = degrees_up(frame, drawn.unit)
    words_beside: list[tuple[float, str]] = []
    for limit in drawn.limits:
        y = frame.y(limit.heat)
        parts.append(pen.line(frame.left, y, frame.right, y, 1.2, dotted=True))
        words_beside.append((y, limit.words))
    for trace in lines:
        parts.append(ink(trace, frame))
        words_beside.append((frame.y(int(trace.heat[-1])), trace.name))
    parts += notches(lines, frame)
    parts += beside(words_beside, frame, width)
    parts += days_along(frame, drawn.zone)
    below = done_beneath(drawn, frame, frame.bottom + 18, width, parts)
    return pen.picture(width, below + 4, "curve", curve_words(drawn), parts)


def ink(trace: Trace, frame: Frame) -> str:
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


def notches(lines: tuple[Trace, ...], frame: Frame) -> list[str]:
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


def done_beneath(drawn: RowPicture, frame: Frame, below: float, width: float, parts: list[str]) -> float:
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
