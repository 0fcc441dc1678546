"""The pen both pictures are drawn with: SVG text from presentation attributes only.

No style attribute and no <style>, so a page's strict content policy holds; ink is `currentColor`,
so the page's own ink (and its dark mode) or the paper's black draws it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

INK = 1.8  # px, lines that carry data
HAIR = 0.8
SANS = "Atkinson Hyperlegible, sans-serif"
SMALL = 11.0  # px, the one size of text in pictures

_NARROW = set("iljIft.,:;'|!()[] -°·r1")
_WIDE = set("mwMW%@—")


def n(value: float) -> str:
    """A coordinate, to a tenth of a pixel."""
    text = f"{value:.1f}"
    text = text.removesuffix(".0")
    return "0" if text == "-0" else text


def clean(text: str) -> str:
    """`text` with what XML cannot hold (control characters) as a visible question mark."""
    kept = (
        c if c >= " " and not "\ud800" <= c <= "\udfff" and c not in "\ufffe\uffff" else "?" for c in text
    )
    return "".join(kept)


def width_of(text: str, size: float = SMALL) -> float:
    """Room to keep for `text` [px]; a little more than the sans needs, never less."""
    return size * sum(
        0.42 if c in _NARROW else 0.95 if c in _WIDE else 0.78 if c.isupper() or c in "&#+<=>~$^…" else 0.66
        for c in text
    )


def short(text: str, room: float, size: float = SMALL) -> str:
    """`text` cut with an ellipsis to fit `room` [px]."""
    if width_of(text, size) <= room:
        return text
    while text and width_of(text + "…", size) > room:
        text = text[:-1]
    return text + "…"


def words(x: float, y: float, text: str, *, anchor: str = "start", fill: str = "", bold: bool = False) -> str:
    parts = [f'<text x="{n(x)}" y="{n(y)}"']
    if anchor != "start":
        parts.append(f' text-anchor="{anchor}"')
    if fill:
        parts.append(f' fill="{fill}"')
    if bold:
        parts.append(' font-weight="700"')
    return "".join(parts) + f">{escape(clean(text))}</text>"


def line(x1: float, y1: float, x2: float, y2: float, width: float = HAIR, *, dotted: bool = False) -> str:
    dots = ' stroke-dasharray="1.5 3.5"' if dotted else ""
    return (
        f'<path d="M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}" fill="none" stroke="currentColor" '
        f'stroke-width="{n(width)}"{dots}/>'
    )


def path(d: str, width: float = HAIR, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return (
        f'<path{named} d="{d}" fill="none" stroke="currentColor" stroke-width="{n(width)}" '
        'stroke-linejoin="round" stroke-linecap="round"/>'
    )


def hatch(x: float, y: float, width: float, height: float, step: float = 6.0) -> str:
    """Slanted lines inside a box, for what was not read; drawn out, since a pattern needs a name."""
    parts = []
    along = step / 2
    while along < width + height:
        x1, y1 = (x + along, y) if along <= width else (x + width, y + along - width)
        x2, y2 = (x, y + along) if along <= height else (x + along - height, y + height)
        parts.append(f"M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}")
        along += step
    return (
        f'<path class="unread" d="{"".join(parts)}" fill="none" stroke="currentColor" '
        'stroke-opacity="0.55" stroke-width="0.7"/>'
    )


def picture(width: float, height: float, kind: str, summary: str, parts: Iterable[str]) -> str:
    """The whole SVG; `summary` is what a screen reader says in its place."""
    said = quoteattr(clean(summary))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {n(width)} {n(height)}" '
        f'class="picture {kind}" role="img" aria-label={said} font-family="{SANS}" '
        f'font-size="{n(SMALL)}" fill="currentColor">{"".join(parts)}</svg>'
    )


@dataclass(frozen=True)
class Label:
    """Words wanted at `x`, centred; `count` marks stand behind it."""

    x: float
    text: str
    count: int = 1

    @property
    def shown(self) -> str:
        return self.text if self.count == 1 else f"{self.text} ×{self.count}"


def tiers(labels: Iterable[Label], left: float, right: float) -> list[tuple[int, float, str]]:
    """Tier, place and text of each label so that none lie over one another within left..right.

    Neighbours with the same words that would touch are said once, with their number.
    """
    joined: list[Label] = []
    for label in sorted(labels, key=lambda each: each.x):
        last = joined[-1] if joined else None
        if last and last.text == label.text and _left(label) < _left(last) + width_of(last.shown) + 6:
            count = last.count + label.count
            joined[-1] = Label((last.x * last.count + label.x * label.count) / count, label.text, count)
        else:
            joined.append(label)
    ends: list[float] = []
    placed = []
    for label in joined:
        room = width_of(label.shown)
        start = min(max(_left(label), left), max(right - room, left))
        tier = next((i for i, end in enumerate(ends) if start >= end + 6), len(ends))
        if tier == len(ends):
            ends.append(0.0)
        ends[tier] = start + room
        placed.append((tier, start + room / 2, label.shown))
    return placed


def _left(label: Label) -> float:
    return label.x - width_of(label.shown) / 2
