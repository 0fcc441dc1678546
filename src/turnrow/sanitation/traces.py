"""One station at one depth, out of a row's readings."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.readings import Readings


@dataclass(frozen=True, eq=False)
class Trace:
    """One station at one depth: `index` (m,) into the readings, in time; `at`, `heat` (m,)."""

    station: str
    index: NDArray[np.intp]
    at: NDArray[np.int64]
    heat: NDArray[np.int64]
    timed: NDArray[np.bool_]


def traces_of(readings: Readings) -> Iterator[Trace]:
    """Every station and depth of one row's readings; none where there is no reading."""
    if not len(readings):
        return
    key = readings.station.astype(np.int64) << 32 | (readings.depth.astype(np.int64) + 1)
    order = np.argsort(key, kind="stable")  # readings are sorted by moment; that order stays
    edges = np.flatnonzero(np.diff(key[order])) + 1
    for index in np.split(order, edges):
        name = readings.stations[int(readings.station[index[0]])]
        yield Trace(name, index, readings.at[index], readings.heat[index], readings.timed[index])
