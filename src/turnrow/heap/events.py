"""What people do to a heap: each takes columns (GIVEN, n) and gives new ones, and what crossed the border.

Dry matter, nitrogen, water, oxygen and energy are kept to rounding: whatever a column lacks after an event
stands in the `Crossing`. Per metre of heap throughout.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.material import Floats

EXTENSIVE = (k.E, k.W, k.S1, k.S2, k.SX, k.NO, k.NA, k.NN, k.MI, k.OG)
WHOLE = (k.INERT_N, k.INERT_VS)


@dataclass(frozen=True, eq=False)
class Crossing:
    """What came into the heap in an event (negative: left it), per metre: (n,) each [kg, J]."""

    dry: Floats
    water: Floats
    nitrogen: Floats
    oxygen: Floats
    energy: Floats


def stores(c: Floats) -> Crossing:
    """What a heap holds, in the same five kinds; all of its nitrogen, decaying or not."""
    nitrogen = mat.zones(c, k.NO) + mat.zones(c, k.NA) + mat.zones(c, k.NN)
    return Crossing(
        dry=mat.dry_matter(c).sum(axis=0),
        water=mat.zones(c, k.W).sum(axis=0),
        nitrogen=nitrogen.sum(axis=0) + c[k.INERT_N],
        oxygen=mat.zones(c, k.OG).sum(axis=0),
        energy=mat.zones(c, k.E).sum(axis=0),
    )


def turn(c: Floats, air_c: float, p: Mapping[str, Floats | float]) -> tuple[Floats, Crossing]:
    """Move the whole heap through a machine: it steams, is mixed, loosened, aired and set up anew.

    air_c [°C]; p the parameters mix_turn, cool_turn, vapour_turn, ammonia_turn, open_turn, open_slow,
    loosen_turn and overburden, floats or (n,).
    """
    new = c.copy()
    t, water = mat.temperature(c), mat.zones(c, k.W)
    capacity = c[k.CS] * mat.dry_matter(c) + k.CW * water
    heat = p["cool_turn"] * capacity * np.maximum(t - max(air_c, 0.0), 0.0)
    steam = np.minimum(p["vapour_turn"] * heat / (k.LV + k.CV * t), 0.5 * water)
    lost_n, opened = p["ammonia_turn"] * mat.zones(c, k.NA), p["open_turn"] * mat.zones(c, k.SX)
    frayed = p["open_slow"] * mat.zones(c, k.S2)
    new[k.E : k.E + 4] -= heat
    new[k.W : k.W + 4] -= steam
    new[k.NA : k.NA + 4] -= lost_n
    new[k.SX : k.SX + 4] -= opened
    new[k.S2 : k.S2 + 4] -= frayed
    new[k.S1 : k.S1 + 4] += opened + frayed
    mixed = _mix(new, np.asarray(p["mix_turn"]), p["overburden"])
    mixed[k.CO] *= 1.0 - p["loosen_turn"]
    mixed[k.BASE] = np.sqrt(mat.area(mixed) / (0.6 * mixed[k.STEEPNESS]))
    return _aired(mixed), _aired_crossing(c, _aired(mixed), water=-steam, nitrogen=-lost_n, energy=-heat)


def water(c: Floats, kg: float, water_c: float, *, shell_only: bool = False) -> tuple[Floats, Crossing]:
    """Add `kg` of water per metre at `water_c` [°C, at least 0], to all zones or to the shell."""
    if kg < 0 or water_c < 0:
        raise ValueError(f"water {kg} kg at {water_c} °C, want neither below 0")
    new = c.copy()
    share = np.array([1.0, 0.0, 0.0, 0.0]) if shell_only else mat.SHARE / mat.SHARE.sum()
    new[k.W : k.W + 4] += (share * kg)[:, None]
    new[k.E : k.E + 4] += (share * kg * k.CW * water_c)[:, None]
    none = np.zeros(c.shape[1])
    return new, Crossing(none, none + kg, none, none, none + kg * k.CW * water_c)


def cover(c: Floats, on: bool) -> Floats:
    """Lay a fleece over the heap, or take it off: rain, sun and sky kept out, film and draught less."""
    new = c.copy()
    new[k.COVER] = float(on)
    return new


def merge(a: Floats, b: Floats, length_a: float, length_b: float, length: float) -> Floats:
    """Two heaps set up as one of `length` [m], built like `a`, mixed zone by zone; lengths weigh them."""
    if min(length_a, length_b, length) <= 0:
        raise ValueError(f"lengths {length_a}, {length_b} and {length} m, want all above 0")
    fa, fb = length_a / length, length_b / length
    new = a.copy()
    dry_a, dry_b = mat.dry_matter(a) * fa, mat.dry_matter(b) * fb
    for row in EXTENSIVE:
        new[row : row + 4] = fa * a[row : row + 4] + fb * b[row : row + 4]
    for one in WHOLE:
        new[one] = fa * a[one] + fb * b[one]
    weight_a = dry_a.sum(axis=0) / (dry_a + dry_b).sum(axis=0)
    new[k.IVS] = 1.0 / (fa / a[k.IVS] + fb / b[k.IVS])
    new[k.A : k.A + 4] = (a[k.A : k.A + 4] * dry_a + b[k.A : k.A + 4] * dry_b) / (dry_a + dry_b)
    new[k.GF] = fa * a[k.GF] + fb * b[k.GF]
    for mean in (k.RF, k.CO, k.CS):
        new[mean] = weight_a * a[mean] + (1.0 - weight_a) * b[mean]
    held = sum(mat.zones(x, k.E) * f for x, f in ((a, fa), (b, fb)))
    new[k.E : k.E + 4] = held
    new[k.BASE] = np.sqrt(mat.area(new) / (0.6 * new[k.STEEPNESS]))
    return new


def split(c: Floats, share: float) -> tuple[Floats, Floats]:
    """Take `share` of the section away, 0..1: what is taken, and what stays."""
    if not 0.0 < share < 1.0:
        raise ValueError(f"share {share}, want between 0 and 1")
    return _part(c, share, share), _part(c, 1.0 - share, 1.0 - share)


def screen(c: Floats, food: float, inert: float) -> tuple[Floats, Floats]:
    """What passes a screen, and the overs: shares of decaying and of other matter that pass, 0..1.

    Water, energy and gas go with the dry matter; nitrogen in matter goes with it, dissolved with the water.
    """
    if not (0.0 < food < 1.0 and 0.0 < inert < 1.0):
        raise ValueError(f"shares {food} and {inert}, want both between 0 and 1")
    return _part(c, food, inert), _part(c, 1.0 - food, 1.0 - inert)


def _part(c: Floats, food: float, inert: float) -> Floats:
    """`food` of the decaying and `inert` of the other matter, with what goes with them."""
    new = c.copy()
    for row in (k.S1, k.S2, k.SX, k.NO):
        new[row : row + 4] *= food
    new[k.MI : k.MI + 4] *= inert
    for one in WHOLE:
        new[one] *= inert
    dry = mat.dry_matter(new) / mat.dry_matter(c)
    for row in (k.E, k.W, k.NA, k.NN, k.OG):
        new[row : row + 4] *= dry
    new[k.IVS] = c[k.IVS] / food
    new[k.GF] *= dry.mean(axis=0)  # less of the blower, too
    new[k.BASE] = np.sqrt(mat.area(new) / (0.6 * new[k.STEEPNESS]))
    return new


def _mix(c: Floats, how: Floats, overburden: Floats | float) -> Floats:
    """Every zone gives `how` of what it has to a common lot and takes its share of it back."""
    new = c.copy()
    back = mat.zone_shares(np.broadcast_to(overburden, c.shape[1:]))
    dry = mat.dry_matter(c)
    for row in EXTENSIVE:
        lot = c[row : row + 4].sum(axis=0)
        new[row : row + 4] = (1.0 - how) * c[row : row + 4] + how * back * lot
    alive = c[k.A : k.A + 4] * dry
    new[k.A : k.A + 4] = ((1.0 - how) * alive + how * back * alive.sum(axis=0)) / mat.dry_matter(new)
    return new


def _aired(c: Floats) -> Floats:
    new = c.copy()
    new[k.OG : k.OG + 4] = mat.FRESH * mat.gas_mass(c)
    return new


def _aired_crossing(
    before: Floats, after: Floats, *, water: Floats, nitrogen: Floats, energy: Floats
) -> Crossing:
    oxygen = mat.zones(after, k.OG).sum(axis=0) - mat.zones(before, k.OG).sum(axis=0)
    none = np.zeros(before.shape[1])
    return Crossing(none, water.sum(axis=0), nitrogen.sum(axis=0), oxygen, energy.sum(axis=0))
