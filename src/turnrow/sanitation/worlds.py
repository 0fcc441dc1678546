"""Days under a limit: which are proven hot, which could at best have been, and what is counted over them.

Many rules share a limit, so each is reckoned once for a record.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.temperature import Unit

HOT, COLD, UNKNOWN = 1, 0, -1

Hot = NDArray[np.int8]


@dataclass(frozen=True, eq=False)
class World:
    """Days taken as hot: `hot` (d,)."""

    hot: NDArray[np.bool_]

    @cached_property
    def total(self) -> int:
        return int(np.count_nonzero(self.hot))

    @cached_property
    def runs(self) -> list[tuple[int, int]]:
        return runs(self.hot)

    @cached_property
    def longest(self) -> int:
        return max((j - i + 1 for i, j in self.runs), default=0)


@dataclass(frozen=True, eq=False)
class Days:
    """hot (d,) HOT, COLD or UNKNOWN; `proven` by what was read, `possible` by what unread days could be.

    said  the days that were not hot, in words, by unit
    """

    hot: Hot
    proven: World
    possible: World
    said: dict[Unit, list[str]]


def runs(hot: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of each unbroken stretch of hot days."""
    walled = np.zeros(len(hot) + 2, np.bool_)
    walled[1:-1] = hot
    edges: list[int] = np.flatnonzero(walled[1:] != walled[:-1]).tolist()
    return [(i, j - 1) for i, j in zip(edges[::2], edges[1::2], strict=True)]
