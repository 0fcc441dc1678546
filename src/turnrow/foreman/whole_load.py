"""A load out of all that lies there: the ledger says how much, and that is written as what left."""

from collections.abc import Callable

import msgspec

from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.lots.whole import all_left
from turnrow.yard import days, goods
from turnrow.yard.entries import Amount, Entry, Line
from turnrow.yard.wrongs import Refusal


def whole_load(
    lots: Callable[[], Ledger], entry: Entry, there: Line | None
) -> tuple[Entry, tuple[Refusal, ...]]:
    """The entry with its amount, where it takes all; and what stands against that. Others as they are.

    lots   gives the ledger, where it is asked
    there  the line an entry sent again became: it took what it took
    """
    what = entry.what
    if not isinstance(what, goods.LoadOut) or not what.all:
        return entry, ()
    was = there.entry.what if there else None
    if isinstance(was, goods.LoadOut):
        return _of(entry, what, was.amount), ()
    book = lots()
    if Account("lot", what.lot) not in book.node_of:
        return entry, ()  # the ledger says so itself
    left = all_left(book, what.lot, days.seconds(entry.happened))
    if isinstance(left, Refusal):
        return entry, (left,)
    return _of(entry, what, left), ()


def _of(entry: Entry, what: goods.LoadOut, amount: Amount) -> Entry:
    return msgspec.structs.replace(entry, what=msgspec.structs.replace(what, amount=amount))
