"""What does not look right: a probe against the heap and its other places, odd heat, a hot dry core."""

import numpy as np
from numpy.typing import NDArray

from turnrow.heap import leftover as rest
from turnrow.heap import material as mat
from turnrow.heap import report
from turnrow.heap.fit import Fitted
from turnrow.heap.leftover import Leftover
from turnrow.heap.material import Floats
from turnrow.heap.outlook import Finding, Outlook

NEWEST, OUT_DAYS = 3, 7.0  # readings of a place held against the rest, with none of its own so many days
ODD_SD, ODD_K = 3.0, 15.0  # OWN: places of a sound row do differ by 10 K
RISE_DAYS, RISE_K, QUIET_DAYS, WARM_C, OLD_DAYS = 3.0, 6.0, 4.0, 55.0, 14.0  # OWN
DRY, HOT_C, FIRE_C, FIRE_CHANCE = 0.40, 65.0, 80.0, 0.1  # OWN; 20 to 45 % water is told of fires (MEMORY)
CARE = (
    "Do not open or turn it on this sign alone: air may feed it. Probe from outside, keep water ready, and "
    "ask the fire service or whoever is licensed."
)


def faults(fitted: Fitted, outlook: Outlook, leftover: Leftover | None = None) -> tuple[Finding, ...]:
    """Everything that does not look right at the outlook's moment, in plain words."""
    b = leftover or Leftover()
    return (*suspect_probes(fitted, b), *wrong_heat(fitted, b), *dry_core(fitted, outlook))


def suspect_probes(fitted: Fitted, b: Leftover) -> tuple[Finding, ...]:
    """The place whose newest readings are furthest from what the heap and all other readings make likely,
    and stations that show the very same round again and again.

    Each place's last week is left out in turn: what is left over there, given what is left elsewhere; by the
    inverse of the covariance of model and drifts together. Only the worst is told: one wrong probe makes
    its neighbours look odd as well.
    """
    s = fitted.tidied.spots
    standing = _standing(fitted)
    if len(s.at_h) < 2 * NEWEST:
        return standing
    precise = np.linalg.inv(rest.covariance(s, b) + np.cov(fitted.before) * _kept(fitted))
    weighed = precise @ fitted.left.mean(axis=1)
    worst, told = 1.0, standing
    for place in np.unique(np.stack([s.station, s.depth_m]), axis=1).T:
        mine = np.flatnonzero((s.station == place[0]) & (s.depth_m == place[1]))
        mine = mine[np.argsort(s.at_h[mine])]
        out = mine[s.at_h[mine] > s.at_h[mine[-1]] - 24.0 * OUT_DAYS]
        if len(mine) == len(s.at_h) or len(out) < NEWEST:
            continue
        cov = np.linalg.inv(precise[np.ix_(out, out)])
        off = float(np.mean((cov @ weighed[out])[-NEWEST:]))
        sd = float(np.sqrt(cov[-NEWEST:, -NEWEST:].sum())) / NEWEST
        if abs(off) / max(ODD_SD * sd, ODD_K) > worst:
            worst = abs(off) / max(ODD_SD * sd, ODD_K)
            way = "above" if off > 0 else "below"
            where = f"station {int(place[0]) + 1} at {place[1] * 100:g} cm"
            reason = (
                f"{where} reads {abs(off):.0f} °C {way} what the heap and the other places make likely: look "
                "at the probe, and read beside it, before believing either"
            )
            told = (*standing, Finding("suspect probe", reason, int(place[0]), float(place[1] * 100)))
    return told


def _standing(fitted: Fitted) -> tuple[Finding, ...]:
    """Stations whose last rounds are the same to the last figure, at every depth."""
    s, temp, found = fitted.tidied.spots, fitted.tidied.temp_c, []
    for station in np.unique(s.station):
        mine = s.station == station
        depths = np.unique(s.depth_m[mine])
        rounds = NEWEST if len(depths) > 1 else NEWEST + 3
        last = [np.flatnonzero(mine & (s.depth_m == depth)) for depth in depths]
        last = [place[np.argsort(s.at_h[place])][-rounds:] for place in last]
        if all(len(place) == rounds and np.ptp(temp[place]) == 0 for place in last):
            reason = (
                f"station {int(station) + 1} has shown the same temperatures {rounds} rounds in a row: is "
                "the probe alive?"
            )
            found.append(Finding("suspect probe", reason, int(station)))
    return tuple(found)


def _kept(fitted: Fitted) -> float:
    """Share of the belief's variance that the fit left."""
    return float(np.mean(fitted.left.var(axis=1)) / max(np.mean(fitted.before.var(axis=1)), 1e-9))


def wrong_heat(fitted: Fitted, b: Leftover) -> tuple[Finding, ...]:
    """A warm heap that rose in days without turn or water, where no guess of its food rises so."""
    t, s = fitted.tidied, fitted.tidied.spots
    young = t.now_h < 24.0 * OLD_DAYS  # then the heap may well be warming up
    if young or not len(s.at_h) or any(t.now_h - one.at_h < 24.0 * QUIET_DAYS for one in t.done):
        return ()
    found = []
    for place in np.unique(np.stack([s.station, s.depth_m]), axis=1).T:
        mine = np.flatnonzero((s.station == place[0]) & (s.depth_m == place[1]))
        mine = mine[np.argsort(s.at_h[mine])]
        then = mine[s.at_h[mine] <= s.at_h[mine[-1]] - 24.0 * RISE_DAYS]
        if not len(then) or s.at_h[mine[-1]] - s.at_h[then[-1]] > 48.0 * RISE_DAYS:
            continue
        a, z = then[-1], mine[-1]
        rise = float(t.temp_c[z] - t.temp_c[a])
        more = fitted.before[z] - fitted.before[a]  # of the rise, what each guess of the belief leaves
        if rise > RISE_K and t.temp_c[z] > WARM_C and _rarely(more, b):
            days = (s.at_h[z] - s.at_h[a]) / 24.0
            reason = (
                f"rose by {rise:.0f} °C in {days:.0f} days with neither turn nor water, more than its food "
                f"explains: heat may come from elsewhere, such as dry matter oxidising. {CARE}"
            )
            found.append(
                Finding("heating for the wrong reason", reason, int(place[0]), float(place[1] * 100))
            )
    return tuple(found[:1])


def _rarely(more: Floats, b: Leftover) -> bool:
    """Whether hardly any guess leaves so little that a place's usual drift explains it."""
    usual: NDArray[np.bool_] = more < b.place_k + b.probe_k
    return float(usual.mean()) < 0.05


def dry_core(fitted: Fitted, outlook: Outlook) -> tuple[Finding, ...]:
    """A core both hot and dry, or one that may pass the heat from which a fire is to be feared."""
    moist = float(np.median(report.moisture(fitted.state)[3]))
    core = float(np.median(mat.temperature(fitted.state)[3]))
    read = float(np.nanmax(outlook.as_now_c)) if np.isfinite(outlook.as_now_c).any() else core
    risk = max((one.chance for one in outlook.passing if one.limit_c >= FIRE_C), default=0.0)
    if moist < DRY and max(core, read) > HOT_C:
        reason = f"the core is hot, {max(core, read):.0f} °C, and likely dry, about {moist:.0%} water. {CARE}"
        return (Finding("nearing dry-core fire", reason),)
    if risk >= FIRE_CHANCE and moist < DRY + 0.05:
        reason = (
            f"one in {1 / risk:.0f} courses passes {FIRE_C:g} °C in {outlook.hours[-1] / 24:.0f} days, and "
            f"the core is likely about {moist:.0%} water. {CARE}"
        )
        return (Finding("nearing dry-core fire", reason),)
    return ()
