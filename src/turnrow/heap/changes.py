"""What a turn, water or a cover would change, and the plain reason: the same courses with it and without."""

from collections.abc import Mapping, Sequence

import numpy as np

from turnrow.handbook.heap import heap_parameters
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap import report
from turnrow.heap.ahead import LEAST_PASSING, Courses, band, courses
from turnrow.heap.fit import Fitted
from turnrow.heap.known import Done, Known
from turnrow.heap.leftover import Leftover
from turnrow.heap.material import Floats
from turnrow.heap.outlook import Band, WhatIf
from turnrow.heap.track import appetite

AFTER_H = (24, 48, 72)
SMALL_K = 1.0  # OWN: a middle difference below it is none where its sign is not sure
AIRLESS_PCT, DRY, FULL, MIDDLE_K = 5.0, 0.45, 0.2, 3  # OWN: oxygen, moisture, free air; the core's zone


def what_if(
    fitted: Fitted,
    known: Known,
    ways: Mapping[str, Sequence[Done]],
    *,
    hours: int,
    limits_c: Sequence[float],
    depth_cm: float,
    leftover: Leftover | None = None,
) -> tuple[WhatIf, ...]:
    """What each of `ways`, name -> what would be done, changes against doing nothing.

    depth_cm  where temperatures are compared, the deepest read as a rule; hours at least 72
    ValueError for fewer hours, or something to be done before the moment of `fitted`.
    """
    if hours < AFTER_H[-1]:
        raise ValueError(f"{hours} hours, want at least {AFTER_H[-1]}")
    b = leftover or Leftover()

    def go(events: Sequence[Done]) -> Courses:
        return courses(fitted, known, hours=hours, depths_m=(depth_cm / 100.0,), events=events, leftover=b)

    plain = go(())
    return tuple(_told(name, events, go(events), plain, fitted, limits_c) for name, events in ways.items())


def _told(
    name: str,
    events: Sequence[Done],
    gone: Courses,
    plain: Courses,
    fitted: Fitted,
    limits_c: Sequence[float],
) -> WhatIf:
    temp = {h: band((gone.steady[h - 1] - plain.steady[h - 1]).mean(axis=0)) for h in AFTER_H}
    firsts = {limit: (_first(gone, limit), _first(plain, limit)) for limit in limits_c}
    return WhatIf(
        name=name,
        temp_k=temp,
        moisture=band(gone.track.wet[-1] - plain.track.wet[-1]),
        passing={
            limit: (float(np.isfinite(a).mean()), float(np.isfinite(c).mean()))
            for limit, (a, c) in firsts.items()
        },
        first_h={limit: _sooner(a, c) for limit, (a, c) in firsts.items()},
        reason=reason(events, fitted, temp[AFTER_H[-1]]),
    )


def _first(gone: Courses, limit_c: float) -> Floats:
    over = gone.steady.max(axis=1) > limit_c
    return np.where(over.any(axis=0), gone.hours[np.argmax(over, axis=0)], np.inf)


def _sooner(a: Floats, c: Floats) -> Band | None:
    both = np.isfinite(a) & np.isfinite(c)
    return band(a[both] - c[both]) if both.mean() >= LEAST_PASSING else None


def reason(events: Sequence[Done], fitted: Fitted, after: Band) -> str:
    """Why, as a key of `outlook.REASONS`: what most guesses have in common, and what is done about it.

    after  the difference three days ahead [K]
    """
    if abs(after.p50) < SMALL_K and after.p10 <= 0.0 <= after.p90:
        return "no difference"
    kinds = {one.kind for one in events}
    if kinds <= {"cover", "uncover"}:
        return "rain kept off"
    c = fitted.state
    oxygen = float(np.median(report.oxygen_pct(c)[MIDDLE_K]))
    moist = float(np.median(report.moisture(c)[MIDDLE_K]))
    air = float(np.median(mat.free_air(c)[MIDDLE_K]))
    hungry = float(np.median(appetite(c))) < heap_parameters()["finish_uptake"].value
    watered = any(one.water_m3 > 0 for one in events)
    if moist < DRY and (watered or after.p50 < 0):
        return "core dry"
    if after.p50 > 0:
        if air < FULL:
            return "too wet"
        if oxygen < AIRLESS_PCT:
            return "air spent"
        hot = np.median(mat.temperature(c)[MIDDLE_K] - c[k.TH]) > 0
        return "too hot" if hot else "fresh food"
    if hungry:
        return "food used up"
    return "wet and cold" if watered and "turn" not in kinds else "heat let off"
