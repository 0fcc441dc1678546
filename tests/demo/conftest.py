"""The invented season, built once for all tests here."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from turnrow.demo import season
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.yard.entries import Line

END = date(2026, 10, 14)


@dataclass(frozen=True)
class Built:
    book: Book
    desk: Desk
    lines: tuple[Line, ...]

    @property
    def morning(self) -> datetime:
        """Seven in the morning of the season's last day."""
        return datetime(END.year, END.month, END.day, 7, tzinfo=self.desk.zone)

    def day(self, ago: int) -> int:
        """The day's ordinal, so many days before the end."""
        return (END - timedelta(days=ago)).toordinal()


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Built]:
    path: Path = tmp_path_factory.mktemp("demo") / "yard.book"
    season.build(path, end=END)
    with Book.open(str(path)) as book:
        yield Built(book, Desk(book), tuple(book.lines()))
