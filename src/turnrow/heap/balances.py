"""Whether what went in, came out and stayed adds up: five balances and one tie, per metre of heap."""

from dataclasses import dataclass

import numpy as np

from turnrow.heap import kernel as k
from turnrow.heap.events import Crossing, stores
from turnrow.heap.material import Floats

KINDS = ("dry", "water", "nitrogen", "oxygen", "energy")


@dataclass(frozen=True, eq=False)
class Closure:
    """What a balance misses, as a share of what moved or stood in it; (n,) each, 0 when it closes.

    tie  oxygen the gas gave less oxygen that food and nitrification took
    """

    dry: Floats
    water: Floats
    nitrogen: Floats
    oxygen: Floats
    energy: Floats
    tie: Floats

    def worst(self) -> float:
        return float(max(np.max(np.abs(getattr(self, kind))) for kind in (*KINDS, "tie")))


@dataclass(frozen=True, eq=False)
class Misses:
    """What is missing in each balance and its size [kg, J], added up over legs and events."""

    missing: Floats  # (6, n)
    size: Floats  # (6, n)

    def __add__(self, other: "Misses") -> "Misses":
        return Misses(self.missing + other.missing, np.maximum(self.size, other.size))

    def closure(self) -> Closure:
        return Closure(*(self.missing / np.maximum(self.size, 1e-12)))


def of_leg(before: Floats, after: Floats) -> Misses:
    """A stretch without events, from the accounts of the columns (GIVEN, n) at its ends."""
    d = after[k.EV : k.STATES] - before[k.EV : k.STATES]
    ev, ra, le, lo, nt, nl, oi, ou, ha, hc, hg, hr = (
        d[row - k.EV] for row in (k.EV, k.RA, k.LE, k.LO, k.NT, k.NL, k.OI, k.OU, k.HA, k.HC, k.HG, k.HR)
    )
    heat = after[k.HO2] * after[k.GAM] * lo + k.HNIT * nt
    made = after[k.METW] * lo
    eaten = after[k.GAM] * lo + 4.57 * nt
    came = (-lo, ra + made - ev - le, -nl, oi - ou, heat + hr - ha - hc - hg)
    moved = (lo, ra + made + np.abs(ev) + le, nl, oi + ou, heat + np.abs(ha) + np.abs(hc) + np.abs(hg))
    was, is_ = stores(before), stores(after)
    missing = [getattr(is_, kind) - getattr(was, kind) - c for kind, c in zip(KINDS, came, strict=True)]
    size = [np.abs(getattr(was, kind)) + m for kind, m in zip(KINDS, moved, strict=True)]
    return Misses(np.array([*missing, ou - eaten]), np.array([*size, np.maximum(ou, 1e-9)]))


def of_event(before: Floats, after: Floats, crossing: Crossing) -> Misses:
    """An event: what the heap holds after it, less what it held and what crossed."""
    was, is_ = stores(before), stores(after)
    missing, size = [], []
    for kind in KINDS:
        held, crossed = getattr(was, kind), getattr(crossing, kind)
        missing.append(getattr(is_, kind) - held - crossed)
        size.append(np.abs(held) + np.abs(crossed))
    none = np.zeros_like(missing[0])
    return Misses(np.array([*missing, none]), np.array([*size, none + 1e-9]))
