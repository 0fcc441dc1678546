"""What a row was laid of, as the handbook knows it: lots, their masses, and how unsure the mix is."""

import math
from collections.abc import Sequence

from turnrow.blend.mixing import mix
from turnrow.blend.sampled import Lot, lot_of
from turnrow.handbook.feedstocks import feedstocks, find
from turnrow.heap.known import Blend, Told
from turnrow.yard.entries import Part
from turnrow.yard.numbers import MICRO
from turnrow.yard.stock import MASS, VOLUME

MIXED_DENSITY = 0.15  # of a mix's density: materials settle into one another (OWN)
ASH_SD = 0.05  # of the dry matter; the table has organic matter for few materials (OWN)


def lots_of(parts: Sequence[Part]) -> list[tuple[Lot, float]]:
    """Each part's lot by the handbook, and its mass [kg]; empty where one of them cannot be told."""
    table = feedstocks()
    found = []
    for part in parts:
        feedstock = find(part.material, table)
        if feedstock is None or feedstock.missing:
            return []
        lot = lot_of(feedstock, {})
        much, unit = part.amount.value / MICRO, part.amount.unit
        density = lot.ingredient.density
        if unit in MASS:
            found.append((lot, 1000 * much * MASS[unit]))
        elif unit in VOLUME and density is not None:
            found.append((lot, much * VOLUME[unit] * density))
        else:
            return []
    return found


def blend_of(lots: Sequence[tuple[Lot, float]]) -> Blend:
    """What the lots make together, each figure with its standard deviation (first order, lots apart)."""
    if not lots:
        return Blend()
    ingredients, masses = [lot.ingredient for lot, _ in lots], [kg for _, kg in lots]
    made = mix(ingredients, masses)
    moisture = math.hypot(*(kg * lot.spread.moisture_wet for lot, kg in lots)) / made.mass_kg
    dry = [kg * (1 - lot.ingredient.moisture_wet) for lot, kg in lots]
    nitrogen = math.hypot(*(kg * lot.spread.n_dry for (lot, _), kg in zip(lots, dry, strict=True)))
    carbon = math.hypot(*(kg * lot.spread.c_dry for (lot, _), kg in zip(lots, dry, strict=True)))
    cn = math.hypot(nitrogen / made.n_kg, carbon / made.c_kg) if made.n_kg > 0 else math.inf
    density = None
    if made.density is not None:
        spread = math.hypot(*(kg * _share(lot) for lot, kg in lots)) / made.mass_kg
        density = Told(made.density, made.density * math.hypot(spread, MIXED_DENSITY))
    return Blend(
        moisture=Told(made.moisture_wet, moisture),
        cn=Told(made.cn, made.cn * cn) if math.isfinite(made.cn * cn) else None,
        wet_density=density,
        ash=Told(1.0 - made.om_dry, ASH_SD),
    )


def _share(lot: Lot) -> float:
    """A lot's density spread as a share of its density."""
    return lot.spread.density / lot.ingredient.density if lot.ingredient.density else 0.0
