"""A diary in memory, written day by day."""

from datetime import UTC, datetime, timedelta

import pytest

from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, Line, What

START = datetime(2026, 3, 1, 8, tzinfo=UTC)


class Pen:
    """Writes what is said on a day of the season; `diary` is what came of it."""

    def __init__(self) -> None:
        self.diary = Diary({}.__getitem__)

    def write(self, day: int, *whats: What) -> "Pen":
        for what in whats:
            number = self.diary.head + 1
            when = START + timedelta(days=day)
            self.diary.add(
                [Line(number, when, "", Entry(id=f"e{number}", happened=when, who="t", what=what))]
            )
        return self


@pytest.fixture
def pen() -> Pen:
    return Pen()
