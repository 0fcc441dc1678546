"""The newest head, kept in a second file beside the book, where a tail that is cut off shows.

`yard.journal.head` holds the last line written, its seal, and the first line's, by which a head left behind
by another book is told apart. It is written after each commit, once the lines are on the disk, so it is
never ahead of a sound book; lost, old or unreadable it says less, and raises no alarm. A copy of the book
without it has none until a line is written. Whoever may change the book may change this file: a paper is
out of reach.
"""

import os
from pathlib import Path

import msgspec

from turnrow.journal.store import Row, Store

LONGEST = 1000  # bytes of the file


class Kept(msgspec.Struct, frozen=True):
    """`first`: the seal of line 1 of the book it was written for."""

    line: int
    seal: str
    first: str


def beside(where: str) -> Path:
    """The file a book's head is kept in."""
    path = Path(where).absolute()
    return path.with_name(f"{path.name}.head")


def kept(store: Store) -> Kept | None:
    """The head kept for this book; None where there is none, or it belongs to another book."""
    try:
        with beside(store.where).open("rb") as file:
            found = msgspec.json.decode(file.read(LONGEST), type=Kept)
    except (OSError, msgspec.DecodeError, UnicodeDecodeError):
        return None
    first = store.row(1)
    return found if first is None or _seal(first) == found.first else None


def holds(store: Store, head: Kept) -> bool:
    """Whether the book has that line with that seal."""
    row = store.row(head.line)
    return row is not None and _seal(row) == head.seal


def keep(store: Store) -> bool:
    """Write the newest head; False where it was left: what is there shows a fault, or cannot be written."""
    old, first, last = kept(store), store.row(1), store.last()
    if first is None or last is None or (old and not holds(store, old)):
        return False
    path = beside(store.where)
    fresh = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        fresh.write_bytes(msgspec.json.encode(Kept(last.number, _seal(last), _seal(first))) + b"\n")
        fresh.replace(path)
    except OSError:
        return False
    return True


def _seal(row: Row) -> str:
    return row.seal.hex() if row.sound else ""
