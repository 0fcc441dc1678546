"""Invented logs: a heap that warms up, is turned and fades, as a logger or a person with a probe reads it."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from turnrow.heap.bare.log import BareLog, bare_log

Column = NDArray[np.float64]
TURNS = (120.0, 288.0)


def heap_at(hour: Column) -> Column:
    """An invented heap [°C]: up to 60 in four days, fading after, two turns that cost 20 K for half a day."""
    heat = np.where(hour < 96, 10 + 50 * hour / 96, 12 + 48 * np.exp(-(hour - 96) / 900))
    for turn in TURNS:
        heat = heat - np.where(hour >= turn, 20 * np.exp(-(hour - turn) / 9), 0.0)
    return np.asarray(heat + 0.4 * np.sin(hour * 1.7))


@pytest.fixture(scope="session")
def read() -> Callable[..., BareLog]:
    """A log of that heap read every `every` hours for `days`, changed by `change(hour, heat)`."""

    def make(
        every: float = 0.5,
        days: float = 20.0,
        turned: tuple[float, ...] = TURNS,
        change: Callable[[Column, Column], Column] | None = None,
        air: bool = True,
    ) -> BareLog:
        hour = np.arange(0.0, days * 24, every)
        heat = heap_at(hour) if change is None else change(hour, heap_at(hour))
        air_hour = hour if air else np.zeros(0)
        return bare_log(hour, heat, np.array(turned), air_hour, 12 + 4 * np.sin(air_hour / 24 * 6.283))

    return make
