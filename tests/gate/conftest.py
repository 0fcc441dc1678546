"""A yard's diary in memory, with a book's manners: what is appended can be read back."""

from datetime import UTC, datetime

import pytest

from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, Line, RowBuilt, What, YardLaidOut

NOW = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)


class Desk:
    """Lines and blobs kept in memory, and the diary of them."""

    def __init__(self, zone: str = "Europe/Dublin", rows: tuple[str, ...] = ("R7", "R8")) -> None:
        self.blobs: dict[str, bytes] = {}
        self.diary = Diary(self.blobs.__getitem__)
        self.write(YardLaidOut(name="a yard", zone=zone))
        for row in rows:
            self.write(RowBuilt(row=row), happened=datetime(2014, 1, 1, tzinfo=UTC))

    def add(self, *entries: Entry) -> None:
        start = self.diary.head
        self.diary.add([Line(start + i, NOW, "", entry) for i, entry in enumerate(entries, start=1)])

    def write(self, what: What, happened: datetime = NOW) -> int:
        self.add(Entry(id=f"t{self.diary.head + 1}", happened=happened, who="test", what=what))
        return self.diary.head


@pytest.fixture
def desk() -> Desk:
    return Desk()


@pytest.fixture
def now() -> datetime:
    return NOW
