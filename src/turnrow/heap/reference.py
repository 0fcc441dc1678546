"""The heap's equations coded a second time: plain NumPy with exact functions, all zones and heaps at once.

Slow and readable; what the kernel is checked against. Every array is (4, n) for zones, or (n,) for heaps;
columns are (GIVEN, n) as in `material.py`. Equations and sources: docs/heap.md.
"""

import numpy as np

from turnrow.heap import air
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.material import Floats

GAP = np.array([0.06274, 0.15646, 0.21564, 0.35516])  # from middle to middle across them, shares of depth
BED = np.array([0.13, 0.19, 0.26, 0.42])  # shares of the foot
AMBIENT = 0.2314  # oxygen of air, kg/kg dry air


class Air:
    """What moves through a heap in a state: draught, paths, conductances, moist air; see `paths`."""

    g: Floats  # kg dry air/s m
    reach: Floats  # share of it through each inward face
    out: Floats  # share leaving each zone outwards
    heat: Floats  # W/m K through the faces
    vapour: Floats  # kg/s m per humidity ratio
    humid: Floats
    vapour_pa: Floats
    enthalpy: Floats
    temp: Floats
    film: Floats
    shaft: Floats  # kg dry air/s m changed through shafts


def paths(c: Floats, wx: Floats) -> Air:
    """Draught and conductances of columns c in weather wx (WEATHER,)."""
    a = Air()
    a.temp = mat.temperature(c)
    water, dry = mat.zones(c, k.W), mat.dry_matter(c)
    section, base = mat.area(c), c[k.BASE]
    volume = np.multiply.outer(mat.SHARE, section)
    high = section / (0.6 * base)
    around = np.sqrt(base**2 + 5.333 * high**2)
    deep = 2.0 * section / around
    pores = mat.free_air(c)
    activity = water / (water + c[k.KAW] * dry)
    a.vapour_pa = np.minimum(activity * air.saturation_pa(a.temp), 0.8 * air.PRESSURE)
    a.humid = 0.622 * a.vapour_pa / (air.PRESSURE - a.vapour_pa)
    a.enthalpy = air.enthalpy(a.temp, a.humid)
    open_ = pores**3 * (c[k.CLUMP] + c[k.WETTER] * water / (water + dry)) ** 2
    a.reach = np.ones_like(pores)
    for z in (1, 2, 3):
        easier = np.minimum(2.0 * open_[z] / (open_[z - 1] + open_[z]), 1.0)
        a.reach[z] = a.reach[z - 1] * c[k.REACH1 + z - 1] * easier
    a.out = np.empty_like(pores)
    a.out[3] = a.reach[3]
    for z in (2, 1, 0):
        a.out[z] = a.reach[z] - a.reach[z + 1] + c[k.ETA] * a.out[z + 1]
    weights = mat.SHARE[:, None]
    gas = air.density((weights * a.temp).sum(axis=0), (weights * a.vapour_pa).sum(axis=0))
    through = c[k.PERM] * (1 - c[k.CDRAW] * c[k.COVER]) * (weights * open_).sum(axis=0)
    chimney = through * base * high / (high + base / 2)
    lift = np.maximum(wx[k.W_RHO] - gas, 0.0)
    g = chimney * wx[k.W_RHO] * lift * (1 + c[k.WIND] * wx[k.W_WIND])
    a.g = 2.0 * g / (1.0 + np.sqrt(1.0 + 4.0 * c[k.DRAG] / base * g)) + c[k.GF]
    conduct = c[k.KDRY] + c[k.KWET] * water / (1000.0 * volume)
    spread = c[k.DVM] * 3.0e-5 * pores**2
    across = np.multiply.outer(mat.FACE / GAP, around / deep)
    a.heat, a.vapour = across * conduct, across * spread
    a.heat[1:] = across[1:] * 0.5 * (conduct[:-1] + conduct[1:])
    a.vapour[1:] = across[1:] * 0.5 * (spread[:-1] + spread[1:])
    a.shaft = weights * c[k.SHAFT] * section
    a.film = (c[k.FILM] + c[k.FILMW] * wx[k.W_WIND]) * (1 - c[k.CFILM] * c[k.COVER])
    skin = a.film * around
    a.heat[0] = 1.0 / (1.0 / a.heat[0] + 1.0 / skin)
    a.vapour[0] = 1.0 / (1.0 / a.vapour[0] + 1100.0 / skin)
    return a


def carried(
    a: Air, c: Floats, inside: Floats, outside: Floats | float, spread: Floats
) -> tuple[Floats, Floats]:
    """What the air brings each zone (4, n), and takes out of the heap (n,), of a quantity per kg dry air."""
    above = np.concatenate([np.broadcast_to(outside, inside[:1].shape), inside[:-1]])
    inward = a.g * a.reach * above + spread * (above - inside)
    inward[1:] -= a.g * c[k.ETA] * a.out[1:] * inside[1:]
    vent = a.g * a.out * inside
    vent[1:] *= 1.0 - c[k.ETA]
    vent += a.shaft * (inside - outside)
    gain = inward - vent
    gain[:-1] -= inward[1:]
    return gain, vent.sum(axis=0) - inward[0]


def wants(c: Floats, a: Air) -> dict[str, Floats]:
    """Rates (4, n) of each zone were oxygen without limit, and the oxygen they would take."""
    t, water, dry, left = a.temp, mat.zones(c, k.W), mat.dry_matter(c), mat.food(c)
    cold, hot = np.exp((c[k.TL] - t) * c[k.IWL]), np.exp((t - c[k.TH]) * c[k.IWH])
    rise = np.exp(c[k.ALPHA] * (t - 60.0))
    warm = c[k.FNORM] * rise / (1.0 + cold + hot)
    mild = c[k.FSLOW] * rise / (1.0 + cold + np.exp((t - c[k.THS]) * c[k.IWHS]))
    moist = 1.0 / (1.0 + np.exp(-c[k.MCS] * (water / (water + dry) - c[k.MC50])))
    airy = 1.0 / (1.0 + np.exp(-c[k.ES] * (mat.free_air(c) - c[k.E50])))
    ratio = mat.zones(c, k.NO) / (0.5 * left + 1e-9)
    ammonium = mat.zones(c, k.NA)
    at_hand = ammonium / (ammonium + c[k.KTAN] * dry)
    starved = np.clip(1.0 - ratio / c[k.YN], 0.0, 1.0) * (1.0 - at_hand)
    suits = moist * airy * (1.0 - starved)
    alive = mat.zones(c, k.A)
    ready = c[k.K1] * mat.zones(c, k.S1) * warm * suits * alive
    slow = c[k.K2] * mat.zones(c, k.S2) * mild * suits * alive
    mild_air = np.maximum(1.0 - ((t - c[k.NITBEST]) * c[k.INITSPAN]) ** 2, 0.0)
    nitrified = c[k.KNIT] * ammonium * mild_air * suits
    return {
        "ready": ready,
        "slow": slow,
        "opened": c[k.KX] * mat.zones(c, k.SX) * warm * suits,
        "nitrified": nitrified,
        "oxygen": c[k.GAM] * ((1.0 - c[k.YH]) * ready + slow) + 4.57 * nitrified,
        "half": c[k.KO2] / (0.9053 * (1.0 - a.vapour_pa / air.PRESSURE)),
        "growth": c[k.MU] * warm * suits * (alive + 0.002) * (1.0 - alive),
        "dying": (c[k.BA] * warm + c[k.KD] * np.minimum(hot, 50.0)) * alive,
        "ratio": ratio,
        "at_hand": at_hand,
    }


def slopes(c: Floats, wx: Floats, a: Air, r: dict[str, Floats], allowed: Floats) -> Floats:
    """Slopes (STATES, n) of states and accounts; `allowed` (4, n): what oxygen allows of the rates."""
    d = np.zeros((k.STATES, c.shape[1]))
    ready, slow, nitrified = r["ready"] * allowed, r["slow"] * allowed, r["nitrified"] * allowed
    lost = (1.0 - c[k.YH]) * ready + slow
    above = np.concatenate([np.full_like(a.temp[:1], wx[k.W_T]), a.temp[:-1]])
    sky = (c[k.ALB] * wx[k.W_SUN] - c[k.SKY]) * (1.0 - c[k.COVER]) / a.film
    moist, left_w = carried(a, c, a.humid, wx[k.W_W], a.vapour)
    warm, left_h = carried(a, c, a.enthalpy, wx[k.W_H], np.zeros_like(a.vapour))
    inside = np.concatenate([np.full_like(a.humid[:1], wx[k.W_W]), a.humid[:-1]])
    latent = a.vapour * (inside - a.humid) * (k.LV + 0.5 * k.CV * (above + a.temp))
    through = a.heat * (above - a.temp)
    through[0] += a.heat[0] * sky
    passing = latent + through
    warm += passing
    warm[:-1] -= passing[1:]
    drip = c[k.KDR] * np.maximum(mat.zones(c, k.W) - c[k.QFC] * mat.dry_matter(c), 0.0)
    drip_h = drip * k.CW * np.maximum(a.temp, 0.0)
    rain = c[k.RAINCAP] * wx[k.W_RAIN] * c[k.BASE] * (1.0 - c[k.COVER])
    fall = np.concatenate([rain[None], drip[:-1]])
    fall_h = np.concatenate([rain[None] * wx[k.W_HR], drip_h[:-1]])
    ground = c[k.UG] * c[k.BASE] * BED[:, None] * (c[k.TSOIL] - a.temp)
    heat = c[k.HO2] * c[k.GAM] * lost + k.HNIT * nitrified
    free = 0.5 * (ready + slow) * (r["ratio"] - c[k.YN])
    freed = np.where(free > 0.0, free, free * r["at_hand"])
    kelvin = a.temp + 273.15
    acid = 10.0 ** (2729.92 / kelvin - 2729.92 / 298.15) * c[k.ACID]
    in_air = 6.7e-4 * np.exp(-4190.58 * (1.0 / kelvin - 1.0 / 298.15)) / (1.0 + acid)
    vent = a.g * a.out * np.concatenate([np.ones_like(c[:1]), np.repeat(1.0 - c[k.ETA][None], 3, axis=0)])
    strength = 1000.0 * mat.zones(c, k.NA) / (mat.zones(c, k.W) + 0.01)
    gone = c[k.KVOL] * (vent + a.shaft) / 1.1 * in_air * strength
    for row, value in (
        (k.E, warm + fall_h - drip_h + ground + heat),
        (k.W, moist + fall - drip + c[k.METW] * lost),
        (k.S1, r["opened"] - ready),
        (k.S2, c[k.YH] * ready - slow),
        (k.SX, -r["opened"]),
        (k.A, r["growth"] * allowed - r["dying"]),
        (k.NO, -freed),
        (k.NA, freed - gone - nitrified),
        (k.NN, nitrified),
    ):
        d[row : row + 4] = value
    d[k.CO] = c[k.KC] * (1.0 - c[k.CO])
    d[k.EV], d[k.RA], d[k.LE] = left_w, rain, drip[3]
    d[k.LO], d[k.NT], d[k.NL] = lost.sum(axis=0), nitrified.sum(axis=0), gone.sum(axis=0)
    d[k.OU] = (r["oxygen"] * allowed).sum(axis=0)
    d[k.HA], d[k.HC], d[k.HG] = left_h - latent[0], -through[0], -ground.sum(axis=0)
    d[k.HR] = rain * wx[k.W_HR] - drip_h[3]
    return d


def rates(c: Floats, wx: Floats) -> Floats:
    """Slopes (STATES, n) with the gas as a state of its own, nothing lagged: the equations themselves."""
    a = paths(c, wx)
    r = wants(c, a)
    gas = mat.zones(c, k.OG) / mat.gas_mass(c)
    allowed = np.maximum(gas, 0.0) / (r["half"] + np.maximum(gas, 0.0))
    d = slopes(c, wx, a, r, allowed)
    gain, left = carried(a, c, gas, AMBIENT, 0.8 * a.vapour)
    d[k.OG : k.OG + 4] = gain - r["oxygen"] * allowed
    d[k.OI] = -left
    return d


def gas_of_step(c: Floats, a: Air, r: dict[str, Floats], start: Floats, dt: float) -> Floats:
    """Oxygen (4, n) [kg/kg dry air] at the end of dt [s], implicit: two Newton passes from `start` on."""
    n = c.shape[1]
    unit = np.eye(4)[:, :, None] * np.ones(n)
    none = np.zeros_like(a.vapour)
    matrix = np.stack([-carried(a, c, unit[z], 0.0, 0.8 * a.vapour)[0] for z in range(4)], axis=1)
    source = carried(a, c, none, AMBIENT, 0.8 * a.vapour)[0] + mat.zones(c, k.OG) / dt
    gas = start
    for _ in range(2):
        gas = np.maximum(gas, 0.0)
        tangent = r["oxygen"] * r["half"] / (r["half"] + gas) ** 2
        rest = r["oxygen"] * (gas / (r["half"] + gas)) ** 2
        whole = matrix + unit * (mat.gas_mass(c) / dt + tangent)
        found = np.linalg.solve(whole.transpose(2, 0, 1), (source - rest).T[..., None])
        gas = np.asarray(found[..., 0].T, dtype=np.float64)
    return gas


def march(c: Floats, table: Floats) -> Floats:
    """Columns at the end of the steps of `table`: explicit midpoint, gas implicit in the step's middle."""
    c = c.copy()
    gas = mat.zones(c, k.OG) / mat.gas_mass(c)
    for wx in table:
        a = paths(c, wx)
        r = wants(c, a)
        slope = slopes(c, wx, a, r, gas / (r["half"] + gas))
        half = c.copy()
        half[: k.OG] += 0.5 * wx[k.W_DT] * slope[: k.OG]
        half[k.CO] += 0.5 * wx[k.W_DT] * slope[k.CO]
        a = paths(half, wx)
        r = wants(half, a)
        gas = np.maximum(gas_of_step(half, a, r, gas, wx[k.W_DT]), 0.0)
        slope = slopes(half, wx, a, r, gas / (r["half"] + gas))
        c[: k.STATES] += wx[k.W_DT] * slope
        c[k.OG : k.OG + 4] = gas * mat.gas_mass(half)
    return c
