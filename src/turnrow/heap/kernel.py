"""The compiled march of many heaps at once: one flat block of named rows, `B` heaps side by side.

Each part is scalar algebra for one heap `m`, inlined so that the loop over heaps becomes vector instructions;
with NUMBA_DISABLE_JIT=1 the same lines run uncompiled. Equations and sources: docs/heap.md; `reference.py`
codes them a second time, plainly. All but the two quick functions in one file: the cache does not notice
changes in imported files.

Scheme (explicit midpoint): the slope at the step's start, with closures and rates kept from the middle of the
step before, carries the state to the middle; there all is made anew, the gas is solved implicitly with its
storage, and that one slope makes the whole step. Reactions take what the gas solve gave, so all closes.
"""

import math

import numpy as np
from numba import njit

from turnrow.heap.quick import expc, part, psat

B = 8  # heaps in a block, a multiple of 8
LF, LV, CW, CI, CA, CV = 334e3, 2.501e6, 4186.0, 2100.0, 1006.0, 1860.0  # J/kg and J/kg K
P0 = 101325.0  # Pa
HNIT = 4.8e6 * 4.57  # heat of nitrification, J/kg N

# states per metre of heap; 4 rows each for the zones shell, outer, middle, core
E, W, S1, S2, SX, A, NO, NA, NN, OG = range(0, 40, 4)
CO = 40  # settlement, 0 fresh .. 1
# accounts, counted from zero: what has come and gone
EV, LE, RA, LO, NT, NL, OI, OU, HA, HC, HG, HR = range(41, 53)
STATES = 53
# per heap: what only events change, then parameters in SI units
MI = 53  # 4 zones: dry matter that does not decay
BASE, COVER, IVS = 57, 58, 59  # IVS: 1 over the matter that can decay, as last built
(RF, AC, AX, KC, IRS, K1, K2, KX, YH, ALPHA, TL, IWL, TH, IWH, FNORM, MC50, MCS, E50, ES) = range(60, 79)
(KAW, GAM, HO2, METW, KO2, MU, BA, KD, PERM, WIND, GF, ETA, KDRY, KWET, CS, DVM) = range(79, 95)
UG, TSOIL, RAINCAP, ALB, SKY, QFC, KDR, ACID, KVOL, YN, KTAN, KNIT, IYN = range(95, 108)
(REACH1, REACH2, REACH3, DRAG, CLUMP, WETTER, THS, IWHS, FSLOW, SHAFT) = range(108, 118)
FILM, FILMW, CFILM, CDRAW, NITBEST, INITSPAN = range(118, 124)
INERT_N, INERT_VS, STEEPNESS = 124, 125, 126  # carried along for events and reports, not used here
GIVEN = 127
# the workings: closures of the middle of the last step
T, PV, WV, HM, AW, MEN, MG, FO, OX, KK = range(GIVEN, 167, 4)
V1, V2, VX, VN, UX, VOLN, KZ, EZ, DRN, NCR, TANF = range(167, 211, 4)
FC, FV, PHI, XO, JW, JH, GR, DE, GM, AHEAD = range(211, 251, 4)
G, GC, AREA, IAREA, PER, STEEP, IFILM, BRAKE = range(251, 259)
KEEP = 259  # 41 rows: the state at the step's start
D = 300  # 53 rows: slopes
ROWS = D + STATES
# weather of a step, at its middle: air C, sun W/m2, wind m/s, rain kg/m2 s, its J/kg, humidity, J/kg, density
W_T, W_SUN, W_WIND, W_RAIN, W_HR, W_W, W_H, W_RHO, W_DT = range(9)
WEATHER = 9


@part
def section(q, m):  # type: ignore[no-untyped-def]
    """Size of the cross-section from the dry matter left and how far it has settled."""
    left = q[S1, m] + q[S1 + 1, m] + q[S1 + 2, m] + q[S1 + 3, m]
    left += q[S2, m] + q[S2 + 1, m] + q[S2 + 2, m] + q[S2 + 3, m]
    left += q[SX, m] + q[SX + 1, m] + q[SX + 2, m] + q[SX + 3, m]
    dry = q[MI, m] + q[MI + 1, m] + q[MI + 2, m] + q[MI + 3, m]
    mass, base = left + dry, q[BASE, m]
    density = q[RF, m] * (1.0 + q[AC, m] * q[CO, m]) * (1.0 + q[AX, m] * (1.0 - left * q[IVS, m]))
    r = 1.0 / (density * base * mass)
    high = mass * mass * r * (1.0 / 0.6)
    around = base * base + 5.333 * high * high
    q[IAREA, m], q[PER, m] = density * density * base * r, math.sqrt(around)
    q[AREA, m] = mass * mass * base * r
    q[STEEP, m] = 0.5 * around * q[IAREA, m]  # perimeter over depth
    q[GC, m] = q[PERM, m] * (1.0 - q[CDRAW, m] * q[COVER, m]) * base * high / (high + 0.5 * base)
    q[BRAKE, m] = q[DRAG, m] * density * mass * r  # over the base
    q[D + CO, m] = q[KC, m] * (1.0 - q[CO, m])


@part
def stuff(q, z, share, m):  # type: ignore[no-untyped-def]
    """What moisture, pores and nitrogen of zone z allow; how it conducts; what drains."""
    wat = q[W + z, m]
    left = q[S1 + z, m] + q[S2 + z, m] + q[SX + z, m]
    dry = left + q[MI + z, m]
    per_vol = q[IAREA, m] * (1.0 / share)
    pore = max(1.0 - (dry * q[IRS, m] + wat * 0.001) * per_vol, 0.02)
    mass, held, carbon = wat + dry, wat + q[KAW, m] * dry, 0.5 * left + 1e-9
    ammon = q[NA + z, m] + q[KTAN, m] * dry
    r, rr = mass * held, carbon * ammon
    both = 1.0 / (r * rr)
    r, rr = both * rr, both * r
    ratio, tanf = q[NO + z, m] * ammon * rr, q[NA + z, m] * carbon * rr
    need = min(max(1.0 - ratio * q[IYN, m], 0.0), 1.0)
    mc = wat * held * r
    moist = 1.0 + expc(-q[MCS, m] * (mc - q[MC50, m]))
    clump = q[CLUMP, m] + q[WETTER, m] * mc
    q[EZ + z, m] = pore * pore
    q[PHI + z, m] = pore * pore * pore * clump * clump  # permeability, until airways() makes shares of it
    q[MG + z, m] = 1.05 * pore * share * q[AREA, m]
    q[KZ + z, m] = q[KDRY, m] + q[KWET, m] * 0.001 * wat * per_vol
    q[AW + z, m] = wat * mass * r
    q[NCR + z, m], q[TANF + z, m] = ratio, tanf
    q[MEN + z, m] = (1.0 - need * (1.0 - tanf)) / (moist * (1.0 + expc(-q[ES, m] * (pore - q[E50, m]))))
    q[DRN + z, m] = q[KDR, m] * max(wat - q[QFC, m] * dry, 0.0)


@part
def airways(q, wind, m):  # type: ignore[no-untyped-def]
    """How much of the air drawn in reaches each zone, and where it leaves; conductances of the faces."""
    k0, k1, k2, k3 = q[PHI, m], q[PHI + 1, m], q[PHI + 2, m], q[PHI + 3, m]
    q[GC, m] *= 0.2431 * k0 + 0.2945 * k1 + 0.286 * k2 + 0.1764 * k3
    k01, k12, k23 = k0 + k1, k1 + k2, k2 + k3
    r = 2.0 / (k01 * k12 * k23)
    f1 = q[REACH1, m] * min(k1 * k12 * k23 * r, 1.0)
    f2 = f1 * q[REACH2, m] * min(k2 * k01 * k23 * r, 1.0)
    f3 = f2 * q[REACH3, m] * min(k3 * k01 * k12 * r, 1.0)
    x2 = f2 - f3 + q[ETA, m] * f3
    x1 = f1 - f2 + q[ETA, m] * x2
    q[PHI, m], q[PHI + 1, m], q[PHI + 2, m], q[PHI + 3, m] = 1.0, f1, f2, f3
    q[XO, m], q[XO + 1, m], q[XO + 2, m], q[XO + 3, m] = 1.0 - f1 + q[ETA, m] * x1, x1, x2, f3
    around, per_m = q[PER, m], q[STEEP, m]
    film = (q[FILM, m] + q[FILMW, m] * wind) * (1.0 - q[CFILM, m] * q[COVER, m])
    half, skin = per_m * q[KZ, m] / 0.06274, film * around
    dv = q[DVM, m] * per_m * 3.0e-5
    half_v, skin_v = dv * q[EZ, m] / 0.06274, skin / 1100.0
    both, both_v = half + skin, half_v + skin_v
    r = 1.0 / (both * both_v * film)
    q[FC, m], q[IFILM, m] = half * skin * both_v * film * r, both * both_v * r
    q[FV, m] = half_v * skin_v * both * film * r
    q[FC + 1, m] = per_m * (0.87 / 0.15646 * 0.5) * (q[KZ, m] + q[KZ + 1, m])
    q[FC + 2, m] = per_m * (0.68 / 0.21564 * 0.5) * (q[KZ + 1, m] + q[KZ + 2, m])
    q[FC + 3, m] = per_m * (0.42 / 0.35516 * 0.5) * (q[KZ + 2, m] + q[KZ + 3, m])
    q[FV + 1, m] = dv * (0.87 / 0.15646 * 0.5) * (q[EZ, m] + q[EZ + 1, m])
    q[FV + 2, m] = dv * (0.68 / 0.21564 * 0.5) * (q[EZ + 1, m] + q[EZ + 2, m])
    q[FV + 3, m] = dv * (0.42 / 0.35516 * 0.5) * (q[EZ + 2, m] + q[EZ + 3, m])


@part
def warmth(q, z, m):  # type: ignore[no-untyped-def]
    """Temperature from energy, ice and all; moist air of zone z."""
    wat = q[W + z, m]
    dry = q[S1 + z, m] + q[S2 + z, m] + q[SX + z, m] + q[MI + z, m]
    c, ci = q[CS, m] * dry + CW * wat, q[CS, m] * dry + CI * wat
    t = (max(q[E + z, m], 0.0) * ci + min(q[E + z, m] + LF * wat, 0.0) * c) / (c * ci)
    pv = min(q[AW + z, m] * psat(t), 0.8 * P0)
    w = 0.622 * pv / (P0 - pv)
    q[T + z, m], q[PV + z, m] = t, pv
    q[WV + z, m], q[HM + z, m] = w, CA * t + w * (LV + CV * t)


@part
def draught(q, rho, wind, m):  # type: ignore[no-untyped-def]
    """Chimney air [kg dry air/s m]: warm light gas rises, wind helps, inertia brakes, a blower adds."""
    t = 0.2431 * q[T, m] + 0.2945 * q[T + 1, m] + 0.286 * q[T + 2, m] + 0.1764 * q[T + 3, m]
    pv = 0.2431 * q[PV, m] + 0.2945 * q[PV + 1, m] + 0.286 * q[PV + 2, m] + 0.1764 * q[PV + 3, m]
    gas = 353.05 * (1.0 - 0.378 / P0 * pv) / (t + 273.15)
    g = q[GC, m] * rho * max(rho - gas, 0.0) * (1.0 + q[WIND, m] * wind)
    q[G, m] = 2.0 * g / (1.0 + math.sqrt(1.0 + 4.0 * q[BRAKE, m] * g)) + q[GF, m]


@part
def appetite(q, z, m):  # type: ignore[no-untyped-def]
    """Rates of zone z were there oxygen without limit; the air above the water."""
    t = q[T + z, m]
    hot = expc((t - q[TH, m]) * q[IWH, m])
    cold = 1.0 + expc((q[TL, m] - t) * q[IWL, m])
    fade = cold + hot
    air, kelvin, wet = P0 - q[PV + z, m], t + 273.15, q[W + z, m] + 0.01
    r, rr = fade * air, kelvin * wet
    both = 1.0 / (r * rr)
    r, rr = both * rr, both * r
    rise = expc(q[ALPHA, m] * (t - 60.0))
    warm = q[FNORM, m] * rise * air * r
    go = warm * q[MEN + z, m]
    v1 = q[K1, m] * q[S1 + z, m] * go * q[A + z, m]
    rise *= q[FSLOW, m] * q[A + z, m] * q[MEN + z, m]
    v2 = q[K2, m] * q[S2 + z, m] * rise / (cold + expc((t - q[THS, m]) * q[IWHS, m]))
    x = (t - q[NITBEST, m]) * q[INITSPAN, m]
    vn = q[KNIT, m] * q[NA + z, m] * max(1.0 - x * x, 0.0) * q[MEN + z, m]
    q[V1 + z, m], q[V2 + z, m] = v1, v2
    q[VX + z, m], q[VN + z, m] = q[KX, m] * q[SX + z, m] * go, vn
    q[UX + z, m] = q[GAM, m] * ((1.0 - q[YH, m]) * v1 + v2) + 4.57 * vn
    q[KK + z, m] = q[KO2, m] * (P0 / 0.9053) * fade * r
    q[GR + z, m] = q[MU, m] * go * (q[A + z, m] + 0.002) * (1.0 - q[A + z, m])
    q[DE + z, m] = (q[BA, m] * warm + q[KD, m] * min(hot, 50.0)) * q[A + z, m]
    e = expc(2095.29 * (wet * rr - 1.0 / 298.15))  # NH3 in air over water goes with e^-2, NH4 over NH3 e^3
    free = e * e * (1.0 + q[ACID, m] * e * e * e)
    q[VOLN + z, m] = q[KVOL, m] * 0.609 * kelvin * rr / free


@part
def oxygen(q, passes, idt, m):  # type: ignore[no-untyped-def]
    """Gas of the step, implicit, with storage: Newton on a tridiagonal of four; the uptake is concave, so
    from the second pass on it comes from below and cannot go below nothing."""
    g = q[G, m]
    d0, d1, d2, d3 = 0.8 * q[FV, m], 0.8 * q[FV + 1, m], 0.8 * q[FV + 2, m], 0.8 * q[FV + 3, m]
    shaft = q[SHAFT, m] * q[AREA, m]
    t0, t1, t2, t3 = 0.2431 * shaft, 0.2945 * shaft, 0.286 * shaft, 0.1764 * shaft
    h0, h1, h2, h3 = q[AHEAD, m], q[AHEAD + 1, m], q[AHEAD + 2, m], q[AHEAD + 3, m]
    l1, l2, l3 = g * q[PHI + 1, m] + d1, g * q[PHI + 2, m] + d2, g * q[PHI + 3, m] + d3
    u0 = g * q[ETA, m] * q[XO + 1, m] + d1
    u1 = g * q[ETA, m] * q[XO + 2, m] + d2
    u2 = g * q[ETA, m] * q[XO + 3, m] + d3
    a0 = (1.0 + h0) * q[MG, m] * idt + g * (q[PHI + 1, m] + q[XO, m]) + d0 + d1 + t0
    a1 = (1.0 + h1) * q[MG + 1, m] * idt + g * (q[PHI + 2, m] + q[XO + 1, m]) + d1 + d2 + t1
    a2 = (1.0 + h2) * q[MG + 2, m] * idt + g * (q[PHI + 3, m] + q[XO + 2, m]) + d2 + d3 + t2
    a3 = (1.0 + h3) * q[MG + 3, m] * idt + g * q[XO + 3, m] + d3 + t3
    b0 = (q[OG, m] + h0 * q[GM, m]) * idt + (g + d0 + t0) * 0.2314
    b1 = (q[OG + 1, m] + h1 * q[GM + 1, m]) * idt + t1 * 0.2314
    b2 = (q[OG + 2, m] + h2 * q[GM + 2, m]) * idt + t2 * 0.2314
    b3 = (q[OG + 3, m] + h3 * q[GM + 3, m]) * idt + t3 * 0.2314
    o0, o1, o2, o3 = q[OX, m], q[OX + 1, m], q[OX + 2, m], q[OX + 3, m]
    for _ in range(passes):
        x0, x1, x2, x3 = q[KK, m] + o0, q[KK + 1, m] + o1, q[KK + 2, m] + o2, q[KK + 3, m] + o3
        x01, x23 = x0 * x1, x2 * x3
        r = 1.0 / (x01 * x23)
        r0, r1, r2, r3 = x1 * x23 * r, x0 * x23 * r, x3 * x01 * r, x2 * x01 * r
        c0, c1, c2, c3 = o0 * o0 * r0 * r0, o1 * o1 * r1 * r1, o2 * o2 * r2 * r2, o3 * o3 * r3 * r3
        s0, s1 = q[KK, m] * r0 * r0, q[KK + 1, m] * r1 * r1
        s2, s3 = q[KK + 2, m] * r2 * r2, q[KK + 3, m] * r3 * r3
        i3 = 1.0 / (a3 + q[UX + 3, m] * s3)
        y3, e3 = (b3 - q[UX + 3, m] * c3) * i3, l3 * i3
        i2 = 1.0 / (a2 + q[UX + 2, m] * s2 - u2 * e3)
        y2, e2 = (b2 - q[UX + 2, m] * c2 + u2 * y3) * i2, l2 * i2
        i1 = 1.0 / (a1 + q[UX + 1, m] * s1 - u1 * e2)
        y1, e1 = (b1 - q[UX + 1, m] * c1 + u1 * y2) * i1, l1 * i1
        o0 = (b0 - q[UX, m] * c0 + u0 * y1) / (a0 + q[UX, m] * s0 - u0 * e1)
        o1 = y1 + e1 * o0
        o2 = y2 + e2 * o1
        o3 = y3 + e3 * o2
        q[FO, m], q[FO + 1, m] = c0 + s0 * o0, c1 + s1 * o1
        q[FO + 2, m], q[FO + 3, m] = c2 + s2 * o2, c3 + s3 * o3
        q[OX, m], q[OX + 1, m], q[OX + 2, m], q[OX + 3, m] = o0, o1, o2, o3
        o0, o1, o2, o3 = max(o0, 0.0), max(o1, 0.0), max(o2, 0.0), max(o3, 0.0)
    q[D + OU, m] = q[UX, m] * q[FO, m] + q[UX + 1, m] * q[FO + 1, m]
    q[D + OU, m] += q[UX + 2, m] * q[FO + 2, m] + q[UX + 3, m] * q[FO + 3, m]
    vented = q[XO + 1, m] * q[OX + 1, m] + q[XO + 2, m] * q[OX + 2, m] + q[XO + 3, m] * q[OX + 3, m]
    vented = q[XO, m] * q[OX, m] + (1.0 - q[ETA, m]) * vented
    mean = 0.2431 * q[OX, m] + 0.2945 * q[OX + 1, m] + 0.286 * q[OX + 2, m] + 0.1764 * q[OX + 3, m]
    q[D + OI, m] = g * 0.2314 + d0 * (0.2314 - q[OX, m]) - g * vented + shaft * (0.2314 - mean)


@part
def inward(q, z, m):  # type: ignore[no-untyped-def]
    """Vapour and enthalpy through the face between zone z and z - 1, inwards."""
    flow, back = q[G, m] * q[PHI + z, m], q[G, m] * q[ETA, m] * q[XO + z, m]
    spread = q[FV + z, m] * (q[WV + z - 1, m] - q[WV + z, m])
    q[JW + z, m] = flow * q[WV + z - 1, m] - back * q[WV + z, m] + spread
    spread *= LV + 0.5 * CV * (q[T + z - 1, m] + q[T + z, m])
    q[JH + z, m] = flow * q[HM + z - 1, m] - back * q[HM + z, m] + spread
    q[JH + z, m] += q[FC + z, m] * (q[T + z - 1, m] - q[T + z, m])


@part
def surface(q, air, sun, rain, rain_h, humid, air_h, m):  # type: ignore[no-untyped-def]
    """Through the skin: air drawn in, vapour, film, sun, sky, rain."""
    bare = 1.0 - q[COVER, m]
    spread = q[FV, m] * (humid - q[WV, m])
    skin = air + (q[ALB, m] * sun - q[SKY, m]) * bare * q[IFILM, m]
    latent = spread * (LV + 0.5 * CV * (air + q[T, m]))
    gain = q[FC, m] * (skin - q[T, m])
    g, keep = q[G, m], 1.0 - q[ETA, m]
    caught = q[RAINCAP, m] * rain * q[BASE, m] * bare
    q[JW, m], q[JH, m] = g * humid + spread, g * air_h + latent + gain
    inner = q[XO + 1, m] * q[WV + 1, m] + q[XO + 2, m] * q[WV + 2, m] + q[XO + 3, m] * q[WV + 3, m]
    shaft = q[SHAFT, m] * q[AREA, m]
    mean = 0.2431 * q[WV, m] + 0.2945 * q[WV + 1, m] + 0.286 * q[WV + 2, m] + 0.1764 * q[WV + 3, m]
    q[D + EV, m] = g * (q[XO, m] * q[WV, m] + keep * inner) - q[JW, m] + shaft * (mean - humid)
    inner = q[XO + 1, m] * q[HM + 1, m] + q[XO + 2, m] * q[HM + 2, m] + q[XO + 3, m] * q[HM + 3, m]
    mean = 0.2431 * q[HM, m] + 0.2945 * q[HM + 1, m] + 0.286 * q[HM + 2, m] + 0.1764 * q[HM + 3, m]
    q[D + HA, m] = g * (q[XO, m] * q[HM, m] + keep * inner) - g * air_h - latent + shaft * (mean - air_h)
    q[D + HC, m], q[D + RA, m], q[D + LE, m] = -gain, caught, q[DRN + 3, m]
    q[D + HR, m] = caught * rain_h - q[DRN + 3, m] * CW * max(q[T + 3, m], 0.0)


@part
def balance(q, z, share, bed, rain_h, humid, air_h, count, m):  # type: ignore[no-untyped-def]
    """Slopes of zone z. Food, nitrogen and water go by the rates times what oxygen allowed."""
    fo = q[FO + z, m]
    v1, v2, vx, vn = q[V1 + z, m] * fo, q[V2 + z, m] * fo, q[VX + z, m], q[VN + z, m] * fo
    lost = (1.0 - q[YH, m]) * v1 + v2
    heat = q[HO2, m] * q[GAM, m] * lost + HNIT * vn
    vent = q[G, m] * q[XO + z, m] * (1.0 if z == 0 else 1.0 - q[ETA, m])
    shaft = share * q[SHAFT, m] * q[AREA, m]
    water = q[JW + z, m] - vent * q[WV + z, m] - q[DRN + z, m] + shaft * (humid - q[WV + z, m])
    warm = q[JH + z, m] - vent * q[HM + z, m] + shaft * (air_h - q[HM + z, m])
    warm -= q[DRN + z, m] * CW * max(q[T + z, m], 0.0)
    if z < 3:
        water -= q[JW + z + 1, m]
        warm -= q[JH + z + 1, m]
    if z > 0:
        water += q[DRN + z - 1, m]
        warm += q[DRN + z - 1, m] * CW * max(q[T + z - 1, m], 0.0)
    else:
        water += q[D + RA, m]
        warm += q[D + RA, m] * rain_h
    ground = q[UG, m] * q[BASE, m] * bed * (q[TSOIL, m] - q[T + z, m])
    free = 0.5 * (v1 + v2) * (q[NCR + z, m] - q[YN, m])
    freed = max(free, 0.0) + min(free, 0.0) * q[TANF + z, m]
    gone = q[VOLN + z, m] * (vent + shaft) * q[NA + z, m]
    q[D + E + z, m], q[D + W + z, m] = warm + ground + heat, water + q[METW, m] * lost
    q[D + S1 + z, m], q[D + S2 + z, m] = vx - v1, q[YH, m] * v1 - v2
    q[D + SX + z, m], q[D + A + z, m] = -vx, q[GR + z, m] * fo - q[DE + z, m]
    q[D + NO + z, m], q[D + NA + z, m] = -freed, freed - gone - vn
    q[D + NN + z, m] = vn
    if not count:
        return
    first = 0.0 if z == 0 else 1.0
    q[D + LO, m], q[D + NT, m] = first * q[D + LO, m] + lost, first * q[D + NT, m] + vn
    q[D + NL, m], q[D + HG, m] = first * q[D + NL, m] + gone, first * q[D + HG, m] - ground


@part
def middle(q, wind, m):  # type: ignore[no-untyped-def]
    """The slow closures: once a step, at its middle."""
    section(q, m)
    stuff(q, 0, 0.2431, m)
    stuff(q, 1, 0.2945, m)
    stuff(q, 2, 0.286, m)
    stuff(q, 3, 0.1764, m)
    airways(q, wind, m)


@part
def heats(q, rho, wind, m):  # type: ignore[no-untyped-def]
    for z in range(4):
        warmth(q, z, m)
    draught(q, rho, wind, m)


@part
def eats(q, m):  # type: ignore[no-untyped-def]
    for z in range(4):
        appetite(q, z, m)


@part
def slopes(q, air, sun, rain, rain_h, humid, air_h, count, m):  # type: ignore[no-untyped-def]
    surface(q, air, sun, rain, rain_h, humid, air_h, m)
    for z in range(1, 4):
        inward(q, z, m)
    balance(q, 0, 0.2431, 0.13, rain_h, humid, air_h, count, m)
    balance(q, 1, 0.2945, 0.19, rain_h, humid, air_h, count, m)
    balance(q, 2, 0.286, 0.26, rain_h, humid, air_h, count, m)
    balance(q, 3, 0.1764, 0.42, rain_h, humid, air_h, count, m)


@njit(fastmath=True, error_model="numpy", nogil=True, cache=True)
def march(block, weather, fresh, out, every):  # type: ignore[no-untyped-def]
    """Carry one block (ROWS, B) through the steps of `weather` (steps, WEATHER), in place.

    fresh: closures are made anew, as after an event; out (steps // every, 4, B) takes temperatures [C].
    """
    q = np.empty((ROWS, B))
    q[:] = block
    q[D + OG : D + OG + 4] = 0.0
    flat = q.ravel()
    n = (block.shape[1] >> 3) << 3
    for k in range(weather.shape[0]):
        air, sun, wind, rain = weather[k, W_T], weather[k, W_SUN], weather[k, W_WIND], weather[k, W_RAIN]
        rain_h, humid, air_h = weather[k, W_HR], weather[k, W_W], weather[k, W_H]
        rho, dt = weather[k, W_RHO], weather[k, W_DT]
        if fresh and k == 0:
            for m in range(n):
                middle(q, wind, m)
                heats(q, rho, wind, m)
                eats(q, m)
            for i in range(4 * B):
                flat[OX * B + i] = min(flat[OG * B + i] / flat[MG * B + i], 0.2314)
                flat[GM * B + i], flat[AHEAD * B + i] = 1e30, 0.0  # no step before this one
            for m in range(n):
                oxygen(q, 6, 1.0 / dt, m)
        for m in range(n):
            heats(q, rho, wind, m)
        for m in range(n):
            slopes(q, air, sun, rain, rain_h, humid, air_h, False, m)
        for i in range((CO + 1) * B):  # gas has no slope here: its rows of D stay 0
            flat[KEEP * B + i] = flat[i]
            flat[i] += 0.5 * dt * flat[D * B + i]
        for m in range(n):
            middle(q, wind, m)
        for m in range(n):
            heats(q, rho, wind, m)
        for m in range(n):
            eats(q, m)
        for i in range(4 * B):
            flat[AHEAD * B + i] = 0.5 if flat[OG * B + i] > 0.5 * flat[GM * B + i] else 0.0
        for m in range(n):
            oxygen(q, 2, 1.0 / dt, m)
        for m in range(n):
            slopes(q, air, sun, rain, rain_h, humid, air_h, True, m)
        for i in range((CO + 1) * B):
            flat[i] = flat[KEEP * B + i] + dt * flat[D * B + i]
        for i in range(4 * B):
            gas, ahead = flat[MG * B + i] * flat[OX * B + i], flat[AHEAD * B + i]
            flat[OG * B + i] = (1.0 + ahead) * gas - ahead * flat[GM * B + i]
            flat[GM * B + i] = gas
        for i in range(EV * B, STATES * B):
            flat[i] += dt * flat[D * B + i]
        if (k + 1) % every == 0:
            for m in range(n):
                heats(q, rho, wind, m)
            out[k // every] = q[T : T + 4]
    block[:] = q
