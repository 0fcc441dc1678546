"""Readings, events and air as they can be reckoned with; what was set aside or assumed, in plain words."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.bare.taken import wrong_way_round
from turnrow.heap.bare.turns_seen import UNLOGGED
from turnrow.heap.known import Done, Known, Measured, Read
from turnrow.heap.leftover import Floats, Spots
from turnrow.heap.run import Happening

HOUR = 3600
COLDEST_C, HOTTEST_C = -40.0, 120.0
FALL_K, CLEAR_K = 8.0, 3.0  # OWN: a heap that was turned; a heap that surely was not
SOON_H, LATE_H, BEFORE_H = 3.0, 30.0, 3.0
AGAIN_H = 3.0  # a logger shows one fall for as many hours as it is held against the rounds before it
STILL, STILL_H = 8, 24.0  # so many readings of one value over so long: the probe is not alive
GAP_H = 120.0
UNSAID_CM = 60.0  # OWN: a probe's usual depth
MOST = 160  # readings fitted; more are thinned, the newest least
SPACINGS_H = (4.0, 6.0, 8.0, 12.0, 18.0, 24.0, 36.0, 48.0, 72.0, 120.0, 240.0)
NEW_H = 72.0
UNKNOWN_LENGTH = 10.0  # widths


@dataclass(frozen=True, eq=False)
class Tidied:
    """start_s: hour 0, the hour of the build; now_h whole hours; spots and temp_c (m,) the readings;
    done up to now, on whole hours, water per metre; measured; notices."""

    start_s: int
    now_h: int
    spots: Spots
    temp_c: Floats
    done: tuple[Happening, ...]
    measured: tuple[Measured, ...]
    notices: tuple[str, ...]


def tidy(known: Known, now_s: int, length_m: float, high_m: float = np.inf) -> Tidied:
    """What of `known` was known at now_s and can be reckoned with. ValueError for a now before the build."""
    if now_s < known.built_s:
        raise ValueError(f"now {now_s} s, want not before the build, {known.built_s} s")
    start = known.built_s // HOUR * HOUR
    notices: list[str] = []
    read = _sound(known, now_s, start, high_m, notices)
    done = [
        one
        for one in sorted(known.done, key=lambda one: one.at_s)
        if known.built_s <= one.at_s <= now_s and (one.written_s is None or one.written_s <= now_s)
    ]
    done = _moved(done, read, start, notices)
    at_h = (read.at_s - start) / HOUR
    leg = np.searchsorted([one.at_s for one in done], read.at_s, side="right").astype(float)
    spots = Spots(at_h, leg, read.depth_cm / 100.0, read.station)
    now = (now_s - start) / HOUR
    longest = float(
        np.diff(np.unique(np.append(at_h, now)), prepend=now if not len(at_h) else at_h.min()).max()
    )
    if longest > GAP_H:
        notices.append(f"nothing was read for {longest / 24:.0f} days: the model alone bridges them.")
    kept = _thinned(spots, now)
    happenings = tuple(happening(one, start, length_m) for one in done)
    measured = tuple(one for one in known.measured if _credible(one, known.built_s, now_s, notices))
    now_h = (now_s - start) // HOUR
    return Tidied(start, now_h, spots.pick(kept), read.temp_c[kept], happenings, measured, tuple(notices))


def happening(one: Done, start: int, length_m: float) -> Happening:
    """As the heap's march takes it: on the nearest hour, water per metre. ValueError for an unknown kind."""
    hour = max(round((one.at_s - start) / HOUR), 0)
    return Happening(float(hour), one.kind, one.water_m3 * 1000.0 / length_m, max(one.water_c, 0.0))


def _sound(known: Known, now_s: int, start: int, high_m: float, notices: list[str]) -> Read:
    read = known.read
    early = read.at_s < known.built_s
    odd = ~((read.temp_c > COLDEST_C) & (read.temp_c < HOTTEST_C))  # True for what is no number
    _say(notices, int((early & ~odd).sum()), "taken before the heap was built: passed over.")
    _say(notices, int(odd.sum()), "no heap's temperature: set aside.")
    good = _part(read, ~early & ~odd & (read.at_s <= now_s))
    unsaid = ~np.isfinite(good.depth_cm)
    _say(notices, int(unsaid.sum()), f"without a depth: taken as at {UNSAID_CM:g} cm.")
    good = replace(good, depth_cm=np.where(unsaid, UNSAID_CM, np.maximum(good.depth_cm, 0.0)))
    good = _hourly(good, start)
    deep = int((good.depth_cm > 100.0 * high_m).sum())
    _say(notices, deep, f"deeper than the heap is high, {high_m:.1f} m: taken as its middle's.")
    for say, doubtful in (
        ("not changed for a day and longer: is the probe alive? Set aside.", _standing),
        ("like another depth's: two depths the wrong way round? Set aside.", _swapped),
    ):
        bad = doubtful(good)
        _say(notices, int(bad.sum()), say)
        good = _part(good, ~bad)
    return good


def _say(notices: list[str], count: int, what: str) -> None:
    if count:
        notices.append(f"{count} reading{'s' if count > 1 else ''} {what}")


def _part(read: Read, these: NDArray[np.bool_]) -> Read:
    return Read(read.at_s[these], read.depth_cm[these], read.station[these], read.temp_c[these])


def _hourly(read: Read, start: int) -> Read:
    """The last reading of each place in each hour, in order."""
    order = np.lexsort((read.at_s, read.depth_cm, read.station, (read.at_s - start) // HOUR))
    read = _part(read, order)  # type: ignore[arg-type]
    if not len(read.at_s):
        return read
    key = np.stack([(read.at_s - start) // HOUR, read.station, np.round(read.depth_cm * 10)])
    last = np.append(np.any(key[:, 1:] != key[:, :-1], axis=0), True)
    return _part(read, last)


def _places(read: Read) -> list[NDArray[np.intp]]:
    """For each station and depth, where its readings stand, in order of time."""
    found, number = np.unique(
        np.stack([read.station, np.round(read.depth_cm * 10)]), axis=1, return_inverse=True
    )
    return [np.flatnonzero(number.ravel() == i) for i in range(found.shape[1])]


def _standing(read: Read) -> NDArray[np.bool_]:
    bad = np.zeros(len(read.at_s), dtype=np.bool_)
    for place in _places(read):
        value, at = read.temp_c[place], read.at_s[place] / HOUR
        edges = np.flatnonzero(np.diff(value) != 0) + 1
        for same in np.split(np.arange(len(place)), edges):
            if len(same) >= STILL and at[same[-1]] - at[same[0]] >= STILL_H:
                bad[place[same[1:]]] = True
    return bad


def _swapped(read: Read) -> NDArray[np.bool_]:
    bad = np.zeros(len(read.at_s), dtype=np.bool_)
    every = _places(read)
    for i, one in enumerate(every):
        for other in every[i + 1 :]:
            if read.station[one[0]] != read.station[other[0]]:
                continue
            _, a, b = np.intersect1d(read.at_s[one] // HOUR, read.at_s[other] // HOUR, return_indices=True)
            rounds = wrong_way_round(read.temp_c[one[a]], read.temp_c[other[b]]) if len(a) > 1 else []
            bad[one[a[rounds]]] = bad[other[b[rounds]]] = True
    return bad


def _falls(read: Read, start: int) -> list[tuple[float, float, float]]:
    """(hour before, hour after, fall [K]) of each round read, against the one or more before it."""
    hour = (read.at_s - start) // HOUR
    rounds = np.unique(hour)
    column = {int(h): i for i, h in enumerate(rounds)}
    every = _places(read)
    table = np.full((len(every), len(rounds)), np.nan)
    for i, place in enumerate(every):
        table[i, [column[int(h)] for h in hour[place]]] = read.temp_c[place]
    found = []
    for i in range(1, len(rounds)):
        best = (0.0, -np.inf)
        for j in range(i - 1, -1, -1):
            if j < i - 1 and rounds[i] - rounds[j] > SOON_H:
                break
            fall = table[:, j] - table[:, i]
            if np.isfinite(fall).any() and np.nanmedian(fall) > best[1]:
                best = (float(rounds[j]), float(np.nanmedian(fall)))
        found.append((best[0], float(rounds[i]), best[1]))
    return found


def _moved(done: Sequence[Done], read: Read, start: int, notices: list[str]) -> list[Done]:
    """The events with turns where the readings show them: one logged late, or not at all."""
    falls = _falls(read, start)
    at = {i: (one.at_s - start) / HOUR for i, one in enumerate(done) if one.kind == "turn"}
    free = [f for f in falls if f[2] >= FALL_K and not any(f[0] - 1 <= h <= f[1] + 1 for h in at.values())]
    moved = list(done)
    for i, hour in at.items():
        shown = [f[2] for f in falls if f[0] - 1 <= hour <= f[1] + 1]
        if shown and max(shown) > CLEAR_K:
            continue
        early = next((f for f in reversed(free) if 0 < hour - f[1] <= LATE_H), None)
        if early is None:
            continue
        free.remove(early)
        notices.append(
            f"no fall at a turn logged, one of {early[2]:.0f} K {hour - early[1]:.0f} h earlier: "
            "taken as logged late."
        )
        moved[i] = replace(done[i], at_s=start + round(_within(early) * HOUR))
    seen = -np.inf
    for one in free:
        if one[1] - one[0] <= SOON_H:
            again, seen = one[1] - seen <= AGAIN_H, one[1]
            if again:
                continue
            notices.append(f"fell by {one[2]:.0f} K {UNLOGGED}: taken as one.")
            moved.append(Done(start + round(_within(one) * HOUR), "turn"))
    return sorted(moved, key=lambda one: one.at_s)


def _within(fall: tuple[float, float, float]) -> float:
    return max(fall[1] - BEFORE_H, 0.5 * (fall[0] + fall[1]))


def _thinned(spots: Spots, now_h: float) -> NDArray[np.bool_]:
    for spacing in SPACINGS_H:
        kept = np.zeros(len(spots.at_h), dtype=np.bool_)
        last: dict[tuple[int, float], float] = {}
        for i in np.argsort(-spots.at_h, kind="stable"):
            place = (int(spots.station[i]), round(float(spots.depth_m[i]), 3))
            age = now_h - float(spots.at_h[i])
            if last.get(place, np.inf) - spots.at_h[i] >= spacing * (1.0 if age < NEW_H else 2.0) - 0.5:
                kept[i] = True
                last[place] = float(spots.at_h[i])
        if kept.sum() <= MOST:
            break
    return kept


def _credible(one: Measured, built_s: int, now_s: int, notices: list[str]) -> bool:
    if one.at_s > now_s:
        return False
    low, high = {"moisture": (0.1, 0.9), "wet_density": (100.0, 1500.0)}[one.quantity]
    sound = low <= one.told.value <= high and one.told.sd > 0 and one.at_s >= built_s
    if not sound:
        notices.append(
            f"a measured {one.quantity.replace('_', ' ')} of {one.told.value:g} is no heap's: set aside."
        )
    return sound
