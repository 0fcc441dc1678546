"""The mixing laws: masses of water, dry matter, nitrogen and carbon add up; ratios are never averaged."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.blend.air_space import HAUG, air_space
from turnrow.blend.ingredient import Ingredient


@dataclass(frozen=True)
class Mix:
    """What so much of each ingredient makes. Fractions 0-1; `_wet` per total mass, `_dry` per dry mass.

    cn             carbon to nitrogen by mass; infinite without nitrogen
    volume_m3, density [kg/m3], fas, fas_conservative
                   as freshly mixed, before the heap presses on itself; None when an ingredient's
                   density is not known
    """

    mass_kg: float
    dry_kg: float
    n_kg: float
    c_kg: float
    moisture_wet: float
    n_dry: float
    c_dry: float
    om_dry: float
    cn: float
    volume_m3: float | None
    density: float | None
    fas: float | None
    fas_conservative: float | None


def mix(
    ingredients: Sequence[Ingredient], masses_kg: Sequence[float], water_kg: float = 0.0, shrink: float = 0.0
) -> Mix:
    """The mix of `masses_kg` [kg, as they lie] of the ingredients, and of water added.

        M = (sum q M_i + W) / (sum q + W)       R = sum q(1 - M_i) C_i / sum q(1 - M_i) N_i
        V = (1 - s) sum q / rho_i               rho = (sum q + W) / V

    q wet masses, R the C:N, s the share of the volume lost as fines fill the voids of the coarse
    parts (0: none; see `shrink.fit_shrink`). Water added fills pores and takes no room of its own
    (ASSUMED; it lowers the air space most). Masses may be given in any one unit: volume follows.
    Source: bc-handbook-1998 formulas A1-A3; cornell-1996 for the C:N by mass. ValueError: a negative
    mass, no dry matter, a density not above 0, a shrink outside 0-1.
    """
    _sound(ingredients, masses_kg, water_kg, shrink)
    parts = [(i, kg, kg * (1 - i.moisture_wet)) for i, kg in zip(ingredients, masses_kg, strict=True) if kg]
    mass = math.fsum((*(kg for _, kg, _ in parts), water_kg))
    dry = math.fsum(dry for _, _, dry in parts)
    if not dry > 0:
        raise ValueError(f"dry mass {dry} kg, want above 0")
    nitrogen = math.fsum(dry * i.n_dry for i, _, dry in parts)
    carbon = math.fsum(dry * i.c_dry for i, _, dry in parts)
    moisture = math.fsum((*(kg * i.moisture_wet for i, kg, _ in parts), water_kg)) / mass
    organic = math.fsum(dry * i.om_dry for i, _, dry in parts) / dry
    volume = _volume(parts, shrink)
    density = None if volume is None else mass / volume
    return Mix(
        mass_kg=mass,
        dry_kg=dry,
        n_kg=nitrogen,
        c_kg=carbon,
        moisture_wet=moisture,
        n_dry=nitrogen / dry,
        c_dry=carbon / dry,
        om_dry=organic,
        cn=carbon / nitrogen if nitrogen > 0 else math.inf,
        volume_m3=volume,
        density=density,
        fas=None if density is None else air_space(density, moisture, organic),
        fas_conservative=None if density is None else air_space(density, moisture, organic, HAUG),
    )


def _volume(parts: Sequence[tuple[Ingredient, float, float]], shrink: float) -> float | None:
    volumes = [kg / i.density for i, kg, _ in parts if i.density is not None]
    return (1 - shrink) * math.fsum(volumes) if len(volumes) == len(parts) else None


def _sound(
    ingredients: Sequence[Ingredient], masses_kg: Sequence[float], water_kg: float, shrink: float
) -> None:
    if len(ingredients) != len(masses_kg):
        raise ValueError(f"{len(masses_kg)} masses for {len(ingredients)} ingredients, want as many")
    for name, kg in (*zip((i.name for i in ingredients), masses_kg, strict=True), ("water", water_kg)):
        if not 0 <= kg < math.inf:
            raise ValueError(f"mass of {name} {kg} kg, want 0 or more")
    for one in ingredients:
        if one.density is not None and not one.density > 0:
            raise ValueError(f"density of {one.name} {one.density} kg/m3, want above 0")
    if not 0 <= shrink < 1:
        raise ValueError(f"shrink {shrink}, want 0 or more and below 1")
