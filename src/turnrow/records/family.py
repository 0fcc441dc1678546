"""A lot's family as a picture: loads to the left, what came of them to the right, lines for what went where.

Each thing is a name with what it held under it; a line between two says that one went into the other.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from turnrow.records import pen

COLUMN, ROW, TOP = 190.0, 46.0, 34.0  # px
ROOM = 140.0  # px of a name
MOST = 14  # things under one another; more of one kind that lie alike are said together
THIN, THICK = 0.9, 3.4


@dataclass(frozen=True)
class Member:
    """One thing. `key` names it among the links; `under` is what stands below its name."""

    key: str
    name: str
    under: str
    asked: bool = False


@dataclass(frozen=True)
class Link:
    """One thing went into another; share of the second that came of the first, None where nobody knows."""

    source: str
    target: str
    share: float | None


def family(members: Sequence[Member], links: Sequence[Link], summary: str) -> str:
    """SVG of the family, as wide as its generations; things without links stand first."""
    members, links = _gathered(members, links)
    column = _columns([one.key for one in members], links)
    layers: dict[int, list[Member]] = {}
    for one in members:
        layers.setdefault(column[one.key], []).append(one)
    place = _places(layers, links)
    tallest = max((len(layer) for layer in layers.values()), default=1)
    width, height = COLUMN * (max(layers, default=0) + 1), TOP + ROW * tallest
    wide = {one.key: _width(one) for one in members}
    parts = [_link(one, place, wide[one.source]) for one in links]
    parts += [piece for one in members for piece in _member(one, place[one.key])]
    return pen.picture(width, height, "family", summary, parts)


def _columns(keys: Iterable[str], links: Sequence[Link]) -> dict[str, int]:
    """Each thing one column after the last of what went into it."""
    column = dict.fromkeys(keys, 0)
    for _ in column:
        moved = False
        for one in links:
            if column[one.target] <= column[one.source]:
                column[one.target] = column[one.source] + 1
                moved = True
        if not moved:
            break
    return column


def _places(layers: dict[int, list[Member]], links: Sequence[Link]) -> dict[str, tuple[float, float]]:
    """Where each name begins: near the middle of what went into it."""
    place: dict[str, tuple[float, float]] = {}
    tallest = max((len(layer) for layer in layers.values()), default=1)
    for number in sorted(layers):
        layer = layers[number]

        def wish(one: Member) -> float:
            near = [
                place[link.source][1] for link in links if link.target == one.key and link.source in place
            ]
            return sum(near) / len(near) if near else 0.0

        if number:
            layer.sort(key=wish)
        above = (tallest - len(layer)) * ROW / 2
        for row, one in enumerate(layer):
            place[one.key] = (COLUMN * number + 6, TOP + above + ROW * row)
    return place


def _gathered(members: Sequence[Member], links: Sequence[Link]) -> tuple[list[Member], list[Link]]:
    """With many things that only went into one and the same, those said together as one."""
    if len(members) <= MOST:
        return list(members), list(links)
    going: dict[str, set[str]] = {one.key: set() for one in members}
    coming: dict[str, set[str]] = {one.key: set() for one in members}
    for link in links:
        going[link.source].add(link.target)
        coming[link.target].add(link.source)
    groups: dict[tuple[str, frozenset[str], frozenset[str]], list[Member]] = {}
    for one in members:
        kind = one.key.split(" ", 1)[0]
        groups.setdefault((kind, frozenset(going[one.key]), frozenset(coming[one.key])), []).append(one)
    kept: list[Member] = []
    stands: dict[str, str] = {}
    for (kind, _, _), group in groups.items():
        if len(group) <= 3 or any(one.asked for one in group):
            kept += group
            continue
        first = Member(group[0].key, f"{len(group)} {kind}s", f"{group[0].name} to {group[-1].name}")
        kept.append(first)
        stands |= {one.key: first.key for one in group}
    joined: dict[tuple[str, str], float | None] = {}
    for link in links:
        pair = (stands.get(link.source, link.source), stands.get(link.target, link.target))
        there = joined.get(pair, 0.0)
        joined[pair] = None if there is None or link.share is None else min(1.0, there + link.share)
    return kept, [Link(source, target, share) for (source, target), share in joined.items()]


def _member(one: Member, at: tuple[float, float]) -> list[str]:
    x, y = at
    drawn = [
        pen.words(x, y, pen.short(one.name, ROOM), bold=True),
        pen.words(x, y + 14, pen.short(one.under, ROOM)),
    ]
    if one.asked:
        width = pen.n(_width(one) + 10)
        drawn.append(pen.path(f"M{pen.n(x - 5)} {pen.n(y - 14)}h{width}v34h-{width}z", pen.INK))
    return drawn


def _width(one: Member) -> float:
    return max(pen.width_of(pen.short(text, ROOM)) for text in (one.name, one.under))


def _link(one: Link, place: dict[str, tuple[float, float]], wide: float) -> str:
    """A line from behind one name to before the other, as thick as the share; dotted: nobody knows it."""
    (x1, y1), (x2, y2) = place[one.source], place[one.target]
    x1, y1, x2, y2 = x1 + wide + 8, y1 + 2, x2 - 8, y2 + 2
    if one.share is None:
        return pen.line(x1, y1, x2, y2, dotted=True)
    bend = max(18.0, (x2 - x1) / 2)
    near, far = f"{pen.n(x1 + bend)} {pen.n(y1)}", f"{pen.n(x2 - bend)} {pen.n(y2)}"
    d = f"M{pen.n(x1)} {pen.n(y1)}C{near} {far} {pen.n(x2)} {pen.n(y2)}"
    return pen.path(d, THIN + (THICK - THIN) * one.share)
