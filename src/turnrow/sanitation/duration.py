"""Months or days in a system: calendar dates decide, a count of days only where it can."""

from calendar import monthrange
from collections.abc import Mapping
from datetime import date, timedelta

from turnrow.handbook.rules import Duration
from turnrow.sanitation.facts import Facts
from turnrow.sanitation.found import Found
from turnrow.yard.numbers import MICRO, plain


def judge(proof: Duration, facts: Facts, policies: Mapping[str, str]) -> Found:
    if policies["vermi"] == "certifier_sufficient":
        ask = "the certifier's word that the time was sufficient"
        said = "The later text asks for a sufficient time and was not read: a person decides, never we."
        return Found("REVIEW", short_of=(ask,), because=(said,))
    if "system" not in facts.words:
        return Found("NOT_PROVEN", short_of=(f"fact system: say one of {', '.join(proof.systems)}",))
    text = proof.systems[facts.words["system"]]
    if {"start", "end"} <= set(facts.dates):
        return _by_dates(text, facts.dates["start"], facts.dates["end"])
    if "days" in facts.numbers:
        return _by_count(text, facts.numbers["days"])
    return Found("NOT_PROVEN", short_of=("fact start and end: say the dates (or days, a count)",))


def _by_dates(text: str, start: date, end: date) -> Found:
    due = add(start, text)
    said = (
        f"From {start.isoformat()} the asked {words(text)} end on {due.isoformat()}; "
        f"it ended {end.isoformat()}."
    )
    if end >= due:
        return Found("PASS", because=(said,))
    return Found("FAIL", short_of=(f"{(due - end).days} days (until {due.isoformat()})",), because=(said,))


def _by_count(text: str, count: int) -> Found:
    """A count of days may or may not count its first day, so one day under the shortest span of
    those months is still for the dates to say."""
    size = int(text[1:-1])
    if text.endswith("D"):
        low = high = size
    else:
        low, high = span(size)
    given = f"{plain(count)} days"
    if count >= high * MICRO:
        return Found("PASS", because=(f"{given} are at least {words(text)}.",))
    if text.endswith("M") and count >= (low - 1) * MICRO:
        said = f"{words(text)} are {low} to {high} days by the dates; {given} cannot decide."
        return Found("REVIEW", short_of=("fact start and end: say the dates",), because=(said,))
    short = f"{plain(low * MICRO - count)} days ({plain(count)} of {low})"
    return Found("FAIL", short_of=(short,), because=(f"{given} are under {words(text)}.",))


def words(text: str) -> str:
    return f"{text[1:-1]} {'months' if text.endswith('M') else 'days'}"


def add(start: date, text: str) -> date:
    """`start` plus "P4M" or "P60D"; the last of the month where the month is shorter."""
    size = int(text[1:-1])
    if text.endswith("D"):
        return start + timedelta(days=size)
    years, month = divmod(start.month - 1 + size, 12)
    year = start.year + years
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))


def span(months: int) -> tuple[int, int]:
    """Fewest and most days that so many months take, from the first of each month of a year
    without a leap day."""
    first = [date(2025, month, 1) for month in range(1, 13)]
    every = [(add(day, f"P{months}M") - day).days for day in first]
    return min(every), max(every)
