"""The book's file: every word of SQL, and nothing of what a line means.

One SQLite file, one writer. A commit is on the disk before it is acknowledged (synchronous=EXTRA: without
a write-ahead log FULL does not sync that the rollback journal is gone, and one found again undoes the
commit). The write-ahead log is used only from SQLite 3.51.3 on; versions before can damage it when two
connections write at once. Memory mapping stays off.
"""

import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import RLock
from typing import Any, NamedTuple

from turnrow.journal.shape import APPLICATION, SHAPE, VERSION
from turnrow.yard import wrongs
from turnrow.yard.wrongs import DamagedJournal, NotStored, Refusal, refuse, shown

WAIT_MS = 10_000  # for another program's write to end
CHUNK = 500  # rows read at a time, so that a slow reader never holds up a writer
WAL_SOUND_FROM = (3, 51, 3)
COLUMNS = "number, id, written_us, bytes, seal, strikes"

BUSY = "a book another program is writing to"
WAIT = "Wait or close that program, and try again."
FAILURES: tuple[tuple[str, wrongs.Store, str, str], ...] = (  # the first that fits counts
    ("SQLITE_BUSY", "busy", BUSY, WAIT),
    ("SQLITE_LOCKED", "busy", BUSY, WAIT),
    ("SQLITE_FULL", "full", "a full disk", "Free some space and try again."),
    ("SQLITE_IOERR", "disk", "a disk error", "Check the disk, copy the book to another, and try again."),
    (
        "SQLITE_READONLY_DBMOVED",
        "moved",
        "no file there any more: deleted or moved",
        "Put the book back where it was.",
    ),
    (
        "SQLITE_READONLY",
        "rights",
        "a book that may only be read",
        "Give yourself the right to write, and try again.",
    ),
    (
        "SQLITE_CANTOPEN",
        "rights",
        "a file that cannot be opened",
        "Look at its folder's rights, and try again.",
    ),
    ("SQLITE_PERM", "rights", "a file you may not open", "Give yourself the right to, and try again."),
)


class Row(NamedTuple):
    """A line as the file keeps it; `id` and `strikes` repeat what `raw` says, for looking up."""

    number: int
    id: str
    written_us: int
    raw: bytes
    seal: bytes
    strikes: int | None

    @property
    def sound(self) -> bool:
        """Every column holds what it should; a damaged file may give anything."""
        number, _, written_us, raw, seal, _ = self
        return (
            type(number) is int
            and type(written_us) is int
            and type(raw) is bytes
            and type(seal) is bytes
            and number >= 1
            and written_us >= 0
        )


class Store:
    """Use `Store.create` or `Store.open`; safe to share between threads."""

    def __init__(self, where: str, connection: sqlite3.Connection) -> None:
        self.where = where
        self._path = Path(where).absolute()  # the same file whatever folder the program goes to
        self._file = _identity(self._path)
        self._connection = connection
        self._lock = RLock()
        self._alone = False

    @classmethod
    def create(cls, where: str) -> "Store":
        """A new file at `where`, which must not be there yet."""
        _file_only(where)
        path = Path(where)
        try:
            path.touch(exist_ok=False)
        except FileExistsError:
            raise refuse(where, "something already there", "Choose a new name.") from None
        except OSError as wrong:
            raise refuse(where, wrong.strerror or wrong, "Choose a folder you can write to.") from None
        try:
            store = cls(where, _connect(path))
            with store.writing():
                for word in SHAPE:
                    store._connection.execute(word)
                store._connection.execute(f"PRAGMA application_id = {APPLICATION}")
                store._connection.execute(f"PRAGMA user_version = {VERSION}")
        except BaseException:
            path.unlink()
            raise
        _sync_folder(path)
        return store

    @classmethod
    def open(cls, where: str) -> "Store":
        """The book's file at `where`; Refused when it is no such file, DamagedJournal when it is broken."""
        _file_only(where)
        path = Path(where)
        if where and path.is_dir():
            raise refuse(where, "a folder", "Name the file in it that turnrow new made.")
        if not path.is_file():
            raise refuse(where or "--yard", "no such file", "Lay a yard out first: turnrow new PATH.")
        if path.stat().st_size == 0:
            raise refuse(where, "an empty file", "Remove it and lay the yard out: turnrow new PATH.")
        with _told(where, opening=True):
            connection = _connect(path)
            found = connection.execute("PRAGMA application_id").fetchone()[0]
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        if found != APPLICATION:
            connection.close()
            raise refuse(where, "a database that is not a yard's book", "Name the file turnrow new made.")
        if version > VERSION:
            connection.close()
            raise refuse(where, f"a book of shape {version}", "A newer turnrow made it; update this one.")
        return cls(where, connection)

    def close(self) -> None:
        self._connection.close()

    @contextmanager
    def writing(self) -> Iterator[None]:
        """All that is written inside is written together, or none of it; inside of `alone`, with that."""
        with self._lock, _told(self.where):
            if self._alone:
                yield
                return
            if self._connection.in_transaction:
                raise ValueError("writing inside of writing, want one after the other")
            try:
                self._connection.execute("BEGIN IMMEDIATE")
                self._still_there()
                yield
                self._still_there()
                self._connection.execute("COMMIT")
                self._still_there(written=True)
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Nobody else writes meanwhile, so that what is read inside still holds when something is written."""
        with self._lock, self.writing():
            self._alone = True
            try:
                yield
            finally:
                self._alone = False

    def add(self, rows: Iterable[Row]) -> None:
        self._connection.executemany(f"INSERT INTO lines ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?)", rows)

    def add_blob(self, name: str, data: bytes) -> None:
        self._connection.execute("INSERT INTO blobs (name, bytes) VALUES (?, ?)", (name, data))

    def last(self) -> Row | None:
        return self._row("ORDER BY number DESC LIMIT 1")

    def row(self, number: int) -> Row | None:
        return self._row("WHERE number = ?", number)

    def strike_of(self, number: int) -> Row | None:
        """The row that strikes `number`."""
        return self._row("WHERE strikes = ?", number)

    def rows(self, after: int = 0, upto: int | None = None) -> Iterator[Row]:
        """Rows by number, from the one after `after`; each chunk is read for itself."""
        end = 2**63 - 1 if upto is None else upto
        query = f"SELECT {COLUMNS} FROM lines WHERE number > ? AND number <= ? ORDER BY number LIMIT {CHUNK}"
        while chunk := self._all(query, after, end):
            yield from map(Row._make, chunk)
            if chunk[-1][0] <= after:  # a garbled page can say so, and would be read for ever
                raise DamagedJournal(0, f"{self.where}: its lines do not stand in the order of their numbers")
            after = chunk[-1][0]

    def with_ids(self, ids: Sequence[str]) -> dict[str, Row]:
        """Those rows whose id is among `ids`."""
        found: dict[str, Row] = {}
        for start in range(0, len(ids), CHUNK):
            some = ids[start : start + CHUNK]
            marks = ", ".join("?" * len(some))
            for got in self._all(f"SELECT {COLUMNS} FROM lines WHERE id IN ({marks})", *some):
                row = Row._make(got)
                found[row.id] = row
        return found

    def blob(self, name: str) -> bytes | None:
        got = self._all("SELECT bytes FROM blobs WHERE name = ?", name)
        data = got[0][0] if got else None
        return data if data is None or isinstance(data, bytes) else b""

    def has_blob(self, name: str) -> bool:
        return bool(self._all("SELECT 1 FROM blobs WHERE name = ?", name))

    def blob_names(self) -> list[str]:
        return [name for (name,) in self._all("SELECT name FROM blobs ORDER BY name")]

    def changes(self) -> int:
        """A number that changes with each commit of another connection, and not with our own."""
        return int(self._all("PRAGMA data_version")[0][0])

    def shape(self) -> list[str]:
        """The SQL the file says it was made by."""
        return [sql for (sql,) in self._all("SELECT sql FROM sqlite_schema WHERE sql NOT NULL")]

    def integrity(self, most: int) -> list[str]:
        """What SQLite finds wrong with the file's structure, empty when nothing."""
        found = [text for (text,) in self._all(f"PRAGMA integrity_check({most})")]
        found += [f"foreign key of row {row[1]} of {row[0]}" for row in self._all("PRAGMA foreign_key_check")]
        return [] if found == ["ok"] else [text for text in found if text != "ok"]

    def _row(self, tail: str, *values: int) -> Row | None:
        got = self._all(f"SELECT {COLUMNS} FROM lines {tail}", *values)
        return Row._make(got[0]) if got else None

    def _all(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        with self._lock, _told(self.where):
            self._still_there()
            return self._connection.execute(query, values).fetchall()

    def _still_there(self, written: bool = False) -> None:
        """NotStored where the open file is no longer the one at its path.

        Reads and writes of an open file go on after it was deleted, moved or replaced; what is written then
        is lost, or goes where nobody looks.
        """
        found = _identity(self._path)
        if found == self._file:
            return
        got = "another file in its place" if found else "no file there any more: deleted or moved"
        kept = "What was just sent may not be kept; send it again." if written else "Nothing was written."
        do = f"Put the book back where it was, or stop turnrow and start it with the book's new place. {kept}"
        raise NotStored("moved", Refusal(self.where, got, do))


def _identity(path: Path) -> tuple[int, int] | None:
    """Device and file number of what is at `path`; None where nothing is."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _connect(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    # bytes that are no text must reach the checks, not end them
    connection.text_factory = lambda data: data.decode("utf-8", "surrogateescape")
    sound = sqlite3.sqlite_version_info >= WAL_SOUND_FROM
    for word in (
        f"busy_timeout = {WAIT_MS}",
        "mmap_size = 0",
        "foreign_keys = ON",
        "recursive_triggers = ON",
        f"journal_mode = {'WAL' if sound else 'DELETE'}",
        "synchronous = EXTRA",
    ):
        connection.execute(f"PRAGMA {word}").fetchone()
    return connection


@contextmanager
def _told(where: str, opening: bool = False) -> Iterator[None]:
    """Say in the yard's words what SQLite could not do."""
    try:
        yield
    except sqlite3.Error as wrong:
        name = getattr(wrong, "sqlite_errorname", "")
        if opening and name == "SQLITE_NOTADB":
            raise refuse(where, "a file that is not a book", "Name the file turnrow new made.") from wrong
        # our statements never change, so a plain SQLITE_ERROR means the tables are not what they were
        if name == "SQLITE_ERROR" or name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
            raise DamagedJournal(0, f"{where}: the file's structure is broken ({wrong})") from wrong
        said = _refused(where, name)
        if said is None:
            raise
        raise said from wrong
    except UnicodeDecodeError as wrong:  # SQLite's own message quotes what is broken
        raise DamagedJournal(0, f"{where}: the file's structure is broken ({wrong})") from wrong


def _refused(where: str, name: str) -> NotStored | None:
    for start, kind, got, do in FAILURES:
        if name.startswith(start):
            return NotStored(
                kind,
                Refusal(
                    where,
                    shown(f"{got}{f', {name}' if kind == 'disk' else ''}"),
                    f"{do} Nothing was written.",
                ),
            )
    return None


def _file_only(where: str) -> None:
    if where.startswith(("postgres://", "postgresql://")):
        raise refuse("yard", "a PostgreSQL address", "Books are kept in a file so far: give a path.")


def _sync_folder(path: Path) -> None:
    """A new file's name is on the disk too; only where folders can be opened."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    folder = os.open(path.parent, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
