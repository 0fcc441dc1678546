"""A yard in a real book, spoken to through the desk."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book, Receipt
from turnrow.yard import entries as e
from turnrow.yard.numbers import parse_micro

D0 = datetime(2026, 4, 30, tzinfo=UTC)


def at(day: int, hour: float = 7) -> datetime:
    """d1 is 1 May 2026."""
    return D0 + timedelta(days=day, hours=hour)


class Yard:
    """Writes what happened, asks the desk."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.say(0, e.YardLaidOut(name="Test yard", zone="UTC", invented=True))
        self.desk = Desk(book)

    def say(self, day: int, what: e.What, hour: float = 7, *, day_only: bool = False) -> Receipt:
        """One line straight into the book, as another program would write it."""
        number = self.book.head().line + 1
        entry = e.Entry(id=f"e{number}", happened=at(day, hour), who="ana", what=what, day_only=day_only)
        return self.book.append([entry], written=at(day, hour + 0.5))

    def read(self, row: str, day: int, *values: str, hour: float = 7) -> Receipt:
        readings = tuple(e.Reading(str(n), 600, parse_micro(text)) for n, text in enumerate(values, 1))
        return self.say(day, e.Round(row=row, unit="C", readings=readings, probe="P1"), hour)

    def build(self, row: str, day: int = 0, process: str = "turned") -> None:
        self.say(day, e.RowBuilt(row=row, stations=("1", "2"), process=process), 6)  # type: ignore[arg-type]

    def today(self, day: int, hour: float = 8) -> dict[str, e.Advice]:
        self.desk.refresh()
        return {job.key: job for job in self.desk.today(at(day, hour)).advice}


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    with Book.create(str(tmp_path / "yard.turnrow")) as book:
        yield Yard(book)
