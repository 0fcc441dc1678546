"""Orders with the day each can be kept and how surely, and what gets ripe in each month."""

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

import numpy as np

from turnrow.foreman.desk import Desk
from turnrow.foreman.in_stock import Density, densities, density_of, materials
from turnrow.foreman.sources import COMPOST, Sources, sources
from turnrow.handbook.figures import sales_figures
from turnrow.sales.book import OpenOrder, orders
from turnrow.sales.price import VOLUME, convert
from turnrow.sales.promise import DRAWS, Promise, Wanted, drawn, promises
from turnrow.sales.ripe import Month, by_month
from turnrow.yard import goods
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO

SEED = 5  # of the draws behind promises: the same diary and day, the same dates


@dataclass(frozen=True)
class Kept:
    """An open order with its promise.

    left_t  t still to go, sd_t of the density of what was ordered by volume; material: as what it leaves
    said    what the tonnes rest on; `why` says what keeps a date from being worked out
    """

    order: OpenOrder
    left_t: float | None
    promise: Promise | None
    why: str = ""
    sd_t: float = 0.0
    material: str = COMPOST
    said: str = ""


def together() -> float:
    """Correlation between rows, a share."""
    return sales_figures()["rows_together"].value / 100


def kept_orders(desk: Desk, now: datetime, found: Sources | None = None) -> tuple[Kept, ...]:
    """Open orders, the one wanted first served first, with the day each can be kept and how surely."""
    measured, today = densities(desk, now), now.astimezone(desk.zone).date()
    kinds = materials(desk)
    usual = {kind: density_of(desk, kind, measured) for kind in {*kinds.values(), *_asked(desk).values()}}
    taken = measured | {
        lot: Fraction(one.middle).limit_denominator(MICRO)
        for lot, kind in kinds.items()
        if lot not in measured and (one := usual.get(kind)) is not None
    }
    open_ones = [one for one in orders(desk.diary, taken) if not one.done]
    open_ones.sort(key=lambda one: (_day_of(one) or today.max, one.line))
    found = found or sources(desk, now)
    made = [_tonnes(desk, one, usual) for one in open_ones]
    sure: dict[str, Promise] = {}
    for kind in dict.fromkeys(one.material for one in made if one.left_t is not None):
        wanted = [
            Wanted(
                one.order.order.order, one.left_t, None if (day := _day_of(one.order)) is None
                else float((day - today).days), one.sd_t,
            )
            for one in made
            if one.left_t is not None and one.material == kind
        ]  # fmt: skip
        rng = np.random.default_rng(SEED)
        each = promises(wanted, found.coming.get(kind, ()), rng, together=together())
        sure |= {one.name: one for one in each}
    return tuple(
        Kept(
            one.order, one.left_t, sure.get(one.order.order.order), one.why, one.sd_t, one.material, one.said
        )
        for one in made
    )


def _day_of(one: OpenOrder) -> date | None:
    return one.order.promised or one.order.wanted


def _asked(desk: Desk) -> dict[str, str]:
    """Material by product, those no longer sold too."""
    return {what.product: what.material for _, what in desk.diary.all_events(goods.ProductNamed)}


def _tonnes(desk: Desk, one: OpenOrder, usual: dict[str, Density | None]) -> Kept:
    """What is left of an order in tonnes, or why that cannot be said."""
    if one.left is None:
        return Kept(one, None, None, one.why)
    named = [
        what for _, what in desk.diary.all_events(goods.ProductNamed) if what.product == one.order.product
    ]
    material = named[-1].material if named else COMPOST
    bag = named[-1].bag if named else None
    density = usual.get(material)
    left = Amount(int(one.left * MICRO), one.order.amount.unit)
    middle = None if density is None else Fraction(density.middle).limit_denominator(MICRO)
    try:
        tonnes = float(convert(left, "t", density=middle, bag=bag))
    except ValueError as wrong:
        return Kept(one, None, None, f"{str(wrong).capitalize()}: measure a lot’s bulk density first.")
    by_volume = left.unit in VOLUME or (left.unit == "bag" and bag is not None and bag.unit in VOLUME)
    if density is None or not by_volume:
        return Kept(one, tonnes, None, material=material)
    said = f"At {density.middle:.0f} kg/m3, give or take {density.sd:.0f} ({density.words})."
    sd = tonnes * density.sd / density.middle
    return Kept(one, tonnes, None, sd_t=sd, material=material, said=said)


def ripe_months(desk: Desk, now: datetime, found: Sources | None = None) -> tuple[Month, ...]:
    """By calendar month, compost that gets ripe in rows and what may leave of it, with its range."""
    found = found or sources(desk, now)
    today = now.astimezone(desk.zone).date()
    rows = [one for one in found.coming.get(COMPOST, ()) if one.ready_day is not None]
    if not rows:
        return ()
    return by_month(drawn(rows, np.random.default_rng(SEED), DRAWS, together()), today)
