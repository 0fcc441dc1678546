"""Water to add, and water that must go, for a wanted moisture. Dry mass is the same before and after."""


def water_to_add(mass_kg: float, moisture_wet: float, wanted_wet: float, kept: float = 1.0) -> float:
    """Water [kg] that raises `mass_kg` at a moisture to the wanted one; 0 when it is wet enough.

        W = Q (G - M)/(1 - G) / k        Q mass, M and G moisture, k the share that stays in the heap

    What runs off is a matter of judgement, so k is 1 unless the yard says otherwise.
    Source: a mass balance. ValueError: fractions outside 0 to below 1, k outside (0, 1].
    """
    _sound(mass_kg, moisture_wet, wanted_wet)
    if not 0 < kept <= 1:
        raise ValueError(f"share of water kept {kept}, want above 0 and at most 1")
    return max(0.0, mass_kg * (wanted_wet - moisture_wet) / (1 - wanted_wet) / kept)


def water_to_dry_off(mass_kg: float, moisture_wet: float, wanted_wet: float) -> float:
    """Water [kg] that must leave for the wanted moisture; 0 when it is dry enough.

    W = Q (M - G)/(1 - G)
    """
    _sound(mass_kg, moisture_wet, wanted_wet)
    return max(0.0, mass_kg * (moisture_wet - wanted_wet) / (1 - wanted_wet))


def mass_after_drying(mass_kg: float, moisture_wet: float, new_moisture_wet: float) -> float:
    """Mass [kg] of the same dry matter at another moisture: Q (1 - M)/(1 - G)."""
    _sound(mass_kg, moisture_wet, new_moisture_wet)
    return mass_kg * (1 - moisture_wet) / (1 - new_moisture_wet)


def moisture_ceiling(dry_density: float, om_dry: float, fas: float) -> float:
    """Highest moisture, wet basis, that leaves `fas` of the volume to air at a dry density [kg/m3].

        w = 1000 [(1 - f)/rho_d - (OM/1600 + (1 - OM)/2500)]        M = w/(1 + w)

    0 when even dry matter alone leaves less. Source: richard-2004 phase sum (MEMORY).
    """
    if not dry_density > 0:
        raise ValueError(f"dry density {dry_density} kg/m3, want above 0")
    per_dry = 1000 * ((1 - fas) / dry_density - (om_dry / 1600 + (1 - om_dry) / 2500))
    return max(0.0, per_dry / (1 + per_dry)) if per_dry > -1 else 0.0


def _sound(mass_kg: float, *moistures: float) -> None:
    if not mass_kg >= 0:
        raise ValueError(f"mass {mass_kg} kg, want 0 or more")
    for one in moistures:
        if not 0 <= one < 1:
            raise ValueError(f"moisture {one}, want a fraction from 0 to below 1")
