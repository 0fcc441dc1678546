"""A load back after its invoice: the invoice keeps its bytes, a credit note gives back, mass and money agree.

That an invoice once sent is never changed, and that a note of its own corrects it, is common practice of
bookkeeping, no source.
"""

import csv
import io
import json
from datetime import timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.foreman.trade import yard_bills
from turnrow.foreman.trade_papers import bill_csv, credit_csv, trade_paper
from turnrow.records.press import press
from turnrow.yard import goods as g
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at
from .test_quality import hot, lift


@pytest.fixture
def billed(yard: Yard) -> Yard:
    """12 t at 30.01 EUR/t, of which 2 t came back before the invoice: 10 t, 300.10 EUR."""
    hot(yard)
    lift(yard)
    yard.say(41, g.Weighed(lot="26-04", amount=Amount(20_000_000, "t")))
    yard.say(42, g.CustomerNamed(customer="Mill"))
    price = Amount(30_010_000, "EUR/t")
    yard.say(
        43, g.LoadOut(ticket="T1", lot="26-04", amount=Amount(12_000_000, "t"), customer="Mill", price=price)
    )
    yard.say(44, g.LoadBack(ticket="T1", amount=Amount(2_000_000, "t")))
    yard.say(45, g.Invoiced(invoice="I1", customer="Mill", tickets=("T1",)))
    yard.desk.refresh()
    return yard


def back(yard: Yard, amount: str, day: int, hour: float = 7, ticket: str = "T1") -> int:
    fields = {"ticket": ticket, "amount": amount, "reason": "too wet"}
    return yard.desk.write("load back", fields, now=at(day, hour), who="ana").lines[0].number


def pressed(yard: Yard, kind: str, name: str) -> bytes:
    sheet = trade_paper(yard.desk, kind, name)  # type: ignore[arg-type]
    assert sheet is not None
    return press(sheet, "a4")


def test_the_invoice_stays_and_two_notes_give_back_what_came(billed: Yard) -> None:
    """3 of 10 t, then 7: 90.03 and 210.07 EUR, with which nothing of 300.10 is owed."""
    paper, table = pressed(billed, "invoice", "I1"), bill_csv(billed.desk, "I1")
    first = back(billed, "3 t", 50)
    (bill,) = yard_bills(billed.desk, at(51))
    assert bill.cents == {"EUR": 30_010} and bill.left == {"EUR": 30_010 - 9003}
    second = back(billed, "7 t", 52)
    (bill,) = yard_bills(billed.desk, at(53))
    assert [(one.number, one.cents) for one in bill.credits] == [
        (f"CN-{first}", 9003),
        (f"CN-{second}", 21_007),
    ]
    assert bill.left == {"EUR": 0}
    assert (pressed(billed, "invoice", "I1"), bill_csv(billed.desk, "I1")) == (paper, table)


def test_mass_goes_back_to_the_lot_and_every_move_sums_to_zero(billed: Yard) -> None:
    back(billed, "3 t", 50)
    book = billed.desk.lots
    assert book.of("lot", "26-04").wet == pytest.approx(20 - 12 + 2 + 3)
    assert book.of("ticket", "T1").wet == pytest.approx(7)
    for move in book.moves:
        for what in ("wet", "dry", "water"):
            assert sum(getattr(one, what) for one in move.postings) == pytest.approx(0, abs=1e-9)


def test_the_note_is_a_paper_and_a_table_of_its_own(billed: Yard, tmp_path: Path) -> None:
    note = f"CN-{back(billed, '3 t', 50)}"
    assert (
        pressed(billed, "credit", note).startswith(b"%PDF")
        and trade_paper(billed.desk, "credit", "CN-1") is None
    )
    (row,) = csv.DictReader(io.StringIO((credit_csv(billed.desk, note) or b"").decode()))
    assert (row["invoice"], row["ticket"], row["amount"], row["money"]) == ("I1", "T1", "3", "90.03")
    words = ("paper", "credit", note, "--yard", str(tmp_path / "yard.turnrow"), "--json")
    for name in ("note.pdf", "note.csv"):
        answer = CliRunner().invoke(app, [*words, "-o", str(tmp_path / name)], env={"TURNROW_YARD": None})
        assert answer.exit_code == 0 and json.loads(answer.output)["files"]


def test_more_than_left_before_it_left_and_the_same_twice_are_refused(billed: Yard) -> None:
    back(billed, "3 t", 50)
    before = billed.book.head()
    for amount, day, ticket, do in (
        ("3 t", 50, "T1", "has this return"),
        ("9 t", 51, "T1", "holds 7 t"),
        ("1 t", 42, "T1", "No load left"),
        ("1 t", 51, "T9", "No such ticket"),
    ):
        with pytest.raises(Refused) as caught:
            back(billed, amount, day, ticket=ticket)
        assert any(do in one.do for one in caught.value.refusals), (amount, day, ticket)
    assert billed.book.head() == before


def test_a_return_an_invoice_counts_is_not_struck_under_it(billed: Yard) -> None:
    lines = [line.number for line, _ in billed.desk.diary.all(g.LoadBack)]
    fields = {"line": str(lines[0]), "reason": "was not so"}
    with pytest.raises(Refused) as caught:
        billed.desk.write("struck", fields, now=at(50) + timedelta(hours=1), who="ana")
    assert "rests on the return of T1" in caught.value.refusals[0].do
