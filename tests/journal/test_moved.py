"""A book deleted, moved or replaced while it is open: nothing is acknowledged, and the reason is said.

The write-ahead log is set by hand here, as SQLite before 3.51.3 is not given it: under it a write to a file
that was unlinked or renamed succeeds and is lost (sqlite.org/howtocorrupt.html, "unlinking or renaming a
database file while in use", warns of both; MEMORY).
"""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from turnrow.journal import store
from turnrow.journal.book import Book
from turnrow.yard.wrongs import NotStored, Refused

GONE: dict[str, Callable[[Path], object]] = {
    "deleted": lambda at: at.unlink(),
    "renamed": lambda at: at.rename(at.with_name("other.journal")),
    "folder moved": lambda at: at.parent.rename(at.parent.with_name("elsewhere")),
    "replaced by a copy": lambda at: (
        shutil.copy(at, at.with_name("copy")),
        at.with_name("copy").replace(at),
    ),
}


@pytest.mark.parametrize("mode", ["DELETE", "WAL"])
@pytest.mark.parametrize("how", GONE)
def test_a_book_that_is_gone_takes_nothing_and_says_so(tmp_path: Path, make, written, how, mode) -> None:
    where = tmp_path / "yard" / "yard.journal"
    where.parent.mkdir()
    with Book.create(str(where)) as book:
        assert book.store._connection.execute(f"PRAGMA journal_mode = {mode}").fetchone() == (mode.lower(),)
        book.append([make("a")], written=written)
        GONE[how](where)
        with pytest.raises(NotStored, match=r"deleted or moved|another file in its place") as refused:
            book.append([make("b")], written=written)
        assert refused.value.kind == "moved"
        assert isinstance(refused.value, Refused)
        assert "right" not in str(refused.value)
        with pytest.raises(NotStored):
            list(book.lines())


def test_a_book_that_goes_while_a_line_is_written_is_not_acknowledged(tmp_path, make, written, monkeypatch):
    """Between the last look before the commit and the commit itself: the look after it tells."""
    where = tmp_path / "yard.journal"
    with Book.create(str(where)) as book:
        book.append([make("a")], written=written)
        book.store._connection.execute("PRAGMA journal_mode = WAL").fetchone()
        looks = []
        real = store.Store._still_there

        def look(self: store.Store, written: bool = False) -> None:
            looks.append(written)
            if written:
                where.unlink()
            real(self, written)

        monkeypatch.setattr(store.Store, "_still_there", look)
        with pytest.raises(NotStored, match="may not be kept; send it again"):
            book.append([make("b")], written=written)
        assert looks[-1]


def test_a_book_put_back_goes_on(tmp_path: Path, make, written) -> None:
    where = tmp_path / "yard.journal"
    with Book.create(str(where)) as book:
        book.append([make("a")], written=written)
        where.rename(tmp_path / "away")
        with pytest.raises(NotStored):
            book.append([make("b")], written=written)
        (tmp_path / "away").rename(where)
        assert len(book.append([make("b")], written=written).lines) == 1
        assert book.verify() == ()


def test_the_folder_a_program_goes_to_is_no_move(tmp_path: Path, make, written, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    with Book.create("yard.journal") as book:
        (tmp_path / "sub").mkdir()
        monkeypatch.chdir(tmp_path / "sub")
        assert book.append([make("a")], written=written).lines


def test_a_full_disk_is_told_apart(tmp_path: Path, make, written) -> None:
    with Book.create(str(tmp_path / "yard.journal")) as book:
        pages = book.store._connection.execute("PRAGMA page_count").fetchone()[0]
        book.store._connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(NotStored, match="full disk") as refused:
            book.append([make(f"n{n}") for n in range(300)], written=written)
        assert refused.value.kind == "full"
