"""Readings in columns: one row's temperatures, as many as a logger can make."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.temperature import UNITS, Unit, ninths

NO_DEPTH = -1


@dataclass(frozen=True, eq=False)
class Readings:
    """Equal-length columns, sorted by moment (n readings).

    at       (n,) int64  seconds UTC; local noon where only the date is known
    day      (n,) int32  the yard's calendar day, as a date ordinal
    station  (n,) int32  index into `stations`
    depth    (n,) int32  millimetres along the probe; -1 not said
    value    (n,) int64  millionths of the unit typed
    unit     (n,) int8   index into UNITS
    timed    (n,) bool   the time of day is known
    line     (n,) int32  the line it stands on; 0 in a plain file
    item     (n,) int32  its place within that line (or row of the file), from 1
    """

    at: NDArray[np.int64]
    day: NDArray[np.int32]
    station: NDArray[np.int32]
    depth: NDArray[np.int32]
    value: NDArray[np.int64]
    unit: NDArray[np.int8]
    timed: NDArray[np.bool_]
    line: NDArray[np.int32]
    item: NDArray[np.int32]
    stations: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.at)

    @cached_property
    def heat(self) -> NDArray[np.int64]:
        """(n,) each reading in ninths of a millionth of a degree Celsius; exact."""
        heat = np.empty(len(self.value), dtype=np.int64)
        for code, name in enumerate(UNITS):
            these = self.unit == code
            if these.all():
                return ninths(self.value, name)
            if these.any():
                heat[these] = ninths(self.value[these], name)
        return heat

    def unit_of(self, index: int) -> Unit:
        return UNITS[int(self.unit[index])]

    def pick(self, chosen: NDArray[np.bool_] | NDArray[np.intp]) -> "Readings":
        """The chosen readings, in their order."""
        return _of([getattr(self, name)[chosen] for name in COLUMNS], self.stations)


COLUMNS = ("at", "day", "station", "depth", "value", "unit", "timed", "line", "item")
TYPES = (np.int64, np.int32, np.int32, np.int32, np.int64, np.int8, np.bool_, np.int32, np.int32)


def none() -> Readings:
    return _of([np.zeros(0, dtype=kind) for kind in TYPES], ())


def _of(columns: Sequence[NDArray[Any]], stations: tuple[str, ...]) -> Readings:
    return Readings(**dict(zip(COLUMNS, columns, strict=True)), stations=stations)


def together(parts: Sequence[Readings]) -> Readings:
    """All `parts` as one, sorted by moment; equal moments keep the order of the parts.

    Station names are matched across parts; the merged list is in order of first sight.
    """
    parts = [part for part in parts if len(part)]
    if not parts:
        return none()
    names = tuple(dict.fromkeys(name for part in parts for name in part.stations))
    place = {name: code for code, name in enumerate(names)}
    columns = [np.concatenate([getattr(part, name) for part in parts]) for name in COLUMNS]
    columns[2] = np.concatenate(
        [np.array([place[name] for name in part.stations], dtype=np.int32)[part.station] for part in parts]
    )
    at = columns[0]
    if len(at) > 1 and np.any(at[1:] < at[:-1]):
        order = np.argsort(at, kind="stable")
        columns = [column[order] for column in columns]
    return _of(columns, names)
