"""Days reckoned as elapsed time: n daily readings span (n - 1) x 24 h."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.rules import HotDays
from turnrow.sanitation.counts import Counts
from turnrow.sanitation.record import Record, TurnAt
from turnrow.sanitation.series import Spans
from turnrow.sanitation.turns import TurnCount, counting
from turnrow.yard.days import DAY_S


@dataclass(frozen=True)
class Claim:
    days: int
    turns: tuple[TurnAt, ...]
    run: tuple[int, int] | None
    lacks: tuple[str, ...]


def claim(
    proof: HotDays,
    record: Record,
    policies: Mapping[str, str],
    counts: Counts,
    hot: NDArray[np.bool_],
    *,
    best: bool,
) -> Claim:
    """The best claim by elapsed time: whole days between hot readings, every station at once.

    Proven time lies between two neighbouring hot readings no further apart than a hand round's 36 h
    or a logger's two; at `best` any gap between two counts and a day either side, never past a
    reading that was not hot.
    """
    spans = _spans(proof, record, best=best)
    how = TurnCount.by(policies, counts, proof.spacing_days, hot, record.cells.first)
    lengths = spans.seconds.tolist()
    whole = [(length, k, k) for k, length in enumerate(lengths)]
    if policies["continuity"] == "cumulative" and whole:
        whole = [(sum(lengths), 0, len(lengths) - 1)]
    by_clock = bool(record.readings.timed.any())  # else a reading's moment is only its day
    found = []
    for seconds, a, z in whole:
        first, last = int(spans.first[a]), int(spans.last[z])
        inside, within = record.turns, None
        if proof.turns_inside:
            within = (first, last)
            inside = tuple(
                t for t in inside if not (t.timed and by_clock) or spans.start[a] <= t.at <= spans.end[z]
            )
        turns = counting(inside, within, how)
        lacks = ["days"] if seconds < proof.days * DAY_S else []
        lacks += ["turns"] if len(turns) < proof.turns else []
        found.append((seconds, Claim(seconds // DAY_S, turns, (first, last), tuple(lacks))))
    if not found:
        return Claim(0, (), None, ("days", "turns") if proof.turns else ("days",))
    need = proof.days * DAY_S
    return max(found, key=lambda f: (-len(f[1].lacks), min(f[0], need), len(f[1].turns), f[0]))[1]


def _spans(proof: HotDays, record: Record, *, best: bool) -> Spans:
    series = record.series
    fits = series.fits(proof.limit, proof.upper, best=best)
    if best:
        return series.best_spans(fits)
    unread = record.cells.asked & (record.cells.count.sum(axis=0) == 0)
    cover = series.held(fits, series.usual, both=True)
    return series.spans(cover & (not unread.any()))
