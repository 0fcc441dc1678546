"""The true row's laws, none of them the heap's own. Forms with a source say so; other figures are ASSUMED."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
PRESSURE = 101325.0  # Pa
LATENT = 2.42e6  # J/kg of water
AIR_HEAT = 1006.0  # J/kgK
AIR = 1.2  # kg/m3
OXYGEN_HEAT = 14.0e6  # J/kg of oxygen; general oxycaloric value, MEMORY
OXYGEN = 0.2095  # of air, by volume
SOLID = 1550.0  # kg/m3


def saturated_pa(temp_c: Floats) -> Floats:
    """Vapour pressure over water [Pa]. Magnus form, constants of Sonntag 1990 (MEMORY)."""
    held = np.minimum(temp_c, 95.0)
    out: Floats = 611.2 * np.exp(17.62 * held / (243.12 + held))
    return out


def vapour(temp_c: Floats, moist: Floats | float) -> Floats:
    """kg of vapour in a kg of dry air at a relative humidity 0..1."""
    part = moist * saturated_pa(temp_c)
    return 0.622 * part / (PRESSURE - np.minimum(part, 0.9 * PRESSURE))


def lightness(temp_c: Floats, pa: Floats) -> Floats:
    """Density [kg/m3] of moist air with a vapour pressure [Pa]."""
    return (PRESSURE - 0.378 * pa) / (287.05 * (temp_c + 273.15))


def by_warmth(temp_c: Floats, over_c: Floats) -> Floats:
    """Rate against that at 20 °C: 1.066^(T-20) - 1.21^(T-over); Haug 1993 (MEMORY) has over = 60.

    A row's own `over_c` is lower: with 60 the rate peaks at 71.6 °C, above what most rows are seen to hold.
    """
    held = np.minimum(temp_c, 90.0)
    out: Floats = np.maximum(np.exp(0.06391 * (held - 20.0)) - np.exp(0.19062 * (held - over_c)), 0.0)
    return out


def by_water(ratio: Floats) -> Floats:
    """Rate by kg of water for a kg of dry matter; none under 20 % moisture, half near 42 %. ASSUMED."""
    part = np.maximum(ratio - 0.25, 0.0) / 0.55
    return 1.0 - np.exp(-part * part * part)


def spread_in_water(temp_c: Floats) -> Floats:
    """Diffusivity of oxygen in water [m2/s]: straight between READ values at 20 and 60 °C."""
    return np.maximum(1.97e-9 + 0.71e-10 * (temp_c - 20.0), 5e-10)


def dissolved(oxygen: Floats, temp_c: Floats) -> Floats:
    """Oxygen in water [kg/m3] under gas with a volume share of it; Henry's law, straight in temperature."""
    held = oxygen * (0.032 * PRESSURE / 8.314) / (np.maximum(temp_c, -30.0) + 273.15)
    return held * np.maximum(0.0335 - 0.00036 * (temp_c - 20.0), 0.018)


def reach(demand: Floats, film_m: Floats, temp_c: Floats) -> Floats:
    """How far oxygen gets into a wet film before it is used up, for each volume share of it in the gas.

    (depth over thickness)² with the depth √(2 D c / r) of steady diffusion into zero-order use.
    demand [kg/m3/s] of film; film_m its thickness
    """
    fed = 2.0 * spread_in_water(temp_c) * dissolved(np.ones_like(temp_c), temp_c)
    return fed / np.maximum(demand, 1e-12) / (film_m * film_m)


def reached(squared: Floats) -> Floats:
    """Share of the film that works, from (depth over thickness)²: even while it is shallow, never over 1."""
    out: Floats = np.sqrt(squared / (1.0 + squared))
    return out


def spreading(air: Floats, pores: Floats) -> Floats:
    """Effective share of free diffusion by air-filled and total pores: Millington and Quirk 1961 (MEMORY)."""
    return air ** (10 / 3) / pores**2
