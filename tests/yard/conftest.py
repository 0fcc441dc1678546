"""Lines for a diary, numbered as a book would."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from turnrow.yard import entries
from turnrow.yard.entries import Entry, Line

Lines = Callable[..., list[Line]]


@pytest.fixture(scope="session")
def lines() -> Lines:
    """Lines of `(moment, what)` pairs, in that order; a moment ending in "day" is a date only."""

    def made(*said: tuple[str, entries.What], after: int = 0) -> list[Line]:
        out = []
        for number, (when, what) in enumerate(said, after + 1):
            day_only = when.endswith(" day")
            happened = datetime.fromisoformat(
                when.removesuffix(" day") + "T12:00:00+00:00" if day_only else when
            )
            entry = Entry(id=str(number), happened=happened, who="Ana", what=what, day_only=day_only)
            written = datetime.fromisoformat("2026-05-20T00:00:00+00:00") + timedelta(minutes=number)
            out.append(Line(number, written, f"{number:064x}", entry))
        return out

    return made


@pytest.fixture(scope="session")
def walked() -> Callable[..., entries.Round]:
    """A round of row R7 in °C; stations from 1."""

    def one(*whole: int, row: str = "R7") -> entries.Round:
        read = (entries.Reading(str(place), 900, value * 1_000_000) for place, value in enumerate(whole, 1))
        return entries.Round(row=row, unit="C", readings=tuple(read))

    return one
