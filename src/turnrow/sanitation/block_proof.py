"""Hot blocks, each ended by a turn; for risky inputs a longer time and more turns."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.rules import Blocks, HotDays
from turnrow.sanitation import hot_days
from turnrow.sanitation.counts import Counts
from turnrow.sanitation.facts import Facts
from turnrow.sanitation.found import Found, bracket, counted
from turnrow.sanitation.record import Record, TurnAt
from turnrow.sanitation.words import date, temperatures
from turnrow.sanitation.worlds import runs


def judge(proof: Blocks, record: Record, facts: Facts, policies: Mapping[str, str], counts: Counts) -> Found:
    risky = facts.yes.get("high_risk")
    if risky:
        days = HotDays(limit=proof.limit, days=proof.risky_days, turns=proof.risky_turns)
        full = {"continuity": "consecutive", "day": "calendar", "turn_count": "visit", **policies}
        found = hot_days.judge(days, record, facts, full, counts)
        said = f"High-risk inputs: {proof.risky_days} days and {proof.risky_turns} turns are asked for."
        return replace(found, because=(said, *found.because))
    found = _blocks(proof, record)
    if risky is None and found.verdict == "PASS":
        ask = "fact high_risk: say whether manure, food or other risky inputs are in it"
        return replace(found, verdict="NOT_PROVEN", short_of=(ask,))
    return found


def _blocks(proof: Blocks, record: Record) -> Found:
    cells = record.cells
    days = cells.under(proof.limit, None)
    ended = _ended(days.proven.hot, cells.first, record, proof.days)
    best = _ended(days.possible.hot, cells.first, record, proof.days)
    verdict = bracket(len(ended) >= proof.blocks, len(best) >= proof.blocks)
    short = proof.blocks - len(ended)
    if not len(record.readings):
        verdict = "NOT_PROVEN"
    block = f"block of {proof.days} hot days ended by a turn"
    blocks = f"blocks of {proof.days} hot days, each ended by a turn"
    return Found(
        verdict,
        hot_days=days.proven.total,
        longest=days.proven.longest,
        turns=len(ended),
        days_needed=proof.days * proof.blocks,
        turns_needed=proof.blocks,
        run=(ended[0][0], ended[-1][1]) if ended else None,
        short_of=(f"{counted(short, block, blocks)} ({len(ended)} of {proof.blocks})",) if short > 0 else (),
        because=(
            f"{counted(len(ended), block, blocks)}; the hot days of a block follow one another and lie "
            "after the turn before.",
            *(f"Block from {date(a, cells)}, turned on {date(z, cells)}." for a, z in ended[: proof.blocks]),
            *temperatures(cells, days, proof.limit),
        ),
    )


def _ended(hot: NDArray[np.bool_], first: int, record: Record, days: int) -> list[tuple[int, int]]:
    """Blocks as (first day of the hot run, day of the turn): a run of `days` since the last turn.

    The day of a turn belongs to the block it ends, unless the turn came before that day's readings; a
    turn without a time comes after them.
    """
    found = []
    start = 0
    for turn in sorted(record.turns, key=lambda turn: (turn.day, turn.at)):
        turn_day = turn.day
        end = min(turn_day - first + (0 if _before_reading(record, turn) else 1), len(hot))
        long = [(i, j) for i, j in runs(hot[start : max(end, start)]) if j - i + 1 >= days]
        if long:
            found.append((first + start + long[-1][0], turn_day))
        start = min(max(end, start), len(hot))
    return found


def _before_reading(record: Record, turn: TurnAt) -> bool:
    that_day = record.readings.day == turn.day
    if not turn.timed or not that_day.any() or not record.readings.timed[that_day].all():
        return False
    return bool(turn.at < record.readings.at[that_day].min())
