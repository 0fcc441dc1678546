"""The yard's matter at the desk: what it turns away, how a lot stands, who has some of it."""

from fractions import Fraction

import pytest

from turnrow.foreman.lots import lot_standing, recalled
from turnrow.foreman.trade_papers import trade_paper
from turnrow.yard import entries as e
from turnrow.yard import goods
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at


def much(text: str) -> Amount:
    number, unit = text.split()
    return Amount(int(Fraction(number) * 1_000_000), unit)


def hot(yard: Yard, row: str, first: int, last: int) -> None:
    for day in range(first, last + 1):
        yard.read(row, day, "58", "59")
        if day % 3 == 1:
            yard.say(day, e.Turned(row=row), 9)


@pytest.fixture
def sold(yard: Yard) -> Yard:
    """R1 of load L1 is proven by day 17; half of it became lot F on day 3, the rest lot P on day 18."""
    yard.say(0, e.LoadIn(load="L1", material="cow manure", amount=much("40 t"), how="weighed"), 5)
    parts = (e.Part("cow manure", much("40 t"), "L1"),)
    yard.say(0, e.RowBuilt(row="R1", parts=parts, stations=("1", "2")), 6)
    hot(yard, "R1", 1, 2)
    share = goods.Share(row="R1", amount=much("10 t"), moisture=much("70 %"))
    yard.say(3, goods.LotMade(lot="F", sources=(share,)))
    hot(yard, "R1", 3, 17)
    yard.say(18, goods.LotMade(lot="P", sources=(goods.Share(row="R1", amount=much("10 t")),)))
    yard.desk.refresh()
    return yard


def test_a_lot_stands_as_its_row_stood_when_it_was_taken(sold: Yard) -> None:
    assert lot_standing(sold.desk, "P").verdict == "PASS"
    early = lot_standing(sold.desk, "F")
    assert early.verdict != "PASS" and "R1" in early.because[0]


def test_more_than_a_lot_holds_is_turned_away_and_nothing_written(sold: Yard) -> None:
    sold.say(19, goods.CustomerNamed(customer="Ann"))
    sold.desk.refresh()
    head = sold.desk.diary.head
    form = {"ticket": "T1", "lot": "P", "amount": "90 t", "customer": "Ann", "unreleased": "trial"}
    with pytest.raises(Refused, match="Lot P holds 10 t"):
        sold.desk.write("load-out", form, now=at(20), who="ana")
    assert sold.desk.diary.head == head
    sold.desk.write("load-out", {**form, "amount": "9 t"}, now=at(20), who="ana", id="t1")
    sold.desk.write("load-out", {**form, "amount": "9 t"}, now=at(20), who="ana", id="t1")
    assert sold.desk.lots.of("lot", "P").wet == pytest.approx(1)


def test_all_of_a_lot_leaves_by_the_ledger_and_once(sold: Yard) -> None:
    """10 t less 4 t are 6 t; sent again it is the same 6 t, and no second line."""
    sold.say(19, goods.CustomerNamed(customer="Ann"))
    form = {"lot": "P", "customer": "Ann", "unreleased": "trial"}
    sold.desk.write("load-out", {**form, "ticket": "T1", "amount": "4 t"}, now=at(20), who="ana")
    for _ in range(2):
        sold.desk.write("load-out", {**form, "ticket": "T2", "all": "yes"}, now=at(21), who="ana", id="t2")
    (_, first), (line, last) = sold.desk.diary.all(goods.LoadOut)
    assert (first.amount, last.amount, last.all) == (much("4 t"), much("6 t"), True)
    assert sold.desk.lots.of("lot", "P").wet == pytest.approx(0, abs=1e-6)
    ticket = trade_paper(sold.desk, "ticket", "T2")
    assert ticket is not None and "not weighed" in ticket.parts[0].facts[1].text
    with pytest.raises(Refused, match="Nothing is left of lot P"):
        sold.desk.write("load-out", {**form, "ticket": "T3", "all": "yes"}, now=at(22), who="ana")
    with pytest.raises(Refused, match=f"Line {line.number} moved or weighed lot P after"):
        early = {**form, "ticket": "T3", "all": "yes", "happened": "2026-05-20T09:00"}
        sold.desk.write("load-out", early, now=at(22), who="ana")
    assert len(sold.desk.diary.all(goods.LoadOut)) == 2


def test_all_of_a_lot_nobody_measured_is_refused_with_all_else(sold: Yard) -> None:
    """A row whose building nobody wrote has no mass, and so has its lot; nor may it leave unreleased."""
    sold.read("R9", 1, "58", "59")
    sold.say(19, goods.LotMade(lot="U", sources=(goods.Share(row="R9"),)))
    sold.say(19, goods.CustomerNamed(customer="Ann"))
    head = sold.book.head().line
    form = {"ticket": "T1", "lot": "U", "customer": "Ann", "all": "yes"}
    with pytest.raises(Refused) as caught:
        sold.desk.write("load-out", form, now=at(20), who="ana")
    said = " ".join(one.do for one in caught.value.refusals)
    assert "not known; weigh it first" in said and "before anybody had released lot U" in said
    with pytest.raises(Refused, match="not both"):
        sold.desk.write("load-out", {**form, "amount": "2 t"}, now=at(20), who="ana")
    assert sold.book.head().line == head


def test_a_complaint_leads_to_loads_and_to_other_buyers(sold: Yard) -> None:
    for ticket, lot, who in (("T1", "P", "Ann"), ("T2", "F", "Bea")):
        sold.say(20, goods.LoadOut(ticket=ticket, lot=lot, amount=much("2 t"), customer=who))
    sold.say(25, e.Complaint(nature="weeds in it", by="Ann"))
    sold.desk.refresh()
    (found,) = recalled(sold.desk, f"line {sold.desk.diary.head}")
    assert [one.account.name for one in found.loads] == ["L1"]
    assert found.customers == ("Bea",)


def test_the_ledger_is_folded_anew_only_for_lines_about_matter(sold: Yard) -> None:
    before = sold.desk.lots
    sold.say(21, e.Note(text="windy"))
    sold.desk.refresh()
    assert sold.desk.lots is before
    line = sold.desk.diary.head
    sold.say(21, goods.Weighed(lot="P", amount=much("9.9 t")))
    sold.desk.refresh()
    assert sold.desk.lots is not before and sold.desk.lots.of("lot", "P").wet == pytest.approx(9.9)
    sold.say(22, e.Struck(line=line + 1, reason="another lot"))
    sold.desk.refresh()
    assert sold.desk.lots.of("lot", "P").wet == pytest.approx(10)


def test_what_nobody_measured_is_the_handbooks_and_said(sold: Yard) -> None:
    book = sold.desk.lots
    assert book.of("load", "L1").wet == pytest.approx(0)
    assert any("moisture from the handbook" in one.said for one in book.opens)
