"""A row measured too wet: how much dry material mends it, from what it was built of. Never a new recipe."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.blend.correct import Row, Window, built, corrective, measured
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import mix
from turnrow.blend.sampled import Lot
from turnrow.blend.table import from_table
from turnrow.foreman.desk import Desk
from turnrow.foreman.laid import lots_of
from turnrow.foreman.stock import on_hand
from turnrow.handbook.feedstocks import Feedstock, feedstocks
from turnrow.schedule.limits import Limits
from turnrow.yard.days import short_date
from turnrow.yard.entries import Measured, Merged, Turned, Watered
from turnrow.yard.history import Event, History
from turnrow.yard.numbers import MICRO

EARLY_DAYS = 21  # after building; later too much has rotted away for its recipe to say much (OWN)
DRY_STUFF = "straw"  # of the handbook, where nothing dry lies on hand


@dataclass(frozen=True)
class Correction:
    """One sentence or two, and the lines it rests on."""

    words: str
    lines: tuple[int, ...]


def correction(desk: Desk, row: str) -> Correction | None:
    """What would bring a row measured too wet into its window; None where it is not, or cannot be said.

    It can where every part of the row is known to the handbook, the row is young, nothing was pushed into
    it, and it was not turned or watered after the measurement. A row too dry has its watering job.
    """
    history = desk.diary.history(row)
    if history.built is None or history.of(Merged) or history.curing:
        return None
    event, what = history.built
    samples = _samples(history)
    lots = lots_of(what.parts)
    if not samples or not lots or samples[0][0].day - event.day > EARLY_DAYS:
        return None
    shares = [one.amount.value / (100 * MICRO) for _, one in samples]
    if not all(0 < share < 1 for share in shares):
        return None
    believed = _believed(lots)
    now = measured(believed, shares)
    limits = Limits(desk.settings())
    low, high = (float(limits.number(name)) / (100 * MICRO) for name in ("moisture_low", "moisture_high"))
    if now.made_of.moisture_wet <= high:
        return None
    stuff = _dry_stuff(desk, low)
    plan = corrective(now, Window((low, high), (0.0, float(limits.number("cn_high")) / MICRO)), stuff)
    read = sum(shares) / len(shares)
    words = (
        f"It was measured at {100 * read:.0f} % moisture on {short_date(samples[0][0].day)}, and what it was "
        f"built of says {100 * believed.made_of.moisture_wet:.0f} %: most likely it holds "
        f"{100 * now.made_of.moisture_wet:.0f} %, over the {100 * high:g} % it may have. "
        f"What would mend it at the next turn: {'; '.join(plan.words)}. "
        "By the handbook’s numbers; take another sample after it."
    )
    return Correction(words, (event.line.number, *(one.line.number for one, _ in samples)))


def _samples(history: History) -> list[tuple[Event, Measured]]:
    """Moistures of the newest day they were measured on, none of them before the last turn or watering."""
    found = [
        (event, what)
        for event, what in history.of(Measured)
        if what.quantity == "moisture" and what.amount.unit == "%"
    ]
    worked = max((event.at for kind in (Turned, Watered) for event, _ in history.of(kind)), default=0)
    newest = max((event.day for event, _ in found), default=0)
    same_day = [(event, what) for event, what in found if event.day == newest]
    return same_day if all(event.at > worked for event, _ in same_day) else []


def _believed(lots: Sequence[tuple[Lot, float]]) -> Row:
    """The row as it was built, as unsure of its water as its lots are."""
    recipe = mix([lot.ingredient for lot, _ in lots], [kg for _, kg in lots])
    sd = math.hypot(*(kg * lot.spread.moisture_wet for lot, kg in lots)) / recipe.mass_kg
    return built(recipe, sd)


def _dry_stuff(desk: Desk, low: float) -> Ingredient:
    """The driest pile on hand that the handbook knows; its straw where there is none."""
    known = [one.feedstock for one in on_hand(desk) if one.feedstock is not None and (one.tonnes or 0) > 0]
    dry = [what for one in known if (what := _made(one)) is not None and what.moisture_wet < low]
    return min(dry, key=lambda what: what.moisture_wet, default=from_table(feedstocks()[DRY_STUFF]))


def _made(feedstock: Feedstock) -> Ingredient | None:
    return None if feedstock.missing else from_table(feedstock)
