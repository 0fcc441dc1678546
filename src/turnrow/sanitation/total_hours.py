"""Hours at a temperature in all, in a process of a least length, with spaced turns."""

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.rules import TotalHours
from turnrow.sanitation.found import Found, bracket, counted
from turnrow.sanitation.record import Record
from turnrow.sanitation.series import HAND_ROUNDS, LOGGER_GAP_S
from turnrow.sanitation.turns import TurnCount, counting
from turnrow.sanitation.words import date, temperatures
from turnrow.yard.days import DAY_S, HOUR_S


def judge(proof: TotalHours, record: Record) -> Found:
    cells = record.cells
    days = cells.under(proof.limit)
    span, most = cells.days, _span(record)  # by readings alone; with turns before and after
    inside = None if not len(record.readings) else (cells.first, cells.first + cells.days - 1)
    how = TurnCount(proof.spacing_days)
    turns, every = counting(record.turns, inside, how), counting(record.turns, None, how)
    proven, possible = _seconds(proof, record, days.proven.hot, days.possible.hot)
    need = proof.hours * HOUR_S
    verdict = bracket(
        len(turns) >= proof.turns and span >= proof.span_days and proven >= need,
        len(every) >= proof.turns and most >= proof.span_days and possible >= need,
    )
    if not len(record.readings):
        verdict = "NOT_PROVEN"
    short = []
    gap = counted(proof.spacing_days, "calendar day")
    if proven < need:
        short.append(f"{(need - proven) / HOUR_S:.1f} h hot in all ({proven / HOUR_S:.1f} of {proof.hours})")
    if span < proof.span_days:
        short.append(f"{counted(proof.span_days - span, 'day')} of process ({span} of {proof.span_days})")
    if len(turns) < proof.turns:
        more = counted(proof.turns - len(turns), "turn")
        short.append(f"{more} at least {gap} apart ({len(turns)} of {proof.turns})")
    return Found(
        verdict,
        hot_days=days.proven.total,
        longest=days.proven.longest,
        turns=len(turns),
        turn_lines=tuple(turn.line for turn in turns),
        turns_needed=proof.turns,
        short_of=tuple(short),
        because=(
            f"{proven / HOUR_S:.1f} h proven hot ({proof.limit.words()}); they need not be continuous. "
            f"A day read by hand (up to {HAND_ROUNDS} readings a station) and hot at every reading counts "
            "24 h; a logger's day counts the time between two hot readings at most 2 h apart.",
            f"The readings span {counted(span, 'day')}; a turn before or after shows no time in process.",
            f"{counted(len(turns), 'turn')} counted within them, each at least {gap} "
            f"after the one before: {', '.join(date(t.day, record.cells) for t in turns) or 'none'}.",
            *temperatures(cells, days, proof.limit)[:2],
        ),
    )


def _span(record: Record) -> int:
    """Days from the first reading or turn to the last, both counted: the most the process may have had."""
    days = [turn.day for turn in record.turns]
    if len(record.readings):
        days += [record.cells.first, record.cells.first + record.cells.days - 1]
    return max(days) - min(days) + 1 if days else 0


def _seconds(
    proof: TotalHours, record: Record, hot: NDArray[np.bool_], able: NDArray[np.bool_]
) -> tuple[int, int]:
    """Proven hot time, and what it could at best have been, in seconds."""
    cells, series = record.cells, record.series
    if not cells.days:
        return 0, 0
    cover = series.held(series.fits(proof.limit), LOGGER_GAP_S, both=True)
    measured = series.day_seconds(cover, cells.first, cells.days)
    by_hand = cells.count.max(axis=1) <= HAND_ROUNDS
    proven = int(np.where(hot & by_hand, DAY_S, np.minimum(measured, DAY_S)).sum())
    if proven >= proof.hours * HOUR_S:
        return proven, proven
    best = series.best_spans(series.fits(proof.limit, best=True)).seconds.sum()
    return proven, max(int(best), int(DAY_S * able.sum()), proven)
