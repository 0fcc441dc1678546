"""Readings set aside before anything is drawn from them, each by what came before it."""

import numpy as np
from numpy.typing import NDArray

Hours = NDArray[np.float64]
COLDEST_C, HOTTEST_C = -40.0, 120.0  # OWN: beyond, no core of a heap; a fire is seen without a probe
FIRE_C = 85.0  # OWN: microbes stop far below; told once, at the first reading
SEVERAL = 3  # readings in a row, the newest
JUMP_K_H = 10.0  # the setting jump_c_per_hour, its default
AGREE_K = 3.0
NEAR_H = 48.0
LOOK_BACK = 64  # readings


def screen(hour: Hours, heat: Hours) -> tuple[NDArray[np.bool_], list[tuple[int, str]]]:
    """(n,) which readings to keep, and (place, reason) of the others; sorted by time, °C.

    impossible   outside −40..120 °C
    other unit   far from the last day's median, and near it were °C taken for °F or °F for °C
    jump         a rise faster than a heap makes; kept from the second reading that agrees with it

    A second reading that agrees with one in the other unit is kept, too, but not above FIRE_C.

    A fall is never set aside: a turn looks like that.
    """
    kept = np.zeros(len(hour), dtype=np.bool_)
    why: list[tuple[int, str]] = []
    waiting = np.nan
    for i in range(len(hour)):
        value = float(heat[i])
        if not COLDEST_C < value < HOTTEST_C:
            why.append((i, f"{value:.1f} °C is no heap's temperature{_were(value)}"))
            continue
        near = max(i - LOOK_BACK, int(np.searchsorted(hour, hour[i] - NEAR_H, side="right")))
        before = near + np.flatnonzero(kept[near:i])[-9:]
        if len(before):
            usual, last = float(np.median(heat[before])), before[-1]
            swapped = _swapped(value, usual)
            if swapped and (value > FIRE_C or not abs(value - waiting) < AGREE_K):
                why.append((i, f"{value:.1f} °C among readings about {usual:.0f} °C: {swapped}"))
                waiting = value
                continue
            apart = hour[i] - hour[last]
            limit = JUMP_K_H * max(1.0, apart)
            if apart <= 6 and value - heat[last] > limit and not abs(value - waiting) < AGREE_K:
                rise = value - heat[last]
                why.append((i, f"rose {rise:.0f} K in {apart:.1f} h, faster than a heap does"))
                waiting = value
                continue
        kept[i] = True
        waiting = np.nan
    return kept, why


def as_fahrenheit(heat: Hours) -> tuple[int, float, float] | None:
    """Whether readings (n,) [°C], in order of time, look like °F written as °C: how many lie above FIRE_C,
    and the lowest and highest [°C] they would be.

    None unless these are half of all or of the newest half, two at least, or the newest SEVERAL. Readings
    that are no heap's as °F either are passed over. The range is that of all where none would freeze.
    """
    heat = heat[heat <= FIRE_C * 1.8 + 32]
    hot = heat > FIRE_C
    halves = (hot[-n:] for n in (len(hot), (len(hot) + 1) // 2))
    many = any(part.sum() >= max(2.0, len(part) / 2) for part in halves)
    if not many and not (len(hot) >= SEVERAL and hot[-SEVERAL:].all()):
        return None
    these = heat if heat.min() >= 32 else heat[hot]
    return int(hot.sum()), float(these.min() - 32) / 1.8, float(these.max() - 32) / 1.8


def _were(value: float) -> str:
    return "; is it °F?" if HOTTEST_C <= value <= FIRE_C * 1.8 + 32 else ""


def _swapped(value: float, usual: float) -> str:
    """Why a value [°C] may stand in the other unit; nothing where it is near or no unit explains it."""
    if abs(value - usual) < 20:
        return ""
    if abs((value - 32) / 1.8 - usual) < 5:
        return "was °F written as °C?"
    if abs(value * 1.8 + 32 - usual) < 5:
        return "was °C written as °F?"
    return ""
