"""How the jobs speak: small numbers and days in words, one advice at a time."""

from collections.abc import Iterable

from turnrow.yard import days
from turnrow.yard.entries import Advice

COUNT = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
PLACE = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def count(n: int) -> str:
    return COUNT[n] if 0 <= n < len(COUNT) else str(n)


def place(n: int) -> str:
    """ "second", "21st"."""
    if 0 < n < len(PLACE):
        return PLACE[n]
    tail = "th" if n % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{tail}"


def many(n: int, thing: str) -> str:
    """ "one day", "five days"."""
    return f"{count(n)} {thing}{'' if n == 1 else 's'}"


def listed(names: Iterable[str]) -> str:
    """ "1", "1 and 2", "1, 2 and 3"."""
    every = list(names)
    return " and ".join(([", ".join(every[:-1])] if len(every) > 1 else []) + every[-1:])


def ago(day: int, today: int) -> str:
    """ "today", "yesterday", "4 days ago (3 May)"."""
    if day >= today:
        return "today"
    year = today - day >= days.HALF_A_YEAR
    return "yesterday" if day == today - 1 else f"{today - day} days ago ({days.short_date(day, year)})"


def advice(
    row: str,
    job: str,
    text: str,
    why: str,
    because: Iterable[int] = (),
    *,
    urgent: bool = False,
    rule: str = "",
    key: str = "",
) -> Advice:
    """One job of a row; line numbers in order and once each, 0 (a plain file) left out."""
    return Advice(
        key=f"{row} {key or job}",
        row=row,
        job=job,
        text=text,
        why=why,
        because=tuple(sorted({int(line) for line in because if line > 0})),
        urgent=urgent,
        rule=rule,
    )
