"""Somebody with the file in hand: changes a book past its guards and puts the guards back."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from turnrow.journal.shape import SHAPE

GUARDS = [word for word in SHAPE if word.startswith("CREATE TRIGGER")]


@contextmanager
def past_the_guards(path: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        raw.execute("PRAGMA synchronous = OFF")
        raw.execute("PRAGMA ignore_check_constraints = ON")
        for word in GUARDS:
            raw.execute(f"DROP TRIGGER {word.split()[2]}")
        yield raw
        for word in GUARDS:
            raw.execute(word)
