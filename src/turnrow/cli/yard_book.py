"""The book behind --yard, opened for one command."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from turnrow.foreman.desk import Desk


@contextmanager
def desk_of(yard: str) -> "Iterator[Desk]":
    """The desk over that book, which is closed afterwards; Refused where none is named or there."""
    from turnrow.foreman.desk import Desk
    from turnrow.journal.book import Book
    from turnrow.yard.wrongs import refuse

    if not yard:
        raise refuse("--yard", "nothing", "Name the yard's book: --yard PATH, or set TURNROW_YARD.")
    with Book.open(yard) as book:
        yield Desk(book)
