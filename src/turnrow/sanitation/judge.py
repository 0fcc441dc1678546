"""One rule, one record: where it stands and why.

A record is judged twice: by what was read, and by what unread time could at best have been. Met by
the first: PASS. By the second only: NOT_PROVEN. By neither: FAIL. What a text leaves to a person is
REVIEW. Of several parts the worst decides.
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

import numpy as np

from turnrow.handbook.rules import (
    Blocks,
    Bounds,
    Duration,
    Held,
    HeldByEquation,
    HotDays,
    Profiles,
    Rule,
    RunningMean,
    TotalHours,
)
from turnrow.sanitation import (
    block_proof,
    duration,
    held,
    hot_days,
    limits,
    needs,
    profiles,
    stations,
    total_hours,
)
from turnrow.sanitation import facts as given
from turnrow.sanitation import (
    policies as choices,
)
from turnrow.sanitation.caution import cautions
from turnrow.sanitation.counts import Counts, with_defaults
from turnrow.sanitation.found import Found, worst
from turnrow.sanitation.record import Record
from turnrow.sanitation.standing import DayTable, Standing, Verdict
from turnrow.yard.entries import Amount
from turnrow.yard.temperature import Limit

NOTHING: Mapping[str, str] = MappingProxyType({})
HEATED = (HotDays, Profiles, Blocks, TotalHours, Held, HeldByEquation)


def judge(
    rule: Rule,
    record: Record,
    facts: Mapping[str, str] = NOTHING,
    policies: Mapping[str, str] = NOTHING,
    settings: Mapping[str, Amount] | None = None,
) -> Standing:
    """The record's standing under `rule`.

    facts, policies  as typed; those of other rules are passed over
    settings         the yard's own values; the handbook's defaults where absent
    Raises Refused, with all of them, for facts or policies that cannot be read.
    """
    return _standing(rule, record, facts, policies, with_defaults(settings))


def _standing(
    rule: Rule,
    record: Record,
    facts: Mapping[str, str],
    policies: Mapping[str, str],
    own: Mapping[str, Amount],
) -> Standing:
    chosen = choices.settle(rule, policies)
    read = given.read(rule, facts)
    found = _proof(rule, record, read, chosen, Counts.of(own))
    parts = [found, *needs.judge(rule, read)]
    if rule.spatial is not None:
        parts.append(stations.judge(rule.spatial, record, read, chosen["stations_by"]))
    verdict = worst(part.verdict for part in parts)
    heated = isinstance(rule.proof, HEATED)
    limit, upper = _limit(rule)
    return Standing(
        rule=rule.id,
        verdict=verdict,
        policies=chosen,
        hot_days=found.hot_days,
        longest_run_days=found.longest,
        hot_hours=_hours(record, limit, upper, proven=False),
        hot_hours_proven=_hours(record, limit, upper, proven=True),
        turns_counted=found.turns,
        turn_lines=found.turn_lines,
        days_needed=found.days_needed,
        turns_needed=found.turns_needed,
        short_of=() if verdict == "PASS" else tuple(s for part in parts for s in part.short_of),
        because=tuple(s for part in parts for s in part.because),
        lines=record.lines,
        run=found.run,
        warnings=(
            *(cautions(record.cells, own) if heated else ()),
            *(s for part in parts for s in part.warnings),
        ),
        known=rule.known,
        open=heated and _open(verdict, parts),
        table=_table(record, limit, upper) if limit is not None else None,
    )


def _open(verdict: Verdict, parts: list[Found]) -> bool:
    """Whether days to come could still meet it: not where a fact refutes it (parts after the first)."""
    refuted = parts[0].final or any(part.verdict == "FAIL" for part in parts[1:])
    return verdict in ("FAIL", "NOT_PROVEN") and not refuted


def judge_all(
    rule: Rule,
    record: Record,
    facts: Mapping[str, str] = NOTHING,
    policies: Mapping[str, str] = NOTHING,
    settings: Mapping[str, Amount] | None = None,
) -> list[Standing]:
    """One standing per reading of the clause that its text leaves open, the default first."""
    every, own = choices.combinations(rule, policies), with_defaults(settings)
    return [_standing(rule, record, facts, chosen, own) for chosen in every]


def judge_many(
    rules: Iterable[Rule],
    record: Record,
    facts: Mapping[str, str] = NOTHING,
    policies: Mapping[str, str] = NOTHING,
    settings: Mapping[str, Amount] | None = None,
) -> dict[str, Standing]:
    """Every rule on one record, which is reckoned by day and station only once."""
    own = with_defaults(settings)
    return {rule.id: _standing(rule, record, facts, policies, own) for rule in rules}


def _proof(
    rule: Rule, record: Record, facts: given.Facts, policies: Mapping[str, str], counts: Counts
) -> Found:
    proof = rule.proof
    if isinstance(proof, HotDays):
        return hot_days.judge(proof, record, facts, policies, counts)
    if isinstance(proof, Profiles):
        return profiles.judge(proof, record, facts, policies, counts)
    if isinstance(proof, Blocks):
        return block_proof.judge(proof, record, facts, policies, counts)
    if isinstance(proof, TotalHours):
        return total_hours.judge(proof, record)
    if isinstance(proof, Held):
        return held.judge(proof, record, facts)
    if isinstance(proof, HeldByEquation):
        return held.equation(proof, record, facts)
    if isinstance(proof, Duration):
        return duration.judge(proof, facts, policies)
    if isinstance(proof, Bounds):
        return limits.judge(proof, facts)
    if isinstance(proof, RunningMean):
        return limits.running_mean(proof, facts)
    return Found("REVIEW", short_of=(proof.ask,), because=("This text leaves it to a person.",))


def _limit(rule: Rule) -> tuple[Limit | None, Limit | None]:
    """The temperature the hot hours and the table are reckoned at; the lowest of several."""
    proof = rule.proof
    if isinstance(proof, HotDays):
        return proof.limit, proof.upper
    if isinstance(proof, Profiles):
        return min((p.limit for p in proof.profiles), key=lambda limit: limit.ninths), None
    if isinstance(proof, Blocks | TotalHours | Held):
        return proof.limit, None
    if isinstance(proof, HeldByEquation):
        return proof.floor, None
    return None, None


def _hours(record: Record, limit: Limit | None, upper: Limit | None, *, proven: bool) -> float:
    """Hours at the limit at every station: a reading holds until the next, or with `proven` both
    must satisfy; a gap over a logger's two hours, or a hand round's 36, is not counted."""
    if limit is None or not len(record.readings):
        return 0.0
    key = (limit.ninths, limit.op, upper.ninths if upper else None)
    if key not in record.hours:
        series = record.series
        fits = series.fits(limit, upper)
        held, sure = (series.hours(series.held(fits, series.usual, both=both)) for both in (False, True))
        record.hours[key] = (held, sure)
    return record.hours[key][proven]


def _table(record: Record, limit: Limit, upper: Limit | None) -> DayTable:
    cells = record.cells
    day = np.arange(cells.first, cells.first + cells.days, dtype=np.int32)
    hot = cells.under(limit, upper).hot
    return DayTable(day, cells.stations, cells.coldest, cells.hottest, cells.count, hot)
