"""Which files a book is opened from, and what is said of the others."""

import multiprocessing
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from turnrow.journal import store
from turnrow.journal.book import Book
from turnrow.journal.shape import APPLICATION
from turnrow.yard import entries
from turnrow.yard.wrongs import DamagedJournal, Refused


@pytest.fixture
def file(full: Book) -> Path:
    full.close()
    return Path(full.store.where)


def test_a_book_is_never_laid_over_a_file_that_is_there(file, tmp_path):
    before = file.read_bytes()
    with pytest.raises(Refused, match="already there"):
        Book.create(str(file))
    assert file.read_bytes() == before
    with pytest.raises(Refused):
        Book.create(str(tmp_path / "no folder" / "yard.journal"))


@pytest.mark.parametrize("where", ["postgres://u@h/yard", "postgresql://h/yard"])
def test_a_postgresql_address_is_refused_plainly(where):
    for way in (Book.create, Book.open):
        with pytest.raises(Refused, match="give a path"):
            way(where)


@pytest.mark.parametrize(
    ("bytes_there", "said"),
    [
        (None, "no such file"),
        (b"", "an empty file"),
        (b"at,value\n2026-05-03,54.9\n", "not a book"),
        (b"SQLite format 3\0" + b"\0" * 20, "not a book"),
    ],
)
def test_a_file_that_is_no_book_is_refused(tmp_path, bytes_there, said):
    path = tmp_path / "some.file"
    if bytes_there is not None:
        path.write_bytes(bytes_there)
    with pytest.raises(Refused, match=said):
        Book.open(str(path))
    if bytes_there is not None:
        assert path.read_bytes() == bytes_there


def test_a_folder_and_an_empty_name_are_refused(tmp_path):
    for where, said in ((str(tmp_path), "a folder"), ("", "no such file")):
        with pytest.raises(Refused, match=said):
            Book.open(where)


def test_another_programs_database_is_refused(tmp_path):
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("CREATE TABLE lines (number)")
    with pytest.raises(Refused, match="not a yard's book"):
        Book.open(str(path))


def test_a_book_of_a_newer_shape_is_refused(file):
    with closing(sqlite3.connect(file)) as raw:
        raw.execute("PRAGMA user_version = 99")
    with pytest.raises(Refused, match="shape 99"):
        Book.open(str(file))


@pytest.mark.parametrize("share", [0.1, 0.5, 0.8])
def test_a_file_cut_short_does_not_open(file, share):
    whole = file.read_bytes()
    file.write_bytes(whole[: int(len(whole) * share)])
    with pytest.raises(DamagedJournal, match="structure is broken"):
        Book.open(str(file))


@pytest.mark.parametrize("lost", [1, 40, 400])
def test_a_file_that_lost_its_last_bytes_does_not_verify(file, lost):
    file.write_bytes(file.read_bytes()[:-lost])
    with Book.open(str(file)) as book:
        assert book.verify()


def test_the_file_says_in_its_head_what_it_is(file):
    head = file.read_bytes()[:100]
    # the database header's fields: https://www.sqlite.org/fileformat.html, section 1.3 (MEMORY)
    assert head[:16] == b"SQLite format 3\0"
    assert int.from_bytes(head[60:64], "big") == 1  # user version
    assert int.from_bytes(head[68:72], "big") == APPLICATION
    assert head[68:72] == b"TrnR"


def test_a_commit_is_on_the_disk_before_it_is_acknowledged(full):
    ask = full.store._connection.execute
    assert ask("PRAGMA synchronous").fetchone()[0] == 3  # EXTRA
    assert ask("PRAGMA foreign_keys").fetchone()[0] == 1
    assert ask("PRAGMA mmap_size").fetchone() in (None, (0,))
    sound = sqlite3.sqlite_version_info >= (3, 51, 3)
    assert ask("PRAGMA journal_mode").fetchone()[0] == ("wal" if sound else "delete")


def test_a_book_another_program_is_writing_to_is_told_so(file, make, written, monkeypatch):
    monkeypatch.setattr(store, "WAIT_MS", 50)
    with closing(sqlite3.connect(file, isolation_level=None)) as other, Book.open(str(file)) as book:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(Refused, match="another program is writing"):
            book.append([make("a")], written=written)
        other.execute("ROLLBACK")
        assert book.append([make("a")], written=written).lines[0].number == 7


def test_a_book_that_may_only_be_read_can_be_read_and_says_so(file, make, written):
    with Book.open(str(file)) as book:
        book.store._connection.execute("PRAGMA query_only = ON")
        assert len(list(book.lines())) == 6
        assert book.verify() == ()
        with pytest.raises(Refused, match="may only be read"):
            book.append([make("a")], written=written)


def test_a_slow_reader_holds_up_no_writer(full, make, written, monkeypatch):
    monkeypatch.setattr(store, "CHUNK", 2)
    reader = full.lines()
    next(reader)
    full.append([make("meanwhile")], written=written)
    assert [line.number for line in reader] == [2, 3, 4, 5, 6, 7]


def _write(where: str, who: str, start) -> None:
    from datetime import UTC, datetime

    now = datetime(2026, 5, 3, tzinfo=UTC)
    start.wait()
    with Book.open(where) as book:
        for n in range(40):
            entry = entries.Entry(id=f"{who} {n}", happened=now, who=who, what=entries.Turned(row="R1"))
            book.append([entry], written=now)


def test_two_programs_writing_at_once_lose_nothing_and_keep_one_chain(tmp_path):
    where = str(tmp_path / "yard.journal")
    Book.create(where).close()
    way = multiprocessing.get_context("spawn")
    start = way.Event()
    writers = [way.Process(target=_write, args=(where, who, start)) for who in ("Ana", "Ben")]
    for writer in writers:
        writer.start()
    start.set()
    for writer in writers:
        writer.join(60)
    assert [writer.exitcode for writer in writers] == [0, 0]
    with Book.open(where) as book:
        ids = [line.entry.id for line in book.lines()]
        assert sorted(ids) == sorted(f"{who} {n}" for who in ("Ana", "Ben") for n in range(40))
        assert book.verify() == ()
