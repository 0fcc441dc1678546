"""Turns as the log itself shows them: a core that falls faster than a heap cools was moved."""

import numpy as np
from numpy.typing import NDArray

Hours = NDArray[np.float64]
FALL_K = 5.0  # OWN: within FALL_H; a core of a cubic metre cools by a few K in a day
FALL_H = 3.0
LATE_H = 30.0  # a turn may be written down a day late
MATCH_H = 6.0
UNLOGGED = "as a turned heap does, and no turn is logged"


def drops(hour: Hours, heat: Hours) -> Hours:
    """Hours at which a fall of FALL_K within FALL_H was first seen, at least MATCH_H apart; (d,)."""
    found: list[float] = []
    for i in range(1, len(hour)):
        j = int(np.searchsorted(hour, hour[i] - FALL_H))
        if j < i and float(heat[j:i].max()) - heat[i] >= FALL_K and (
            not found or hour[i] - found[-1] > MATCH_H
        ):  # fmt: skip
            found.append(float(hour[i]))
    return np.array(found, dtype=np.float64)


def turns_known(logged: Hours, seen: Hours, until: float) -> tuple[Hours, list[tuple[float, str]]]:
    """The turns to reckon with at hour `until`, from those logged and the falls seen by then; and
    (hour, reason) of what does not fit.

    A fall within MATCH_H after a logged turn (or 1.5 h before it) is that turn. A logged turn that shows
    no fall
    in MATCH_H, while one within LATE_H before it is no other turn's, was logged late: it is put there.
    Any other fall counts as a turn that was not logged.
    """
    free = [float(h) for h in seen]
    turns: list[float] = []
    unmatched: list[float] = []
    odd: list[tuple[float, str]] = []
    for turn in sorted(float(h) for h in logged):
        own = next((h for h in free if -1.5 <= h - turn <= MATCH_H), None)
        if own is None:
            unmatched.append(turn)
        else:
            free.remove(own)
            turns.append(min(turn, own))
    for turn in unmatched:
        early = next((h for h in reversed(free) if 0 < turn - h <= LATE_H), None)
        if early is None or until - turn < MATCH_H:
            turns.append(turn)
            continue
        free.remove(early)
        turns.append(early)
        odd.append((turn, f"no fall at this turn, one {turn - early:.0f} h earlier: logged late?"))
    for fall in free:
        turns.append(fall)
        odd.append((fall, f"fell {UNLOGGED}"))
    return np.array(sorted(turns), dtype=np.float64), odd
