"""What was read and what is expected, in one picture: readings to the left of now, the outlook's fan to
the right.

Two flat bands, paper-brown, and the middle line: the chance of the inner one is 8 in 10, of both 9 in 10. The
bands have edges of their own, so that the picture can be read without its colour.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.outlook import Outlook
from turnrow.records import pen
from turnrow.records.curve import Trace, done_beneath, ink, notches, traces_of
from turnrow.records.frame import Frame, beside, days_along, degrees_up
from turnrow.records.pen import n
from turnrow.records.row_picture import RowPicture
from turnrow.yard.days import DAY_S, HOUR_S, moment
from turnrow.yard.readings import NO_DEPTH
from turnrow.yard.temperature import NINTH, from_ninths

WIDE, NARROW = 760.0, 284.0
BACK_DAYS = {WIDE: 10, NARROW: 5}
BROWN = "#9a7440"
NEAR_CM = 5.0  # readings so near the depth drawn stand beside its fan; those of no depth always
SAME_ROUND_S = 3 * HOUR_S
STEP_PX, SMOOTH_H = 3.0, 9
EXPLAINED = (
    "The chance that a probe will read within the inner band is 8 in 10, within both bands together 9 in 10; "
    "over the middle line is as likely as under it. Their width is what is not known: the heap, the weather "
    "to come, the probe."
)


@dataclass(frozen=True, eq=False)
class Drawn:
    """A row's picture with an outlook; `outlook` None where only what was read is to be shown."""

    picture: RowPicture
    outlook: Outlook | None
    depth_cm: float
    now_s: int

    @property
    def fan(self) -> NDArray[np.float64]:
        """(H, 5) °C of the depth drawn, at the outlook's quantiles; none without an outlook."""
        if self.outlook is None:
            return np.zeros((0, 5))
        return np.asarray(self.outlook.fan[:, place_of(self.outlook, self.depth_cm), :])

    @property
    def at(self) -> NDArray[np.int64]:
        """(H,) moments of the fan [s]."""
        if self.outlook is None:
            return np.zeros(0, dtype=np.int64)
        return self.outlook.at_s + np.rint(self.outlook.hours * HOUR_S).astype(np.int64)

    def lines(self, back_days: int) -> tuple[Trace, ...]:
        """What was read near the depth in the days before now, by station or as coldest and hottest."""
        readings = self.picture.readings
        near = (readings.depth == NO_DEPTH) | (np.abs(readings.depth / 10 - self.depth_cm) <= NEAR_CM)
        since = (readings.at >= self.now_s - back_days * DAY_S) & (readings.at <= self.now_s)
        chosen = near & since
        return traces_of(readings.pick(chosen), self.picture.suspect[chosen])


def place_of(outlook: Outlook, depth_cm: float) -> int:
    """Index of the outlook's depth nearest to one."""
    return int(np.argmin(np.abs(outlook.depths_cm - depth_cm)))


def fan_picture(drawn: Drawn, width: float = WIDE, height: float = 280.0) -> str:
    """The picture as SVG text; the same input gives the same text."""
    narrow = width < 500
    back = BACK_DAYS[NARROW if narrow else WIDE]
    lines = drawn.lines(back)
    if not lines and drawn.outlook is None:
        said = fan_words(drawn)
        return pen.picture(width, 40, "fan", said, [pen.words(0, 24, said)])
    frame = _frame(drawn, lines, back, width, height, narrow)
    parts = [*_bands(drawn, frame), *degrees_up(frame, drawn.picture.unit)]
    limits = [(frame.y(limit.heat), limit.words) for limit in drawn.picture.limits]
    parts += [pen.line(frame.left, y, frame.right, y, 1.2, dotted=True) for y, _ in limits]
    parts += [ink(trace, frame) for trace in lines] + notches(lines, frame)
    x = frame.x(drawn.now_s)
    down = -8 if narrow else 8  # narrow: clear of the limits' words
    parts += [
        pen.line(x, frame.top, x, frame.bottom, 1.2),
        pen.words(x + 4, frame.top + down, "now", bold=True),
    ]
    if narrow:  # no room beside it: each limit's words stand on its line
        parts += [_upon(frame, y, words) for y, words in limits]
    else:
        parts += beside([*limits, *_said(drawn, frame)], frame, width)
    parts += days_along(frame, drawn.picture.zone, 62.0 if narrow else 70.0)
    past = replace(drawn.picture, marks=tuple(m for m in drawn.picture.marks if m.at <= drawn.now_s))
    below = done_beneath(past, frame, frame.bottom + 18, width, parts)
    return pen.picture(width, below + 4, "fan", fan_words(drawn), parts)


def _frame(
    drawn: Drawn, lines: tuple[Trace, ...], back: int, width: float, height: float, narrow: bool
) -> Frame:
    heats = [float(v) for t in lines for v in (t.heat.min(), t.heat.max())]
    heats += [float(limit.heat) for limit in drawn.picture.limits]
    if drawn.outlook is not None:
        heats += [float(drawn.fan.min()) * NINTH, float(drawn.fan.max()) * NINTH]
    to_s = int(drawn.at[-1]) if drawn.outlook is not None else drawn.now_s + DAY_S
    left, right = (34.0, 6.0) if narrow else (46.0, 190.0)
    low, high = min(heats) - 3 * NINTH, max(heats) + 3 * NINTH
    return Frame(
        drawn.now_s - back * DAY_S, to_s, low, high, left, width - right, 24.0 if narrow else 12.0, height
    )


def _bands(drawn: Drawn, frame: Frame) -> list[str]:
    """Both bands with their edges, and the middle line."""
    if drawn.outlook is None:
        return []
    a_step = (frame.right - frame.left) / (frame.to_s - frame.from_s) * HOUR_S
    every = max(int(STEP_PX / a_step), 1)
    kept = np.unique(np.append(np.arange(0, len(drawn.at), every), len(drawn.at) - 1))
    x, heat = frame.xs(drawn.at[kept]), _smooth(drawn.fan)[kept] * NINTH

    def along(column: int) -> list[str]:
        return [f"{n(float(a))} {n(frame.y(float(b)))}" for a, b in zip(x, heat[:, column], strict=True)]

    parts = []
    for low, high, kind in ((0, 4, "band outer"), (1, 3, "band inner")):
        round_about = "L".join([*along(high), *along(low)[::-1]])
        parts.append(f'<path class="{kind}" d="M{round_about}Z" fill="{BROWN}" fill-opacity="0.3"/>')
    for column, dashes in ((0, "5 4"), (4, "5 4"), (1, ""), (3, "")):
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        parts.append(
            f'<path class="edge" d="M{"L".join(along(column))}" fill="none" stroke="currentColor" '
            f'stroke-opacity="0.7" stroke-width="{n(pen.HAIR)}"{dashed}/>'
        )
    return [*parts, pen.path(f"M{'L'.join(along(2))}", pen.INK, "middle")]


def _upon(frame: Frame, y: float, words: str) -> str:
    """Words upon a line, kept clear of what is drawn under them by the page's own ground."""
    text = pen.words(frame.left + 3, y - 4, pen.short(words, frame.right - frame.left - 6))
    return text.replace("<text ", '<text class="upon" ', 1)


def _smooth(fan: NDArray[np.float64]) -> NDArray[np.float64]:
    """A running mean of a few hours: from hour to hour the quantiles of so many courses jitter."""
    hours = np.ones(SMOOTH_H)
    held = np.convolve(np.ones(len(fan)), hours, "same")
    return np.stack([np.convolve(column, hours, "same") / held for column in fan.T], axis=1)


def _said(drawn: Drawn, frame: Frame) -> list[tuple[float, str]]:
    """What the bands' ends are called, beside them."""
    if drawn.outlook is None:
        return []
    last = drawn.fan[-1] * NINTH
    named = ((2, "the middle"), (3, "8 of 10 within"), (4, "9 of 10 within"))
    return [(frame.y(float(last[column])), words) for column, words in named]


def fan_words(drawn: Drawn) -> str:
    """The picture in a sentence or two."""
    row, deep = drawn.picture.row, f"{drawn.depth_cm:g} cm deep"
    lines = drawn.lines(BACK_DAYS[WIDE])
    read = f"Row {row}, {deep}"
    if lines:
        newest = max(int(one.at[-1]) for one in lines)
        heats = sorted({int(one.heat[-1]) for one in lines if one.at[-1] > newest - SAME_ROUND_S})
        ends = [drawn.picture.exact(heat) for heat in heats[:: len(heats) - 1 or 1]]
        read += f": {' to '.join(ends)} when last read"
    if drawn.outlook is None:
        return f"{read}." if lines else f"Row {row}: nothing was read {deep} in the last days."
    ahead = []
    for day, words in ((1, "tomorrow at this hour"), (3, "in three days"), (7, "in a week")):
        at = np.searchsorted(drawn.outlook.hours, 24.0 * day)
        if at < len(drawn.fan):
            p10, p50, p90 = (_whole(drawn, value) for value in drawn.fan[at, 1:4])
            ahead.append(f"{words} about {p50} (8 of 10 from {p10} to {p90})")
    return f"{read}. Expected, if nothing is done to it: {', '.join(ahead)}."


def _whole(drawn: Drawn, celsius: float) -> str:
    """In whole degrees of the person's unit: a forecast is no finer."""
    return from_ninths(round(celsius * NINTH), drawn.picture.unit, 0)


FAN_HEAD = ("moment", "9 of 10 from", "8 of 10 from", "middle", "8 of 10 to", "9 of 10 to")


def fan_rows(drawn: Drawn) -> list[tuple[str, ...]]:
    """What the fan says, under FAN_HEAD: one line a day, at the hour of the outlook."""
    if drawn.outlook is None:
        return []
    daily = np.flatnonzero(np.mod(drawn.outlook.hours, 24.0) == 0)
    return [
        (
            f"{moment(int(drawn.at[i]), drawn.picture.zone):%Y-%m-%d %H:%M}",
            *(from_ninths(round(float(v) * NINTH), drawn.picture.unit, 1) for v in drawn.fan[i]),
        )
        for i in daily.tolist()
    ]
