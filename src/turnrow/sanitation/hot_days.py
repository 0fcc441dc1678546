"""Days at a temperature, with turns: most windrow and static-pile clauses."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import lcm

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.rules import HotDays
from turnrow.sanitation import elapsed, peak, words
from turnrow.sanitation.cells import Cells
from turnrow.sanitation.counts import Counts
from turnrow.sanitation.facts import Facts
from turnrow.sanitation.found import Found, bracket
from turnrow.sanitation.record import Record, TurnAt
from turnrow.sanitation.standing import Verdict
from turnrow.sanitation.turns import TurnCount, counting, from_first_hot
from turnrow.sanitation.worlds import World
from turnrow.yard.days import DAY_S, HOUR_S
from turnrow.yard.temperature import NINTH, Limit

UNBOUNDED = 10_000 * NINTH  # what an unread day's mean could be, beyond any compost


@dataclass(frozen=True)
class Claim:
    """The best window of a world, and what it lacks. `run` is first and last day (ordinals)."""

    days: int = 0
    turns: tuple[TurnAt, ...] = ()
    run: tuple[int, int] | None = None
    lacks: tuple[str, ...] = ("days",)

    @property
    def meets(self) -> bool:
        return not self.lacks


def judge(proof: HotDays, record: Record, facts: Facts, policies: Mapping[str, str], counts: Counts) -> Found:
    cells = record.cells
    under = cells.under(proof.limit, proof.upper)
    worlds = (under.proven, under.possible)
    if policies["day"] == "elapsed":
        proven, possible = (
            elapsed.claim(proof, record, policies, counts, worlds[k].hot, best=bool(k)) for k in (0, 1)
        )
        days, turns, run, lacks = proven.days, proven.turns, proven.run, proven.lacks
        verdict = bracket(not lacks, not possible.lacks)
    else:
        best = [_claim(proof, record, facts, policies, counts, w, best=bool(k)) for k, w in enumerate(worlds)]
        days, turns, run, lacks = best[0].days, best[0].turns, best[0].run, best[0].lacks
        verdict = bracket(best[0].meets, best[1].meets)
    over = cells.over(proof.upper) if proof.upper is not None else np.zeros(cells.days, np.bool_)
    final = bool(over.any()) and policies["over_limit_day"] == "disqualifies"
    if final:
        verdict = "FAIL"
        lacks = (*lacks, "over")
    if not len(record.readings):
        verdict = "NOT_PROVEN"
    found = Found(
        verdict,
        hot_days=under.proven.total,
        longest=under.proven.longest,
        turns=len(turns),
        turn_lines=tuple(turn.line for turn in turns),
        days_needed=proof.days,
        turns_needed=proof.turns,
        run=run,
        final=final,
    )
    return replace(
        found,
        short_of=words.short_of(proof, found, days, lacks, policies),
        because=words.because(proof, record, found, under, over, policies, counts),
        warnings=_thin(proof, record, verdict, run, policies, counts),
    )


def _thin(
    proof: HotDays,
    record: Record,
    verdict: Verdict,
    run: tuple[int, int] | None,
    policies: Mapping[str, str],
    counts: Counts,
) -> tuple[str, ...]:
    """Calendar days that were met by readings closer together than daily rounds are."""
    met = verdict == "PASS" and policies["day"] == "calendar" and policies["continuity"] == "consecutive"
    if not met or run is None or not record.readings.timed.any():
        return ()
    readings = record.readings
    at = readings.at[(readings.day >= run[0]) & (readings.day <= run[1]) & readings.timed]
    span = int(at.max() - at.min()) if len(at) else 0
    many = run[1] - run[0] + 1
    if span >= (many - 1) * DAY_S - counts.slack_s:
        return ()
    said = (
        f"The readings of these {many} calendar days span {span / HOUR_S:.2f} h, where daily rounds span "
        f"about {(many - 1) * 24} h and {proof.days} days are {proof.days * 24} h: the authority may not "
        "take them for so many days."
    )
    return (said,)


def _claim(
    proof: HotDays,
    record: Record,
    facts: Facts,
    policies: Mapping[str, str],
    counts: Counts,
    world: World,
    *,
    best: bool,
) -> Claim:
    """The best claim in a world; `best`: the world at its best."""
    cells, hot = record.cells, world.hot
    found = []
    hours = peak.by_day(proof, record, facts, best=best) if proof.peak is not None else None
    how = TurnCount.by(policies, counts, proof.spacing_days, hot, cells.first)
    for i, j in _windows(world, policies["continuity"], proof.days):
        days = world.total if policies["continuity"] == "cumulative" else j - i + 1
        window = (cells.first + i, cells.first + j)
        if proof.turns_inside:
            passes = record.turns if best else from_first_hot(record, window[0])
            turns = counting(passes, window, how)
        else:
            turns = counting(record.turns, None, how)
        lacks = ["days"] if days < proof.days else []
        lacks += ["turns"] if len(turns) < proof.turns else []
        if proof.mean is not None and not _mean(cells, proof.mean, proof.days, hot, i, j):
            lacks.append("mean")
        if hours is not None and not hours.enough(hot, i, j, proof.peak_hours):
            lacks.append("peak")
        found.append(Claim(days, turns, window, tuple(lacks)))
    if not found:
        turns = counting(record.turns, None, how) if not proof.turns_inside else ()
        lacks = ["days"] + (["turns"] if len(turns) < proof.turns else [])
        return Claim(turns=turns, lacks=(*lacks, *(["peak"] if proof.peak else [])))
    return max(found, key=lambda c: (-len(c.lacks), min(c.days, proof.days), len(c.turns), c.days))


def _windows(world: World, continuity: str, days: int) -> Iterator[tuple[int, int]]:
    """Stretches a claim could rest on: unbroken ones, or everything from the first hot day to the
    last. Of those too short only the longest, for what it says of the shortage."""
    every = world.runs
    if continuity == "cumulative":
        if every:
            yield every[0][0], every[-1][1]
        return
    enough = [(i, j) for i, j in every if j - i + 1 >= days]
    if enough:
        yield from enough
    elif every:
        most = max(j - i for i, j in every)
        yield from ((i, j) for i, j in every if j - i == most)


def _mean(cells: Cells, limit: Limit, days: int, hot: NDArray[np.bool_], i: int, j: int) -> bool:
    """Whether some `days` or more of the window's hot days, one after the other, have a mean of
    their daily means that satisfies; each day's mean is that of all its readings, exact.

    A stretch's mean satisfies when the sum of (day's mean - limit) does, so the best stretch ending
    at each day is the running sum less its lowest value so many days back.
    """
    window = slice(i, j + 1)
    these = hot[window]
    total = cells.total[window][these].sum(axis=1).tolist()
    count = cells.count[window][these].sum(axis=1).tolist()
    scale = lcm(*{many for many in count if many})  # so that every mean is a whole number
    sums = [0]
    for heat, many in zip(total, count, strict=True):
        over = heat * (scale // many) - limit.ninths * scale if many else UNBOUNDED * scale
        sums.append(sums[-1] + over)
    lowest = None
    for k in range(days, len(sums)):
        back = sums[k - days]
        lowest = back if lowest is None else min(lowest, back)
        if sums[k] - lowest > 0 or (limit.op == ">=" and sums[k] == lowest):
            return True
    return False
