"""The one desk of a server, handed to one request at a time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from threading import RLock

from turnrow.foreman.desk import Desk


class Keeper:
    """Holds the desk behind a lock; `clock` gives the moment, aware.

    Requests run in a pool of threads and the book takes one writer, so each waits its turn here.
    """

    def __init__(self, desk: Desk, clock: Callable[[], datetime]) -> None:
        self._desk = desk
        self._lock = RLock()
        self.clock = clock
        self._trouble = ("", 0)

    @contextmanager
    def desk(self) -> Iterator[Desk]:
        """The desk with every line read that is in the book by now, another program's too."""
        with self._lock:
            self._desk.refresh()
            yield self._desk

    def not_stored(self, why: str) -> None:
        """Remember why the book did not take the last thing sent."""
        self._trouble = (why, self._desk.diary.head)

    def trouble(self) -> str:
        """Why the book did not take the last thing sent; empty once it has taken a line again."""
        why, head = self._trouble
        return why if head == self._desk.diary.head else ""
