"""Two programs at one book: what an entry was held against still holds when it is written."""

from collections.abc import Iterable
from threading import Thread
from typing import Any

import pytest

from turnrow.foreman import desk as desks
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.lots.wrongs import wrongs_of
from turnrow.yard import entries as e
from turnrow.yard import goods as g
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at


def out(ticket: str) -> dict[str, str]:
    return {"ticket": ticket, "lot": "A", "amount": "9 t", "customer": "Ann", "unreleased": "trial"}


def test_a_lot_is_not_sold_twice_by_two_programs_at_once(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    ten = Amount(10_000_000, "t")
    yard.say(0, e.LoadIn(load="L1", material="straw", amount=ten, how="weighed"))
    yard.say(1, g.LotMade(lot="A", sources=(g.Share(load="L1"),)))
    yard.say(1, g.CustomerNamed(customer="Ann"))
    told: list[str] = []

    def second() -> None:
        with Book.open(yard.book.store.where) as book:
            try:
                Desk(book).write("load out", out("T2"), now=at(3), who="bea")
                told.append("written")
            except Refused as wrong:
                told.append(wrong.refusals[0].where)

    other = Thread(target=second)

    def slow(*asked: Any) -> Iterable[Any]:
        found = wrongs_of(*asked)
        if not other.ident:
            other.start()
            other.join(0.2)  # it would be through by now, were it let in between
        return found

    monkeypatch.setattr(desks, "wrongs_of", slow)
    yard.desk.write("load out", out("T1"), now=at(3), who="ana")
    other.join()
    yard.desk.refresh()
    assert told == ["field amount"]
    assert [what.ticket for _, what in yard.desk.diary.all(g.LoadOut)] == ["T1"]


def test_what_was_refused_leaves_the_book_open_to_others(yard: Yard) -> None:
    with pytest.raises(Refused):
        yard.desk.write("load out", out("T1"), now=at(3), who="ana")
    with Book.open(yard.book.store.where) as book:
        receipt = Desk(book).write("note", {"text": "steam"}, now=at(3), who="bea")
    assert receipt.lines
