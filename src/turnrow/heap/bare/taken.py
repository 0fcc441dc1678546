"""One series of temperatures out of a row's readings."""

from collections import Counter

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.days import HOUR_S
from turnrow.yard.readings import NO_DEPTH, Readings
from turnrow.yard.temperature import NINTH

SWAP_K = 8.0  # depths nearer to one another than this are not told apart
MOST_SWAPPED = 3  # so many rounds in a row the other way round are how the heap is now


def places(readings: Readings) -> list[tuple[str, int]]:
    """(station, depth [mm], -1 not said) of the readings, the most read first, then the deepest."""
    count = Counter(zip(readings.station.tolist(), readings.depth.tolist(), strict=True))
    order = sorted(count, key=lambda place: (-count[place], -place[1], place[0]))
    return [(readings.stations[station], depth) for station, depth in order]


def at_place(readings: Readings, station: str, depth: int) -> Readings:
    """The readings of one station at one depth [mm]."""
    code = readings.stations.index(station)
    return readings.pick((readings.station == code) & (readings.depth == depth))


def celsius_of(readings: Readings) -> NDArray[np.float64]:
    """(n,) °C, for physics."""
    return readings.heat / NINTH


def hours_from(at: NDArray[np.int64], start: int) -> NDArray[np.float64]:
    """(n,) hours since `start` [s]."""
    return (at - start) / HOUR_S


def depths_swapped(readings: Readings, station: str, depth: int) -> tuple[NDArray[np.int64], int]:
    """Moments [s] at which the station's reading at `depth` looks like that of another depth and the
    other like it, as when two probes were put in the wrong way round; and that other depth [mm].

    Each round is held against the last one that stood right, so only earlier readings count; after
    MOST_SWAPPED rounds the other way round they are taken as they stand.
    """
    others = sorted({d for s, d in places(readings) if s == station and d not in (depth, NO_DEPTH)})
    mine = at_place(readings, station, depth)
    for other in others:
        theirs = at_place(readings, station, other)
        moments, a, b = np.intersect1d(mine.at, theirs.at, return_indices=True)
        if len(moments) < 2:
            continue
        swapped = wrong_way_round(celsius_of(mine)[a], celsius_of(theirs)[b])
        if swapped:
            return moments[swapped], other
    return np.zeros(0, dtype=np.int64), NO_DEPTH


def wrong_way_round(mine: NDArray[np.float64], theirs: NDArray[np.float64]) -> list[int]:
    """Rounds at which two places, read together (n,) [°C], look as if each were the other."""
    found: list[int] = []
    last, in_a_row = 0, 0
    for i in range(1, len(mine)):
        straight = abs(mine[i] - mine[last]) + abs(theirs[i] - theirs[last])
        crossed = abs(mine[i] - theirs[last]) + abs(theirs[i] - mine[last])
        apart = min(abs(mine[i] - theirs[i]), abs(mine[last] - theirs[last]))
        if apart > SWAP_K and crossed < straight / 3 and in_a_row < MOST_SWAPPED:
            found.append(i)
            in_a_row += 1
            continue
        last, in_a_row = i, 0
    return found
