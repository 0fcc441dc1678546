"""A small yard of four rows behind the real desk, and the pages over it with a clock that stands."""

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from shutil import copyfile

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.web.app import create_app
from turnrow.yard.entries import Entry, Line, Reading, Round, RowBuilt, What

NOW = datetime(2026, 5, 20, 6, 30, tzinfo=UTC)  # half past seven in Dublin
HOST = "http://127.0.0.1:8017"
Write = Callable[..., tuple[Line, ...]]
HOSTILE = (
    "R7/../../etc",
    "..",
    ".",
    'a"b<script>alert(1)</script>',
    "o'neill & sons?x=1#top",
    "%2e%2e%2f",
    "\u202eevil\u202c צור",
    "x" * 200,
    "R 7 {{7*7}}",
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """An empty book's desk."""
    with Book.create(str(tmp_path / "yard.journal")) as book:
        yield Desk(book)


@pytest.fixture
def laid(written: Path, tmp_path: Path) -> Iterator[Desk]:
    """R7 was read for sixteen days and turned, R8 read once, R9 built and never read."""
    where = tmp_path / "laid.journal"
    copyfile(written, where)
    with Book.open(str(where)) as book:
        yield Desk(book)


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of `laid`, written once and copied for each test."""
    where = tmp_path_factory.mktemp("yard") / "yard.journal"
    with Book.create(str(where)) as book:
        _lay(Desk(book))
    return where


def _lay(desk: Desk) -> None:
    start = NOW - timedelta(days=17)

    def write(kind: str, day: int, hour: float = 7, **fields: str) -> None:
        when = (start + timedelta(days=day)).replace(hour=int(hour), minute=0)
        desk.write(kind, {**fields, "happened": when.isoformat()}, now=NOW, who="Ada", device="test")

    write("yard laid out", 0, name="Larkhill yard", zone="Europe/Dublin", invented="yes")
    write("rule chosen", 0, rule="US-503-PFRP-WINDROW")
    for row in ("R7", "R8", "R9"):
        write(
            "row built",
            0,
            row=row,
            parts="goat bedding: 12 t; oat straw: 3 t",
            length="62 m",
            stations="1..3",
        )
    for day in range(1, 17):
        base = 24 + 12 * min(day, 3)
        own = {f"station.{n}": str(base + n / 10) for n in (1, 2, 3)}
        write("round", day, row="R7", unit="C", probe="P1", **own)
        if day in (5, 8, 11, 14):
            write("turned", day, 9, row="R7", machine="loader")
    write("round", 16, row="R8", unit="F", **{"station.1": "131"})


@pytest.fixture
def pages(laid: Desk) -> Iterator[TestClient]:
    """The pages over that yard, as a browser on the same machine sees them."""
    yield from _client(laid)


@pytest.fixture
def blank(desk: Desk) -> Iterator[TestClient]:
    """The pages over a book with nothing in it."""
    yield from _client(desk)


@pytest.fixture
def hostile(desk: Desk) -> Iterator[TestClient]:
    """Rows whose names no gate would let in, as an import from elsewhere could bring them."""
    put(desk, *(RowBuilt(row=name, stations=("1",)) for name in HOSTILE))
    yield from _client(desk)


def put(desk: Desk, *what: What) -> tuple[Line, ...]:
    """Entries past the gate, straight into the book."""
    head = desk.book.head().line
    made = [Entry(id=f"own-{head + n}", happened=NOW, who="Ada", what=one) for n, one in enumerate(what)]
    lines = desk.book.append(made, written=NOW).lines
    desk.refresh()
    return lines


def tell(desk: Desk, said: Iterable[tuple[str, dict[str, str]]]) -> None:
    """Entries of the day before, kind and fields, through the gate."""
    for kind, fields in said:
        desk.write(kind, {**fields, "happened": "2026-05-19"}, now=NOW, who="Ana")


def _client(desk: Desk) -> Iterator[TestClient]:
    app = create_app(desk, clock=lambda: NOW)
    headers = {"Origin": HOST, "Sec-Fetch-Site": "same-origin"}
    with TestClient(app, base_url=HOST, headers=headers, follow_redirects=False) as client:
        yield client


@pytest.fixture
def long(desk: Desk) -> Iterator[TestClient]:
    """A slow heap read once a day for three thousand days at three stations."""
    first = NOW - timedelta(days=3_000)
    made = [Entry(id="built", happened=first, who="Ada", what=RowBuilt(row="S1", stations=("1", "2", "3")))]
    for day in range(3_000):
        readings = tuple(Reading(str(n), -1, (20 + (day * n) % 41) * 1_000_000) for n in (1, 2, 3))
        when = first + timedelta(days=day)
        made.append(
            Entry(id=f"d{day}", happened=when, who="Ada", what=Round(row="S1", unit="C", readings=readings))
        )
    desk.book.append(made, written=NOW)
    desk.refresh()
    yield from _client(desk)
