"""What people ask of a heap's state: temperature at a depth, moisture, oxygen, what is left."""

import numpy as np

from turnrow.heap import air
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.material import Floats


def thickness(c: Floats) -> Floats:
    """Depth [m] of the centre below the skin: twice the section over its arched outline."""
    a, base = mat.area(c), c[k.BASE]
    high = a / (0.6 * base)
    return np.asarray(2.0 * a / np.sqrt(base * base + 5.333 * high * high))


def height(c: Floats) -> Floats:
    """Height [m] of the section."""
    return np.asarray(mat.area(c) / (0.6 * c[k.BASE]))


def at_depth(c: Floats, depth_m: float, air_c: Floats) -> Floats:
    """Temperature (t,) [°C] that a probe shows `depth_m` below the skin: linear between the zones' middles.

    Below the core's middle it is the core's; at the skin it is taken half-way between shell and air.
    """
    t, deep = mat.temperature(c), thickness(c)
    skin = 0.5 * (t[0] + air_c)
    places = np.concatenate([np.zeros((1, len(deep))), np.multiply.outer(1.0 - mat.MIDDLE, deep)])
    values = np.concatenate([skin[None], t])
    shown = np.empty(len(deep))
    for n in range(len(deep)):
        shown[n] = np.interp(depth_m, places[:, n], values[:, n])
    return shown


def moisture(c: Floats) -> Floats:
    """Water per mass, wet basis (4, t)."""
    w = mat.zones(c, k.W)
    return np.asarray(w / (w + mat.dry_matter(c)))


def oxygen_pct(c: Floats) -> Floats:
    """Oxygen in the pores (4, t) [% of the moist gas by volume]."""
    share = np.maximum(mat.zones(c, k.OG), 0.0) / mat.gas_mass(c)
    water, dry = mat.zones(c, k.W), mat.dry_matter(c)
    vapour = water / (water + c[k.KAW] * dry) * air.saturation_pa(mat.temperature(c))
    return np.asarray(100.0 * 0.9053 * share * (1.0 - np.minimum(vapour / air.PRESSURE, 0.8)))


def carbon_nitrogen(c: Floats) -> Floats:
    """C:N (t,) of the whole heap; carbon is half of the organic matter."""
    carbon = 0.5 * (mat.food(c).sum(axis=0) + c[k.INERT_VS])
    nitrogen = sum(mat.zones(c, row).sum(axis=0) for row in (k.NO, k.NA, k.NN)) + c[k.INERT_N]
    return np.asarray(carbon / nitrogen)


def ice(c: Floats) -> Floats:
    """Share of the water that is ice (4, t)."""
    w = mat.zones(c, k.W)
    return np.asarray(np.clip(-mat.zones(c, k.E) / (k.LF * np.maximum(w, 1e-9)), 0.0, 1.0))
