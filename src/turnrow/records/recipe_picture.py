"""The window of a recipe as a picture: C:N against moisture, likely outcomes, and what a load more does."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.cloud import DRAWS, Move, cloud, moves
from turnrow.records import pen
from turnrow.records.recipe_paper import RecipePaper
from turnrow.records.recipe_words import buckets, figure

WINDOW_HEAD = ("what", "moisture, %", "C:N")
MULTIPLES = (1, 2, 3, 5, 10, 20)
LONG = 64.0  # px: some arrow shall be at least so long
LEFT, RIGHT, TOP, BOTTOM = 38.0, 14.0, 30.0, 40.0
TIP, LINE = 7.0, 13.0  # px: of an arrow's head; of a line of text
SHARES = (5.0, 95.0)
SLIM = 500.0  # px: narrower sheets say the arrows shortly
Box = tuple[float, float, float, float]


@dataclass(frozen=True, eq=False)
class WindowPicture:
    """points (n, 2) and `mean`: moisture %, C:N; `more` by how many loads the arrows move the mix."""

    mean: tuple[float, float]
    points: NDArray[np.float64]
    moisture: tuple[float, float] | None
    cn: tuple[float, float] | None
    one: tuple[Move, ...]
    many: tuple[Move, ...]
    more: int

    @property
    def inside(self) -> float:
        """Share of the points within the window."""
        within = np.ones(len(self.points), dtype=bool)
        for column, limits in enumerate((self.moisture, self.cn)):
            if limits is not None:
                within &= (self.points[:, column] >= limits[0]) & (self.points[:, column] <= limits[1])
        return float(within.mean())


def window_picture(paper: RecipePaper) -> WindowPicture | None:
    """What is drawn; None without a plan, or where moisture or C:N cannot be said."""
    mix = paper.recipe.mix
    if mix is None or not paper.recipe.found or {"moisture", "cn"} & paper.unsaid or not mix.n_kg > 0:
        return None
    points = cloud(paper.problem, paper.recipe, paper.seed, DRAWS) * (100.0, 1.0)
    targets = paper.problem.targets
    wet = targets.moisture_wet
    moisture = None if wet is None else (100 * wet[0], 100 * wet[1])
    mean = (100 * mix.moisture_wet, mix.cn)
    one = moves(paper.problem, paper.recipe)
    made = WindowPicture(mean, points, moisture, targets.cn, one, one, 1)
    place = _Place(made, 720.0, 430.0)
    for more in MULTIPLES:
        many = moves(paper.problem, paper.recipe, more)
        if max(_length(place, mean, move) for move in many) >= LONG:
            break
    return WindowPicture(mean, points, moisture, targets.cn, one, many, more)


def window_words(drawn: WindowPicture) -> str:
    """The picture as a sentence or two."""
    spread = _between(drawn)
    said = (
        f"On the means the mix lies at {figure(drawn.mean[0])} % moisture and C:N {figure(drawn.mean[1])}; "
        f"nine of ten likely outcomes lie from {figure(spread[0][0])} to {figure(spread[0][1])} % and from "
        f"C:N {figure(spread[1][0])} to {figure(spread[1][1])}."
    )
    if drawn.moisture and drawn.cn:
        count = round(100 * drawn.inside)
        said += f" {count} of 100 points lie inside the window of both limits."
    return said


def window_rows(drawn: WindowPicture) -> list[tuple[str, str, str]]:
    """What is drawn, as a table."""
    spread = _between(drawn)
    rows = [("the mix on the means", f"{drawn.mean[0]:.1f}", f"{drawn.mean[1]:.1f}")]
    for place, word in enumerate(("low", "high")):
        wet = "" if drawn.moisture is None else f"{drawn.moisture[place]:g}"
        ratio = "" if drawn.cn is None else f"{drawn.cn[place]:g}"
        rows.append((f"limit, {word}", wet, ratio))
    for place, word in enumerate(("from", "to")):
        rows.append((f"nine of ten outcomes, {word}", f"{spread[0][place]:.1f}", f"{spread[1][place]:.1f}"))
    rows += [
        (f"{_more_of(move, 1)} more", f"{100 * move.moisture_wet:.2f}", f"{move.cn:.2f}")
        for move in drawn.one
    ]
    return rows


def _between(drawn: WindowPicture) -> tuple[tuple[float, float], tuple[float, float]]:
    """Between which moistures and which C:N nine of ten outcomes lie, each for itself."""
    low, high = np.percentile(drawn.points, SHARES, axis=0)
    return (float(low[0]), float(high[0])), (float(low[1]), float(high[1]))


def mix_window(drawn: WindowPicture, width: float = 720.0) -> str:
    """The picture as SVG, `width` px wide."""
    place = _Place(drawn, width, 430.0 if width > SLIM else 380.0)
    x, y = place.at(*drawn.mean)
    taken: list[Box] = [(x - 8, y - 8, x + 8, y + 8)]
    parts = [*_limits(place, drawn, taken), *_frame(place), _points(place, drawn)]
    labels = []
    tips = [(move, place.at(100 * move.moisture_wet, move.cn)) for move in drawn.many]
    taken += [box for _, tip in tips for box in _along((x, y), tip)]
    for move, (tx, ty) in sorted(tips, key=lambda pair: -hypot(pair[1][0] - x, pair[1][1] - y)):
        parts.append(_arrow(x, y, tx, ty))
        many = drawn.more
        said = (
            f"{_more_of(move, many)} more"
            if width > SLIM or not move.loads
            else f"{many} more of {move.name}"
        )
        labels.append(_label(place, said, (x, y), (tx, ty), taken))
    parts.append(
        f'<circle cx="{pen.n(x)}" cy="{pen.n(y)}" r="5.5" fill="none" stroke="currentColor" '
        f'stroke-width="{pen.n(pen.INK)}"/>'
    )
    labels.append(_label(place, "the mix", (x, y), (x, y), taken))
    return pen.picture(width, place.height, "window", window_words(drawn), [*parts, *labels])


class _Place:
    """Where a moisture and a C:N lie on the sheet."""

    def __init__(self, drawn: WindowPicture, width: float, height: float) -> None:
        self.width, self.height = width, height
        self.left, self.right = LEFT, width - RIGHT
        self.top, self.bottom = TOP, height - BOTTOM
        many = drawn.many
        self.x = _span(
            [drawn.mean[0], *(100 * m.moisture_wet for m in many)], drawn.points[:, 0], drawn.moisture
        )
        self.y = _span([drawn.mean[1], *(m.cn for m in many)], drawn.points[:, 1], drawn.cn)

    def at(self, moisture: float, cn: float) -> tuple[float, float]:
        across = (moisture - self.x[0]) / (self.x[1] - self.x[0])
        up = (cn - self.y[0]) / (self.y[1] - self.y[0])
        return self.left + across * (self.right - self.left), self.bottom - up * (self.bottom - self.top)


def _span(
    needed: Sequence[float], points: NDArray[np.float64], limits: tuple[float, float] | None
) -> tuple[float, float]:
    low, high = np.percentile(points, [1, 99])
    some = [*needed, low, high, *(limits or ())]
    room = max((max(some) - min(some)) * 0.06, 0.5)
    return min(some) - room, max(some) + room


def _length(place: _Place, mean: tuple[float, float], move: Move) -> float:
    (x, y), (tx, ty) = place.at(*mean), place.at(100 * move.moisture_wet, move.cn)
    return hypot(tx - x, ty - y)


def _limits(place: _Place, drawn: WindowPicture, taken: list[Box]) -> list[str]:
    """The window: a flat ground, dotted limits across the sheet with their words on them."""
    x = [place.left, place.right] if drawn.moisture is None else [place.at(m, 0)[0] for m in drawn.moisture]
    y = [place.bottom, place.top] if drawn.cn is None else [place.at(0, r)[1] for r in drawn.cn]
    parts = [
        f'<path class="ground" d="M{pen.n(x[0])} {pen.n(y[0])}H{pen.n(x[1])}V{pen.n(y[1])}H{pen.n(x[0])}Z" '
        'fill="currentColor" fill-opacity="0.08"/>'
    ]
    if drawn.moisture is not None:
        for at, limit, anchor, word in zip(
            x, drawn.moisture, ("start", "end"), ("or more", "or less"), strict=True
        ):
            parts.append(pen.line(at, place.top - 8, at, place.bottom, 1.2, dotted=True))
            parts.append(pen.words(at, place.top - 13, f"{limit:g} % {word}", anchor=anchor))
    if drawn.cn is not None:
        for at, limit, down, word in zip(y, drawn.cn, (-5, 13), ("or more", "or less"), strict=True):
            parts.append(pen.line(place.left, at, place.right, at, 1.2, dotted=True))
            text = f"C:N {limit:g} {word}"
            room = pen.width_of(text)
            starts = (place.right - room, (place.left if drawn.moisture is None else x[0]) + 5)
            boxes = [(x0, at + down - 10, x0 + room, at + down + 3) for x0 in starts]
            box = min(boxes, key=lambda one: _crowd(one, place, drawn))
            taken.append(box)
            right = box[0] == starts[0]
            parts.append(
                pen.words(box[2 if right else 0], at + down, text, anchor="end" if right else "start")
            )
    return parts


def _crowd(box: Box, place: _Place, drawn: WindowPicture) -> int:
    """How many of the points lie in a box."""
    at = (place.at(float(moisture), float(cn)) for moisture, cn in drawn.points)
    return sum(box[0] < px < box[2] and box[1] < py < box[3] for px, py in at)


def _frame(place: _Place) -> list[str]:
    parts = [
        pen.line(place.left, place.bottom, place.right, place.bottom),
        pen.line(place.left, place.top, place.left, place.bottom),
        pen.words(place.right, place.height - 6, "moisture, % of wet mass", anchor="end"),
        pen.words(2, place.top - 13, "C:N"),
    ]
    for value in _ticks(*place.x, place.right - place.left):
        at = place.at(value, 0)[0]
        parts += [
            pen.line(at, place.bottom, at, place.bottom + 4),
            pen.words(at, place.bottom + 16, f"{value:g}", anchor="middle"),
        ]
    for value in _ticks(*place.y, place.bottom - place.top):
        at = place.at(0, value)[1]
        parts += [
            pen.line(place.left - 4, at, place.left, at),
            pen.words(place.left - 7, at + 4, f"{value:g}", anchor="end"),
        ]
    return parts


def _ticks(low: float, high: float, room: float) -> list[float]:
    """Round numbers, at least 44 px apart."""
    step = next(s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000) if room * s / (high - low) >= 44)
    first = int(np.ceil(low / step))
    return [float(k * step) for k in range(first, int(np.floor(high / step)) + 1)]


def _points(place: _Place, drawn: WindowPicture) -> str:
    """Every outcome that lies on the sheet, as dots of one stroke."""
    d = []
    for moisture, cn in drawn.points:
        x, y = place.at(moisture, cn)
        if place.left < x < place.right and place.top < y < place.bottom:
            d.append(f"M{pen.n(x)} {pen.n(y)}h0")
    return (
        f'<path class="outcomes" d="{"".join(d)}" fill="none" stroke="currentColor" stroke-opacity="0.38" '
        'stroke-width="2.6" stroke-linecap="round"/>'
    )


def _arrow(x: float, y: float, tx: float, ty: float) -> str:
    far = hypot(tx - x, ty - y)
    if far < 3:
        return ""
    ux, uy = (tx - x) / far, (ty - y) / far
    head = min(TIP, far / 2)
    left = (tx - head * ux + head * 0.5 * uy, ty - head * uy - head * 0.5 * ux)
    right = (tx - head * ux - head * 0.5 * uy, ty - head * uy + head * 0.5 * ux)
    ends = [f"{pen.n(px)} {pen.n(py)}" for px, py in ((x, y), (tx, ty), left, right)]
    d = f"M{ends[0]}L{ends[1]}M{ends[2]}L{ends[1]}L{ends[3]}"
    return pen.path(d, pen.INK, "move")


def _label(
    place: _Place, text: str, base: tuple[float, float], tip: tuple[float, float], taken: list[Box]
) -> str:
    """`text` beside the tip, away from the mix, where no other label lies; further off where it must."""
    text = pen.short(text, place.right - place.left - 4)
    room = pen.width_of(text)
    beside = (tip[0] + 9, tip[0] - 9 - room)
    sides = beside if tip[0] >= base[0] else beside[::-1]
    anywhere = min(max(tip[0] - room / 2, place.left + 2), place.right - room)
    for step in range(20):
        for down in (0, 1, -1) if not step else (step, -step):
            y = tip[1] + 4 + down * LINE
            for start in (*sides, anywhere):
                box = (start, y - 10, start + room, y + 3)
                if _within(box, place) and not any(_over(box, other) for other in taken):
                    taken.append(box)
                    end = min(max(tip[0], start), start + room)
                    far = abs(down) > 1
                    near = y + 3 if down < 0 else y - 10
                    leader = pen.line(tip[0], tip[1], end, near, pen.HAIR) if far else ""
                    if start + room <= tip[0]:  # words end where the tip is, however short they come out
                        return leader + pen.words(start + room, y, text, anchor="end")
                    return leader + pen.words(start, y, text)
    return ""


def _within(box: Box, place: _Place) -> bool:
    across = box[0] >= place.left + 2 and box[2] <= place.right
    return across and place.top <= box[1] and box[3] <= place.bottom


def _along(start: tuple[float, float], end: tuple[float, float]) -> list[Box]:
    """An arrow as small boxes, so that no label lies on it."""
    steps = max(2, int(hypot(end[0] - start[0], end[1] - start[1]) / 8))
    at = [
        (start[0] + k / steps * (end[0] - start[0]), start[1] + k / steps * (end[1] - start[1]))
        for k in range(steps + 1)
    ]
    return [(px - 3, py - 3, px + 3, py + 3) for px, py in at]


def _over(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _more_of(move: Move, count: int) -> str:
    if move.loads:
        return f"{buckets(count)} of {move.name}"
    return f"{count} t of {move.name}"
