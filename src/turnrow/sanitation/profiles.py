"""Any one of several temperatures, each held for its own days; a hotter day counts for the lower
lines too."""

from collections.abc import Mapping
from dataclasses import replace

from turnrow.handbook.rules import HotDays, Profile, Profiles
from turnrow.sanitation import hot_days
from turnrow.sanitation.counts import Counts
from turnrow.sanitation.facts import Facts
from turnrow.sanitation.found import Found
from turnrow.sanitation.record import Record
from turnrow.sanitation.standing import WORST


def judge(
    proof: Profiles, record: Record, facts: Facts, policies: Mapping[str, str], counts: Counts
) -> Found:
    """The best line's finding; where none is met, what each lacks."""
    each = [(p, _line(p, record, facts, policies, counts)) for p in proof.profiles]
    line, best = min(
        each, key=lambda pair: (WORST.index(pair[1].verdict), -pair[1].hot_days / pair[1].days_needed)
    )
    said = [f"Judged by the line {line.limit.words()} for {line.days} days."]
    short: tuple[str, ...] = best.short_of
    if best.verdict in ("FAIL", "NOT_PROVEN"):
        short = tuple(f"{p.limit.words()}: {'; '.join(f.short_of)}" for p, f in each)
    return replace(best, short_of=short, because=(*said, *best.because))


def _line(line: Profile, record: Record, facts: Facts, policies: Mapping[str, str], counts: Counts) -> Found:
    days = HotDays(limit=line.limit, days=line.days)
    if not line.as_unbroken_as_possible:
        return hot_days.judge(days, record, facts, policies, counts)
    row = hot_days.judge(days, record, facts, {**policies, "continuity": "consecutive"}, counts)
    if row.verdict == "PASS":
        return row
    total = hot_days.judge(days, record, facts, {**policies, "continuity": "cumulative"}, counts)
    if total.verdict == "PASS":
        ask = "The text wants these days as unbroken as possible; they are not in a row, so a person decides."
        return replace(
            total,
            verdict="REVIEW",
            short_of=("a person's word on whether the days were as unbroken as possible",),
            because=(*total.because, ask),
        )
    return total
