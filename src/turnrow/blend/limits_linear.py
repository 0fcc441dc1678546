"""Every limit of a mix multiplied out, so that it is linear in what goes in.

What a load brings is written as five parts: volume [m3], mass, water, nitrogen, carbon [kg]. A limit is

    g = sum_i x_i r_i . b_i + w W <= 0

x_i loads (or tonnes) of i, b_i its parts, r_i the limit's rates on them, W water added [kg].
Source: recipe notes 1.8 (OWN algebra, from bc-handbook-1998 A1-A3 and richard-2004).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.air_space import WATER, filled_volume
from turnrow.blend.problem import Offer, Problem
from turnrow.blend.settled import base_term

PARTS = ("volume", "mass", "water", "nitrogen", "carbon")
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Limit:
    """One side of one target. rates (offers, 5); width: of its range, without one a tenth of the bound."""

    quantity: str  # moisture, cn, fas, fas_base, bulk_density
    side: str  # low, high
    bound: float
    rates: Floats
    water: float
    exact: bool = False
    width: float = 1.0

    @property
    def name(self) -> str:
        says = {
            "moisture": ("moisture", 100, " %"),
            "cn": ("C:N", 1, ""),
            "fas": ("air space", 100, " %"),
            "fas_base": ("air space at the base", 100, " %"),
            "bulk_density": ("bulk density", 1, " kg/m3"),
        }
        word, times, unit = says[self.quantity]
        how = "exactly" if self.exact else "at least" if self.side == "low" else "at most"
        return f"{word} {how} {self.bound * times:g}{unit}"


def limits(problem: Problem) -> tuple[Limit, ...]:
    """The limits of `problem.targets`; an exact target is one limit, met with equality."""
    n, targets, stay = len(problem.offers), problem.targets, 1 - problem.shrink
    found: list[Limit] = []

    def put(quantity: str, side: str, bound: float, rates: Floats, water: float, width: float) -> None:
        tenth = bound / 10
        found.append(Limit(quantity, side, bound, rates, water, width == 0, width or tenth))

    def every(**rates: float) -> Floats:
        return np.tile([rates.get(part, 0.0) for part in PARTS], (n, 1))

    if targets.moisture_wet:
        low, high = targets.moisture_wet
        put("moisture", "high", high, every(water=1.0, mass=-high), 1 - high, high - low)
        if low < high:
            put("moisture", "low", low, every(water=-1.0, mass=low), low - 1, high - low)
    if targets.cn:
        low, high = targets.cn
        put("cn", "high", high, every(carbon=1.0, nitrogen=-high), 0.0, high - low)
        if low < high:
            put("cn", "low", low, every(carbon=-1.0, nitrogen=low), 0.0, high - low)
    for quantity, least, height in (
        ("fas", targets.fas_min, 0.0),
        ("fas_base", targets.fas_base_min, targets.height_m),
    ):
        if least is None:
            continue
        solid = np.array([filled_volume(0.0, offer.what.om_dry) for offer in problem.offers])
        pressed = base_term(least, height)  # per kilogram of anything, water added too
        rates = every(volume=-(1 - least) * stay, water=1 / WATER)
        rates[:, 1] += solid + pressed
        rates[:, 2] -= solid
        put(quantity, "low", least, rates, 1 / WATER + pressed, least / 10)
    if targets.density_max is not None:
        most = targets.density_max
        put("bulk_density", "high", most, every(mass=1.0, volume=-most * stay), 1.0, most / 10)
    return tuple(found)


def parts(offer: Offer) -> Floats:
    """What one load brings (one tonne where any amount may be taken), on the means. Shape (5,)."""
    what, kg = offer.what, offer.unit_kg
    dry = kg * (1 - what.moisture_wet)
    volume = offer.load_m3 or (kg / what.density if what.density else 0.0)
    return np.array([volume, kg, kg * what.moisture_wet, dry * what.n_dry, dry * what.c_dry])


def coefficients(problem: Problem, found: tuple[Limit, ...]) -> Floats:
    """g per load of each offer, on the means. Shape (limits, offers)."""
    brought = np.array([parts(offer) for offer in problem.offers])
    return np.array([(limit.rates * brought).sum(axis=1) for limit in found]).reshape(
        len(found), len(brought)
    )
