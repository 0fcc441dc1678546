"""The coldest and the hottest reading of each station on each day, and where they stand."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.readings import Readings

NONE = -1


@dataclass(frozen=True, eq=False)
class Daily:
    """d days one after the other, s stations.

    day      (d,) int32    date ordinals
    coldest  (d, s) int64  index into the readings of the lowest that day; -1 where nothing was read
    hottest  (d, s) int64  of the highest
    count    (d, s) int64  readings that day
    """

    day: NDArray[np.int32]
    stations: tuple[str, ...]
    coldest: NDArray[np.int64]
    hottest: NDArray[np.int64]
    count: NDArray[np.int64]


def daily(readings: Readings, stations: tuple[str, ...]) -> Daily:
    """The table over the days from first to last reading; `stations` may name some never read."""
    stations = tuple(dict.fromkeys((*stations, *readings.stations)))
    if not len(readings):
        nothing = np.full((0, len(stations)), NONE, dtype=np.int64)
        return Daily(np.zeros(0, dtype=np.int32), stations, nothing, nothing, nothing)
    first, last = int(readings.day.min()), int(readings.day.max())
    shape = (last - first + 1, len(stations))
    column = np.array([stations.index(name) for name in readings.stations], dtype=np.int64)[readings.station]
    cell = (readings.day - first).astype(np.int64) * shape[1] + column
    order = np.lexsort((np.arange(len(readings)), readings.heat, cell))  # by cell, then from cold to hot
    sorted_cells = cell[order]
    starts = np.flatnonzero(np.diff(sorted_cells, prepend=-1))
    ends = np.append(starts[1:], len(order)) - 1
    cells = sorted_cells[starts]

    def spread(values: NDArray[np.int64], empty: int) -> NDArray[np.int64]:
        whole = np.full(shape[0] * shape[1], empty, dtype=np.int64)
        whole[cells] = values
        return whole.reshape(shape)

    return Daily(
        day=np.arange(first, last + 1, dtype=np.int32),
        stations=stations,
        coldest=spread(order[starts], NONE),
        hottest=spread(order[ends], NONE),
        count=spread(ends - starts + 1, 0),
    )
