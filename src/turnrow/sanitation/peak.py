"""Hours above a peak within the hot days: what a log can prove and a daily round never can."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.rules import HotDays
from turnrow.sanitation.facts import Facts, hours_fact
from turnrow.sanitation.record import Record
from turnrow.sanitation.series import LOGGER_GAP_S
from turnrow.yard.days import HOUR_S
from turnrow.yard.numbers import MICRO, plain


@dataclass(frozen=True)
class PeakHours:
    """`said` hours [millionths] where they were given as a fact, else `seconds` by day (d,)."""

    said: int | None
    seconds: NDArray[np.int64]

    def enough(self, hot: NDArray[np.bool_], i: int, j: int, hours: int) -> bool:
        """Whether the hot days from index i to j hold so many hours."""
        if self.said is not None:
            return self.said >= hours * MICRO
        return bool(self.seconds[i : j + 1][hot[i : j + 1]].sum() >= hours * HOUR_S)


def by_day(proof: HotDays, record: Record, facts: Facts, *, best: bool) -> PeakHours:
    """Peak hours by day: between two readings at most two hours apart that both satisfy; at `best`
    also between readings of which one does, and any longer time in which nothing was read."""
    assert proof.peak is not None
    said = stated(proof, facts)
    cells, series = record.cells, record.series
    fits = series.fits(proof.peak, best=best)
    cover = series.held(fits, LOGGER_GAP_S, both=True)
    if best:
        either = fits.copy()
        either[:-1] |= fits[1:]
        cover = (series.gap > 0) & (either | (series.gap > LOGGER_GAP_S))
    return PeakHours(said, series.day_seconds(cover, cells.first, cells.days))


def stated(proof: HotDays, facts: Facts) -> int | None:
    """The hours given as a fact. Hours above a limit also count where the text says "at or above",
    but none above says nothing of hours at it."""
    assert proof.peak is not None
    own = facts.numbers.get(hours_fact(proof.peak))
    if own is not None or proof.peak.op == ">":
        return own
    above = facts.numbers.get(f"hours_above_{plain(proof.peak.value)}")
    return above if above is not None and above >= proof.peak_hours * MICRO else None
