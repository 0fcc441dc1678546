"""The disk fails at the first, second, third ... call: the book is as it was, or all is written."""

import resource
import sqlite3
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from turnrow.journal.book import Book
from turnrow.journal.export import export_lines, import_lines
from turnrow.yard import blocks, entries
from turnrow.yard.entries import Entry
from turnrow.yard.wrongs import Refused

NOW = datetime(2026, 5, 3, tzinfo=UTC)
PHOTO = b"not really a picture " * 3000


def entry(id: str, what: entries.What) -> Entry:
    return Entry(id=id, happened=NOW, who="Ana", what=what)


SENT = [
    entry("a", entries.Turned(row="R7")),
    entry("b", entries.Note(text="steam", photo=blocks.name_of(PHOTO))),
    entry("c", entries.Struck(line=1, reason="wrong row")),
]
PHOTOS = {blocks.name_of(PHOTO): PHOTO}


class Failing:
    """A connection that raises at its n-th call, before or after doing it, and works again after that."""

    def __init__(self, real: sqlite3.Connection, n: int, wrong: Exception, after: bool) -> None:
        self.real, self.left, self.wrong, self.after = real, n, wrong, after
        self.raised = False

    def __getattr__(self, name):
        value = getattr(self.real, name)
        return self._counted(value) if name in ("execute", "executemany") else value

    def _counted(self, call):
        def counted(*given):
            self.left -= 1
            if self.left != 0:
                return call(*given)
            self.raised = True
            if self.after:
                call(*given)
            raise self.wrong

        return counted


def full_disk() -> sqlite3.OperationalError:
    """The error as SQLite raises it, taken from a real one: a database that may not grow."""
    with sqlite3.connect(":memory:") as small:
        small.execute("PRAGMA max_page_count = 2")
        small.execute("CREATE TABLE t (x)")
        with pytest.raises(sqlite3.OperationalError) as raised:
            small.execute("INSERT INTO t VALUES (zeroblob(100000))")
    assert raised.value.sqlite_errorname == "SQLITE_FULL"
    return raised.value


def state(book: Book):
    return list(book.store.rows()), book.store.blob_names()


def fail_at(book: Book, n: int, wrong: Exception, after: bool, work) -> bool:
    """Whether the n-th call was reached; the book must then be as before, or done."""
    real = book.store._connection
    failing = Failing(real, n, wrong, after)
    before = state(book)
    book.store._connection = failing
    raised = False
    try:
        work()
    except (Refused, MemoryError):
        raised = True
    finally:
        book.store._connection = real
    if not failing.raised:
        assert not raised
        return False
    assert raised
    unchanged = state(book) == before
    assert unchanged or len(state(book)[0]) == 4  # failed after the commit was through
    assert not real.in_transaction
    assert book.verify() == ()
    return True


@pytest.mark.parametrize("after", [False, True], ids=["call not done", "call done"])
@pytest.mark.parametrize("kind", ["full disk", "no memory"])
def test_an_append_that_fails_at_any_call_is_done_or_undone(tmp_path: Path, kind, after):
    wrong = full_disk() if kind == "full disk" else MemoryError()
    n = 0
    reached = True
    while reached:
        n += 1
        with Book.create(str(tmp_path / f"{n}.journal")) as book:
            book.append([entry("z", entries.Turned(row="R7"))], written=NOW)
            reached = fail_at(book, n, wrong, after, lambda: book.append(SENT, PHOTOS, written=NOW))
            receipt = book.append(SENT, PHOTOS, written=NOW)  # sent again, as a phone would
            assert len(receipt.lines) + len(receipt.known) == 3
            assert [line.entry.id for line in book.lines()] == ["z", "a", "b", "c"]
            assert book.verify() == ()
    assert n > 6


def test_an_import_that_fails_at_any_call_is_done_or_undone(tmp_path: Path):
    source = tmp_path / "whole.jsonl"
    with Book.create(str(tmp_path / "whole.journal")) as whole, source.open("wb") as out:
        whole.append([entry("z", entries.Turned(row="R7")), *SENT[:2]], PHOTOS, written=NOW)
        whole.append(SENT[2:], written=NOW)
        export_lines(whole, out)
        wanted = state(whole)
    wrong, n, reached = full_disk(), 0, True
    while reached:
        n += 1
        with Book.create(str(tmp_path / f"{n}.journal")) as book:
            reached = fail_at(book, n, wrong, False, lambda: import_lines(book, source))
            import_lines(book, source)
            assert state(book) == wanted
    assert n > 6


def test_a_disk_really_full_is_refused_plainly_and_leaves_the_book_whole(tmp_path: Path):
    with Book.create(str(tmp_path / "yard.journal")) as book:
        book.append(SENT, PHOTOS, written=NOW)
        before = state(book)
        pages = book.store._connection.execute("PRAGMA page_count").fetchone()[0]
        book.store._connection.execute(f"PRAGMA max_page_count = {pages}")
        many = [entry(f"n{n}", entries.Note(text="x" * 500)) for n in range(300)]
        with pytest.raises(Refused, match=r"full disk.*Nothing was written"):
            book.append(many, written=NOW)
        assert state(book) == before
        book.store._connection.execute("PRAGMA max_page_count = 1000000")
        assert len(book.append(many, written=NOW).lines) == 300
        assert book.verify() == ()


CRAMPED = """
import resource, signal, sys
from datetime import UTC, datetime
from turnrow.journal.book import Book
from turnrow.yard import entries
from turnrow.yard.wrongs import Refused

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)  # a write beyond the limit then fails, as on a bad disk
where, limit = sys.argv[1], int(sys.argv[2])
now = datetime(2026, 5, 3, tzinfo=UTC)
with Book.open(where) as book:
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    sent = [entries.Entry(id=f"{limit}-{n}", happened=now, who="Ana", what=entries.Note(text="x" * 400))
            for n in range(150)]
    try:
        book.append(sent, written=now)
    except Refused as refused:
        print(refused)
    else:
        print("acknowledged")
"""


def test_writes_the_system_turns_down_leave_the_book_as_it_was(tmp_path: Path):
    """The operating system itself fails the write, at several sizes of the file."""
    where = tmp_path / "yard.journal"
    with Book.create(str(where)) as book:
        book.append(SENT, PHOTOS, written=NOW)
    soft = resource.getrlimit(resource.RLIMIT_FSIZE)
    size = where.stat().st_size
    answers = []
    for limit in (1000, 5000, 20_000, size, size + 4096, size + 40_000, size + 10_000_000):
        told = subprocess.run(
            [sys.executable, "-c", CRAMPED, str(where), str(limit)],
            capture_output=True,
            text=True,
            check=True,
        )
        answers.append(told.stdout.strip())
        with Book.open(str(where)) as book:
            ids = [line.entry.id for line in book.lines()]
            there = sum(id.startswith(f"{limit}-") for id in ids)
            assert there == (150 if answers[-1] == "acknowledged" else 0)
            assert book.verify() == ()
    assert answers[-1] == "acknowledged"
    assert "Nothing was written" in answers[0]
    assert soft == resource.getrlimit(resource.RLIMIT_FSIZE)
