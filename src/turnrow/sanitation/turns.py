"""Which turns count."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.sanitation.counts import Counts
from turnrow.sanitation.record import Record, TurnAt


@dataclass(frozen=True)
class TurnCount:
    """How passes are counted.

    spacing_days  least calendar days between two that count; the earliest are taken
    visit_s       seconds from its first pass within which further passes are the same turn; 0: each counts
    recovery      (hot days (d,), ordinal of the first, days allowed): at most one turn a day, and
                  every station hot again on one of the days allowed after it
    """

    spacing_days: int = 0
    visit_s: int = 0
    recovery: tuple[NDArray[np.bool_], int, int] | None = None

    @classmethod
    def by(
        cls,
        policies: Mapping[str, str],
        counts: Counts,
        spacing_days: int,
        hot: NDArray[np.bool_],
        first: int,
    ) -> "TurnCount":
        """As the policy `turn_count` says; where a text has none of it, one turn a visit.

        hot, first  hot days (d,) and the ordinal of the first
        """
        how = policies.get("turn_count", "visit")
        recovery = (hot, first, counts.recovery_days) if how == "recovery" else None
        return cls(spacing_days, counts.visit_s if how == "visit" else 0, recovery)


def counting(turns: Sequence[TurnAt], within: tuple[int, int] | None, how: TurnCount) -> tuple[TurnAt, ...]:
    """The turns that count, in order.

    within  first and last day of the hot period, both included; None where the text does not tie turns to it
    """
    inside = [t for t in turns if within is None or within[0] <= t.day <= within[1]]
    if how.recovery is not None:
        inside = _recovered(inside, *how.recovery)
    elif how.visit_s:
        inside = visits(inside, how.visit_s)
    if not how.spacing_days:
        return tuple(inside)
    spaced: list[TurnAt] = []
    for turn in sorted(inside, key=lambda t: t.day):
        if not spaced or turn.day - spaced[-1].day >= how.spacing_days:
            spaced.append(turn)
    return tuple(spaced)


def visits(passes: Sequence[TurnAt], visit_s: int) -> list[TurnAt]:
    """The first pass of each visit. Passes of one day are one visit where one of them has no time."""
    found: list[TurnAt] = []
    for turn in sorted(passes, key=lambda t: (t.day, t.timed, t.at)):
        first = found[-1] if found else None
        if first is not None and first.timed and turn.timed:
            same = turn.at - first.at <= visit_s
        else:
            same = first is not None and turn.day == first.day
        if not same:
            found.append(turn)
    return found


def from_first_hot(record: Record, first: int) -> tuple[TurnAt, ...]:
    """The turns without those of day `first` that are known to come before its first reading: a hot period
    is shown from its first hot reading on."""
    if not record.readings.timed.any():
        return record.turns
    that_day = record.readings.day == first
    if not that_day.any() or not record.readings.timed[that_day].all():
        return record.turns
    from_s = int(record.readings.at[that_day].min())
    return tuple(t for t in record.turns if not (t.timed and t.day == first and t.at < from_s))


def _recovered(turns: Sequence[TurnAt], hot: NDArray[np.bool_], first: int, allowed: int) -> list[TurnAt]:
    by_day = {turn.day: turn for turn in reversed(turns)}
    return [
        turn
        for day, turn in sorted(by_day.items())
        if hot[max(day + 1 - first, 0) : max(day + 1 + allowed - first, 0)].any()
    ]
