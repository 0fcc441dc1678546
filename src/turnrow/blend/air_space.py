"""Free air space (FAS): the share of a heap's volume that is air, from density, moisture and organic matter.

Solid densities [kg/m3] stand in the equations: organic matter 1600 by the phase sum, 1000 by Haug's
bound, mineral matter 2500 in both, water 1000. Known: MEMORY.
"""

WATER = 1000.0
PHASE_SUM = (1600.0, 2500.0)
HAUG = (1000.0, 2500.0)


def filled_volume(moisture_wet: float, om_dry: float, solids: tuple[float, float] = PHASE_SUM) -> float:
    """Volume of water and solids in a kilogram of wet mass [m3/kg].

        v = M/1000 + (1 - M)(OM/1600 + (1 - OM)/2500)     M wet basis, OM per dry mass

    `solids` are the densities of organic and of mineral matter [kg/m3].
    Source: richard-2004 (after van Ginkel et al. 1999); MEMORY.
    """
    organic, mineral = solids
    return moisture_wet / WATER + (1 - moisture_wet) * (om_dry / organic + (1 - om_dry) / mineral)


def air_space(
    density: float, moisture_wet: float, om_dry: float, solids: tuple[float, float] = PHASE_SUM
) -> float:
    """Free air space at a wet bulk density [kg/m3], a fraction of the heap's volume.

        FAS = 1 - rho v

    Below 0: the water given would not fit in the pores and runs off. With `HAUG` for `solids` it is
    the more conservative figure, 6-9 points lower for the usual mixes.
    Source: richard-2004 phase sum; haug-1993 for the bound; both MEMORY.
    """
    return 1 - density * filled_volume(moisture_wet, om_dry, solids)


def air_space_by_density(density: float) -> float:
    """Free air space from the wet bulk density [kg/m3] alone, to cross-check where no more is known.

        FAS = 1 - 0.0009 rho

    Source: agnew-leonard-2003, the slope recalled (MEMORY). Below 0 past 1111 kg/m3.
    """
    return 1 - 0.0009 * density


def air_space_of_pail(water_litres: float, pail_litres: float) -> float:
    """Free air space measured: the water a pail full of mix takes to its brim, over the pail's volume.

    It overrides every formula. ValueError: a pail without volume, or more water than pail.
    """
    if not (pail_litres > 0 and 0 <= water_litres <= pail_litres):
        raise ValueError(
            f"{water_litres} litres of water in a pail of {pail_litres}, want no more than the pail"
        )
    return water_litres / pail_litres
