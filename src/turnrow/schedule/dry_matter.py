"""How much dry matter is left in a row: from what was laid, by the handbook's moistures, less what decayed.

Water is given by dry matter left: the wet mass laid is far more than what a row weighs later.
"""

from dataclasses import dataclass
from math import exp

from turnrow.handbook.feedstocks import Feedstock, feedstocks, find
from turnrow.schedule.limits import Limits
from turnrow.schedule.seen import Seen
from turnrow.yard.entries import Merged, Part
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO
from turnrow.yard.stock import MASS, VOLUME

LAID_OFF = 0.15  # how far the dry matter laid may be off where nobody sampled it (OWN)
LOSS_SPREAD = 0.5  # one row loses so much more or less than another of the same age (OWN)


@dataclass(frozen=True)
class DryLeft:
    """Tonnes of dry matter left: the middle and an 80 % range; how it is known, and the line."""

    low: float
    middle: float
    high: float
    how: str
    line: int


def dry_left(seen: Seen, history: History, limits: Limits) -> DryLeft | None:
    """From what the row was built of; None where its parts are not all known in mass and moisture, or
    other rows were pushed into it."""
    if history.built is None or not history.built[1].parts or _received(history):
        return None
    laid = laid_dry_t(history.built[1].parts)
    if laid is None:
        return None
    age = max(seen.today - history.built[0].day, 0)
    usual = limits.number("dry_loss") / (100 * MICRO) * (1 - exp(-age / limits.days("dry_loss_days")))
    most = limits.number("decay_most") / (100 * MICRO)
    little, much = usual * (1 - LOSS_SPREAD), min(usual * (1 + LOSS_SPREAD), most)
    middle = laid * (1 - usual)
    return DryLeft(
        low=laid * (1 - much) * (1 - LAID_OFF),
        middle=middle,
        high=laid * (1 - little) * (1 + LAID_OFF),
        how=f"{middle:.3g} t of dry matter left of the {laid:.3g} t laid",
        line=history.built[0].line.number,
    )


def _received(history: History) -> bool:
    """Whether other rows were pushed into it, so that what it was built of is not all it holds."""
    return any(what.row == history.row for _, what in history.of(Merged))


def laid_dry_t(parts: tuple[Part, ...]) -> float | None:
    """Tonnes of dry matter in the parts by the handbook's moistures and densities; None where one of them
    is not in it."""
    table, total = feedstocks(), 0.0
    for part in parts:
        feedstock = find(part.material, table)
        tonnes = None if feedstock is None else _tonnes(part, feedstock)
        moisture = feedstock.figure("moisture") if feedstock else None
        if tonnes is None or moisture is None:
            return None
        total += tonnes * (1 - moisture.value / 100)
    return total


def _tonnes(part: Part, feedstock: Feedstock) -> float | None:
    much, unit = part.amount.value / MICRO, part.amount.unit
    if unit in MASS:
        return much * float(MASS[unit])
    density = feedstock.figure("density")
    if unit in VOLUME and density is not None:
        return much * float(VOLUME[unit]) * density.value / 1000
    return None
