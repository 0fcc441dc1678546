"""Which turns count."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from turnrow.sanitation.record import TurnAt


def counting(
    turns: Sequence[TurnAt],
    within: tuple[int, int] | None,
    spacing_days: int,
    recovery: tuple[NDArray[np.bool_], int, int] | None,
) -> tuple[TurnAt, ...]:
    """The turns that count, in order.

    within        first and last day of the hot period, both included; None where the text does
                  not tie turns to it
    spacing_days  least calendar days between two that count; the earliest are taken
    recovery      (hot days (d,), ordinal of the first, days allowed): at most one turn a day, and
                  every station hot again on one of the days allowed after it
    """
    inside = [t for t in turns if within is None or within[0] <= t.day <= within[1]]
    if recovery is not None:
        inside = _recovered(inside, *recovery)
    if not spacing_days:
        return tuple(inside)
    spaced: list[TurnAt] = []
    for turn in sorted(inside, key=lambda t: t.day):
        if not spaced or turn.day - spaced[-1].day >= spacing_days:
            spaced.append(turn)
    return tuple(spaced)


def _recovered(turns: Sequence[TurnAt], hot: NDArray[np.bool_], first: int, allowed: int) -> list[TurnAt]:
    by_day = {turn.day: turn for turn in reversed(turns)}
    return [
        turn
        for day, turn in sorted(by_day.items())
        if hot[max(day + 1 - first, 0) : max(day + 1 + allowed - first, 0)].any()
    ]
