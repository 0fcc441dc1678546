"""What holds a heap back, as bars with words: each as long as the share of its best, with its band."""

from turnrow.heap.held_back import HeldBack
from turnrow.records import pen
from turnrow.records.outlook_words import NAMES, Reader, part_rows
from turnrow.records.pen import n

BROWN = "#9a7440"
BAR, STEP, TOP = 15.0, 40.0, 22.0
BEST_C = 60.0  # about where they work best


def held_picture(held: HeldBack, width: float) -> str:
    """The bars as SVG text, the part that holds back most first."""
    rows = part_rows(held)
    left, right = (0.0, width - 4.0) if width < 400 else (110.0, width - 4.0)
    parts = [
        pen.words(left, 10, "not at all"),
        pen.words(right, 10, "at its best", anchor="end"),
    ]
    y = TOP
    step = STEP if left else STEP + 8.0
    for name, _, share in rows:
        if left:
            parts.append(pen.words(left - 10, y + 12, name, anchor="end"))
        else:
            parts.append(pen.words(0, y + 10, name, bold=True))
        parts += _bar(left, right, y if left else y + 15, share.p10, share.p50, share.p90)
        y += step
    parts.append(pen.line(left, TOP - 6, left, y - step + BAR + 18))
    return pen.picture(width, y + 2, "held", held_sentence(held), parts)


def _bar(left: float, right: float, y: float, low: float, middle: float, high: float) -> list[str]:
    """A bar to the middle, and a whisker over where 8 of 10 guesses lie."""

    def x(share: float) -> float:
        return left + share * (right - left)

    word = f"{10 * middle:.0f} of 10" if middle < 0.995 else "10 of 10"
    inside = x(middle) > left + 60
    box = f'x="{n(left)}" y="{n(y)}" height="{n(BAR)}"'
    frame = (
        f'<rect {box} width="{n(right - left)}" fill="none" stroke="currentColor" stroke-opacity="0.45" '
        f'stroke-width="{n(pen.HAIR)}"/>'
    )
    filled = f'<rect class="share" {box} width="{n(x(middle) - left)}" fill="{BROWN}" fill-opacity="0.45"/>'
    edge = pen.line(x(middle), y, x(middle), y + BAR, pen.INK)
    whisker = [
        pen.line(x(low), y + BAR + 4, x(high), y + BAR + 4, 1.2),
        pen.line(x(low), y + BAR + 1.5, x(low), y + BAR + 6.5, 1.2),
        pen.line(x(high), y + BAR + 1.5, x(high), y + BAR + 6.5, 1.2),
    ]
    said = pen.words(
        x(middle) - 5 if inside else x(middle) + 5, y + 11.5, word, anchor="end" if inside else "start"
    )
    return [frame, filled, edge, *whisker, said]


def held_sentence(held: HeldBack) -> str:
    """The picture in a sentence."""
    each = ", ".join(f"{name} {10 * share.p50:.0f} of 10" for name, _, share in part_rows(held))
    return f"How near its best each part is: {each}."


def held_words(held: HeldBack, row: str, reader: Reader) -> tuple[str, ...]:
    """What the row itself says of it."""
    core, oxygen = reader.heat(held.core_c.p50), f"{held.oxygen_pct.p50:.0f} %"
    working = round(10 * held.working.p50)
    tenths = ("less than a tenth", "a tenth")[working] if working < 2 else f"{working} tenths"
    said = [
        f"In the middle of row {row} it is about {core} now, {100 * held.moisture.p50:.0f} % is water, and "
        f"of the air in its pores {oxygen} is oxygen; outside it is 21 %.",
        f"Its microbes work at about {tenths} of what they could. What holds them "
        f"back most is {NAMES[held.least]}.",
    ]
    if held.least == "warmth":
        side = "too hot: they die of their own heat" if held.core_c.p50 > BEST_C + 5 else "too cool for them"
        said.append(f"It is {side}.")
    return tuple(said)
