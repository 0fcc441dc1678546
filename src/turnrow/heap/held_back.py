"""What holds a heap back just now: its water, air, pores, warmth, nitrogen, life and food, each as the share
of what would be if only that were at its best."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.ahead import band
from turnrow.heap.material import Floats
from turnrow.heap.outlook import Band
from turnrow.heap.report import moisture, oxygen_pct

PARTS = ("water", "air", "pores", "warmth", "nitrogen", "life", "food")


@dataclass(frozen=True)
class HeldBack:
    """parts     each of PARTS -> share of its best, 0..1 (food: of what could decay when it was built)
    oxygen_pct   in the pores of the core, % of the gas by volume
    core_c       °C; moisture: of the core, wet basis; working: share of its best at which it works in all
    """

    parts: Mapping[str, Band]
    oxygen_pct: Band
    core_c: Band
    moisture: Band
    working: Band

    @property
    def least(self) -> str:
        """The part that holds it back most."""
        return min(self.parts, key=lambda name: self.parts[name].p50)


def held_back(c: Floats) -> HeldBack:
    """Of states (GIVEN, n); each zone counts by the food that is left in it."""
    food = np.maximum(mat.food(c), 1e-9)
    weight = food / food.sum(axis=0)
    each = factors(c)
    shares = {name: (weight * value).sum(axis=0) for name, value in each.items()}
    shares["food"] = mat.food(c).sum(axis=0) * c[k.IVS]
    working = (weight * np.prod(np.stack(list(each.values())), axis=0)).sum(axis=0)
    return HeldBack(
        parts={name: band(np.clip(shares[name], 0.0, 1.0)) for name in PARTS},
        oxygen_pct=band(np.maximum(oxygen_pct(c)[3], 0.0)),
        core_c=band(mat.temperature(c)[3]),
        moisture=band(moisture(c)[3]),
        working=band(working),
    )


def factors(c: Floats) -> dict[str, Floats]:
    """Each factor of the rate (4, n), 0..1, as the kernel has them; together they multiply.

    Water and pores are Haug's logistic, oxygen a half-saturation, warmth the rate by temperature over its
    best, nitrogen what is at hand where too little of it is freed.
    """
    t, wet, air = mat.temperature(c), moisture(c), np.maximum(oxygen_pct(c), 0.0) / 100.0
    cold, hot = np.exp((c[k.TL] - t) * c[k.IWL]), np.exp((t - c[k.TH]) * c[k.IWH])
    freed = mat.zones(c, k.NO) / (0.5 * mat.food(c) + 1e-9)
    ammonium = mat.zones(c, k.NA)
    at_hand = ammonium / (ammonium + c[k.KTAN] * mat.dry_matter(c))
    return {
        "water": 1.0 / (1.0 + np.exp(-c[k.MCS] * (wet - c[k.MC50]))),
        "air": air / (air + c[k.KO2]),
        "pores": 1.0 / (1.0 + np.exp(-c[k.ES] * (mat.free_air(c) - c[k.E50]))),
        "warmth": c[k.FNORM] * np.exp(c[k.ALPHA] * (t - 60.0)) / (1.0 + cold + hot),
        "nitrogen": 1.0 - np.clip(1.0 - freed * c[k.IYN], 0.0, 1.0) * (1.0 - at_hand),
        "life": mat.zones(c, k.A),
    }
