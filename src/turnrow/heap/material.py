"""A heap as people describe it, and the column of numbers the kernel starts from."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.heap import heap_parameters
from turnrow.heap import kernel as k

Floats = NDArray[np.float64]
SHARE = np.array([0.2431, 0.2945, 0.286, 0.1764])  # of the section's area: shell, outer, middle, core
MIDDLE = np.array([0.93726, 0.7808, 0.56516, 0.21])  # 1 at the surface, 0 at the centre
FACE = np.array([1.0, 0.87, 0.68, 0.42])  # size of the inward faces of the zones against the skin
DAY, MEGA = 86400.0, 1e6
FRESH = 0.22  # oxygen in the pores of a heap just built or turned, kg/kg dry air; the air itself has 0.2314
ROWS = {  # handbook key -> kernel row, factor to SI
    "dry_density": (k.RF, 1.0),
    "settle": (k.AC, 1.0),
    "shrink": (k.AX, 1.0),
    "settle_rate": (k.KC, 1 / DAY),
    "k1": (k.K1, 1 / DAY),
    "k2": (k.K2, 1 / DAY),
    "kx": (k.KX, 1 / DAY),
    "yield_slow": (k.YH, 1.0),
    "alpha": (k.ALPHA, 1.0),
    "cold": (k.TL, 1.0),
    "hot": (k.TH, 1.0),
    "hot_slow": (k.THS, 1.0),
    "mc50": (k.MC50, 1.0),
    "mc_slope": (k.MCS, 1.0),
    "fas50": (k.E50, 1.0),
    "fas_slope": (k.ES, 1.0),
    "kaw": (k.KAW, 1.0),
    "oxygen_per_kg": (k.GAM, 1.0),
    "heat_per_oxygen": (k.HO2, MEGA),
    "water_per_kg": (k.METW, 1.0),
    "k_oxygen": (k.KO2, 1.0),
    "growth": (k.MU, 1 / DAY),
    "fade": (k.BA, 1 / DAY),
    "death": (k.KD, 1 / DAY),
    "wind_draw": (k.WIND, 1.0),
    "pass_on": (k.ETA, 1.0),
    "k_dry": (k.KDRY, 1.0),
    "k_wet": (k.KWET, 1.0),
    "c_dry": (k.CS, 1.0),
    "spread_vapour": (k.DVM, 1.0),
    "ground": (k.UG, 1.0),
    "shafts": (k.SHAFT, 1e-3),
    "film": (k.FILM, 1.0),
    "film_wind": (k.FILMW, 1.0),
    "cover_film": (k.CFILM, 1.0),
    "cover_draught": (k.CDRAW, 1.0),
    "nitrify_best": (k.NITBEST, 1.0),
    "soil": (k.TSOIL, 1.0),
    "rain_caught": (k.RAINCAP, 1.0),
    "sun_taken": (k.ALB, 1.0),
    "sky": (k.SKY, 1.0),
    "water_held": (k.QFC, 1.0),
    "drain": (k.KDR, 1 / DAY),
    "ammonia": (k.KVOL, 1.0),
    "n_per_c": (k.YN, 1.0),
    "k_ammonium": (k.KTAN, 1.0),
    "nitrify": (k.KNIT, 1 / DAY),
}


@dataclass(frozen=True)
class Heap:
    """One heap, per metre of its length, before anything happened to it.

    base_m, height_m  width of the foot and height; the section is 0.6 of their product
    moisture          wet basis, 0..1
    cn                mass of carbon over nitrogen, carbon being half of the organic matter
    organic           organic share of the dry matter, 0..1
    temp_c            of the material when built; below 0 it is frozen through
    blown_kg_s        air a blower adds per metre [kg dry air/s m]
    covered           under a fleece from the start
    own               parameters given instead of the handbook's, by handbook key and unit
    """

    base_m: float = 4.2
    height_m: float = 1.7
    length_m: float = 1.0
    moisture: float = 0.62
    cn: float = 27.0
    organic: float = 0.82
    temp_c: float = 19.0
    blown_kg_s: float = 0.0
    covered: bool = False
    own: Mapping[str, float] = field(default_factory=dict)


def parameters(own: Mapping[str, float]) -> dict[str, float]:
    """The handbook's defaults with `own` instead. ValueError for a key the handbook does not have."""
    unknown = sorted(set(own) - set(heap_parameters()))
    if unknown:
        raise ValueError(f"heap parameters {', '.join(unknown)}: the handbook has none of that name")
    return {key: own.get(key, row.value) for key, row in heap_parameters().items()}


def zone_shares(overburden: Floats | float) -> Floats:
    """Shares (4,) or (4, n) of the matter: the volume's, but denser by `overburden` from skin to core."""
    weight = np.multiply.outer(SHARE * (0.65 - MIDDLE), overburden)
    weight += SHARE if weight.ndim == 1 else SHARE[:, None]
    return np.asarray(weight / weight.sum(axis=0))


def energy(temp_c: Floats | float, heat_capacity: Floats, frozen_capacity: Floats, water: Floats) -> Floats:
    """Energy [J] over dry matter and liquid water at 0 °C; below 0 °C all water is ice."""
    return np.where(np.asarray(temp_c) >= 0, heat_capacity * temp_c, frozen_capacity * temp_c - k.LF * water)


def column(heap: Heap) -> Floats:
    """States, accounts and parameters (GIVEN,) of one heap, as the kernel's rows have them."""
    return columns(heap, {}, 1)[:, 0]


def columns(heap: Heap, each: Mapping[str, Floats], n: int) -> Floats:
    """(GIVEN, n): heaps like `heap` but for `each`: a handbook key or a number of Heap -> (n,) values."""
    p: dict[str, Floats | float] = {**parameters(heap.own), **each}
    base, high, moisture, cn, part, blown = (
        each.get(name, getattr(heap, name))
        for name in ("base_m", "height_m", "moisture", "cn", "organic", "blown_kg_s")
    )
    c = np.zeros((k.GIVEN, n))
    area = 0.6 * base * high
    shares = zone_shares(p["overburden"])
    dry = area * p["dry_density"] * (shares if shares.ndim == 2 else shares[:, None]) + np.zeros((4, n))
    water = dry * moisture / (1.0 - moisture)
    organic = dry * part
    nitrogen = 0.5 * organic / cn
    decaying = p["ready"] + p["slow"] + p["shielded"]
    inert_n = nitrogen * np.maximum(1.0 - decaying, 0.0)
    c[k.S1 : k.S1 + 4] = p["ready"] * organic
    c[k.S2 : k.S2 + 4] = p["slow"] * organic
    c[k.SX : k.SX + 4] = p["shielded"] * organic
    c[k.MI : k.MI + 4] = dry - decaying * organic
    c[k.W : k.W + 4] = water
    c[k.E : k.E + 4] = energy(
        each.get("temp_c", heap.temp_c),
        p["c_dry"] * dry + k.CW * water,
        p["c_dry"] * dry + k.CI * water,
        water,
    )
    c[k.A : k.A + 4] = p["active0"]
    c[k.NA : k.NA + 4] = p["ammonium0"] * (nitrogen - inert_n)
    c[k.NO : k.NO + 4] = (1.0 - p["ammonium0"]) * (nitrogen - inert_n)
    for key, (row, factor) in ROWS.items():
        c[row] = p[key] * factor
    c[k.IRS], c[k.IYN] = 1.0 / p["solid_density"], 1.0 / p["n_per_c"]
    c[k.INITSPAN] = 1.0 / p["nitrify_span"]
    c[k.IWL], c[k.IWH] = 1.0 / p["cold_width"], 1.0 / p["hot_width"]
    c[k.FNORM] = 1.0 / best_rate(p)
    slow = {**p, "hot": p["hot_slow"], "hot_width": p["hot_width_slow"]}
    c[k.FSLOW], c[k.IWHS] = 1.0 / best_rate(slow), 1.0 / p["hot_width_slow"]
    for row, ratio in zip((k.REACH1, k.REACH2, k.REACH3), FACE[1:] / FACE[:-1], strict=True):
        c[row] = ratio ** p["stillness"]
    c[k.CLUMP], c[k.WETTER] = 1.0 - p["clumping"], p["clumping"] / p["clump_at"]
    c[k.DRAG] = p["inertia"] * p["pore_size"] * 1e-3 / 1.9e-5
    c[k.ACID] = 10.0 ** (0.09018 + 2729.92 / 298.15 - p["ph"])  # NH4 over NH3 at 25 °C
    c[k.PERM] = (p["pore_size"] * 1e-3) ** 2 * p["chimney"] * 9.81 / (45.0 * 1.9e-5)
    c[k.GF] = blown
    c[k.BASE], c[k.COVER] = base, float(heap.covered)
    c[k.IVS] = 1.0 / (decaying * organic.sum(axis=0))
    c[k.INERT_N], c[k.INERT_VS] = inert_n.sum(axis=0), (1.0 - decaying) * organic.sum(axis=0)
    c[k.STEEPNESS] = high / base
    c[k.OG : k.OG + 4] = FRESH * gas_mass(c)
    return c


def best_rate(p: Mapping[str, Floats | float]) -> Floats:
    """The highest value of the unscaled temperature factor: found within 1 °C, then within 0.05 °C."""
    coarse = np.arange(20.0, 90.0, 1.0)[:, None]
    best = coarse[np.argmax(temperature_factor(coarse, p), axis=0), 0]
    fine = best + np.arange(-1.0, 1.0, 0.05)[:, None]
    return np.asarray(np.max(temperature_factor(fine, p), axis=0))


def temperature_factor(temp_c: Floats, p: Mapping[str, Floats | float]) -> Floats:
    """Unscaled rate at temp_c [°C]:  exp(a (T-60)) / (1 + exp((Tl-T)/wl) + exp((T-Th)/wh)).

    Rises exponentially between a cold and a hot side that both fade smoothly; the form of Schoolfield,
    Sharpe and Magnuson 1981 with plain temperatures (MEMORY).
    """
    cold = np.exp((p["cold"] - temp_c) / p["cold_width"])
    hot = np.exp((temp_c - p["hot"]) / p["hot_width"])
    return np.asarray(np.exp(p["alpha"] * (temp_c - 60.0)) / (1.0 + cold + hot))


def zones(c: Floats, row: int) -> Floats:
    """The four zone rows (4, ...) that start at `row`."""
    return np.asarray(c[row : row + 4])


def food(c: Floats) -> Floats:
    """Matter that can still decay (4, ...) [kg/m]."""
    return zones(c, k.S1) + zones(c, k.S2) + zones(c, k.SX)


def dry_matter(c: Floats) -> Floats:
    """Dry matter (4, ...) [kg/m]."""
    return food(c) + zones(c, k.MI)


def area(c: Floats) -> Floats:
    """Section [m2] from the dry matter and its bulk density."""
    gone = 1.0 - food(c).sum(axis=0) * c[k.IVS]
    rho = c[k.RF] * (1.0 + c[k.AC] * c[k.CO]) * (1.0 + c[k.AX] * gone)
    return np.asarray(dry_matter(c).sum(axis=0) / rho)


def free_air(c: Floats) -> Floats:
    """Free air space (4, ...), share of the volume, at least 0.02."""
    volume = np.multiply.outer(SHARE, area(c))
    pores = 1.0 - (dry_matter(c) * c[k.IRS] + zones(c, k.W) * 0.001) / volume
    return np.asarray(np.maximum(pores, 0.02))


def gas_mass(c: Floats) -> Floats:
    """Dry air in the pores (4, ...) [kg/m], 1.05 kg/m3."""
    return np.asarray(1.05 * free_air(c) * np.multiply.outer(SHARE, area(c)))


def temperature(c: Floats) -> Floats:
    """Temperature (4, ...) [°C] from energy: at 0 °C while ice and water stand together."""
    dry, water, heat = c[k.CS] * dry_matter(c), zones(c, k.W), zones(c, k.E)
    thawed = np.maximum(heat, 0.0) / (dry + k.CW * water)
    return np.asarray(thawed + np.minimum(heat + k.LF * water, 0.0) / (dry + k.CI * water))
