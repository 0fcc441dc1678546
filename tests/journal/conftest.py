"""A book, and entries to write in it."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from turnrow.journal.book import Book
from turnrow.yard import blocks, entries, readings
from turnrow.yard.entries import Entry

WRITTEN = datetime(2026, 5, 3, 8, 0, tzinfo=UTC)

Make = Callable[..., Entry]


@pytest.fixture
def written() -> datetime:
    return WRITTEN


@pytest.fixture
def make() -> Make:
    """An entry; without more, row R7 turned."""

    def entry(id: str, what: entries.What | None = None, **more: object) -> Entry:
        more.setdefault("happened", WRITTEN - timedelta(minutes=20))
        more.setdefault("who", "Ana")
        return Entry(id=id, what=what or entries.Turned(row="R7"), **more)

    return entry


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.create(str(tmp_path / "yard.journal")) as made:
        yield made


@pytest.fixture
def packed() -> bytes:
    """A block of 50 readings, a minute apart."""
    n = 50
    at = np.arange(n, dtype=np.int64) * 60 + 1_777_800_000
    return blocks.pack(
        readings.Readings(
            at=at,
            day=np.zeros(n, np.int32),
            station=np.zeros(n, np.int32),
            depth=np.full(n, 900, np.int32),
            value=np.arange(n, dtype=np.int64) * 100_000 + 55_000_000,
            unit=np.zeros(n, np.int8),
            timed=np.ones(n, np.bool_),
            line=np.zeros(n, np.int32),
            item=np.arange(1, n + 1, dtype=np.int32),
            stations=("1",),
        )
    )


@pytest.fixture
def logged(make: Make, packed: bytes) -> Entry:
    """The entry that names `packed`."""
    return make(
        "log",
        entries.LoggerBlock(
            row="R7",
            blob=blocks.name_of(packed),
            count=50,
            first=WRITTEN,
            last=WRITTEN + timedelta(minutes=49),
        ),
    )


@pytest.fixture
def full(book: Book, make: Make, logged: Entry, packed: bytes) -> Book:
    """Six lines of several kinds, one a block, one a strike."""
    every = [
        make("lay", entries.YardLaidOut(name="Low Field", zone="Europe/Dublin")),
        make("built", entries.RowBuilt(row="R7", stations=("1", "2"))),
        make("round", entries.Round(row="R7", unit="C", readings=(entries.Reading("1", 900, 54_900_000),))),
        logged,
        make("turn"),
        make("strike", entries.Struck(line=3, reason="probe broken")),
    ]
    book.append(every, {blocks.name_of(packed): packed}, written=WRITTEN)
    return book
