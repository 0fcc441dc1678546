"""From a complaint back to its loads, and from a bad load forward to its buyers."""

import pytest

from turnrow.lots.moves import Account
from turnrow.lots.recall import Recall, named, recall
from turnrow.yard.entries import Complaint, Merged
from turnrow.yard.goods import LoadBack, LoadOut, LotMade, Screened
from turnrow.yard.wrongs import Refused

from .conftest import Told, much, of


def sold(told: Told) -> Told:
    """Two rows, three lots, three buyers: load A went to Ann and Bea, C to Bea and Cis."""
    told.load(0, "A", "cow manure", "30 t", "70 %")
    told.load(0, "B", "straw", "10 t", "15 %")
    told.load(0, "C", "leaves", "20 t", "50 %")
    told.row(1, "R1", "cow manure: 30 t: A", "straw: 10 t: B")
    told.say(
        60, Screened(sources=(of("row R1: 20 t @ 45 %"),), fines="F1", fines_amount=much("15 t"), overs="O1")
    )
    told.row(61, "R2", "leaves: 15 t: C", "overs: 5 t: lot O1")
    told.say(62, LotMade(lot="M", sources=(of("load C: 4 t"),), material="mulch"))
    told.say(120, LotMade(lot="L2", sources=(of("row R2: 10 t @ 45 %"),)))
    for ticket, lot, who in (("T1", "F1", "Ann"), ("T2", "L2", "Bea"), ("T3", "M", "Cis")):
        told.say(130, LoadOut(ticket=ticket, lot=lot, amount=much("3 t"), customer=who))
    return told


def asked(told: Told, kind: str, name: str) -> Recall:
    return recall(told.ledger, Account(kind, name))


def test_a_ticket_back_to_its_loads(told: Told) -> None:
    """Load A is 30 of 40 t of R1; R2 is a quarter overs of it."""
    found = asked(sold(told), "ticket", "T2")
    assert {one.account.name: one.share for one in found.loads} == pytest.approx(
        {"A": 0.25 * 0.75, "B": 0.25 * 0.25, "C": 0.75}
    )
    assert found.customers == ("Ann", "Cis")


def test_every_other_buyer_of_any_of_it(told: Told) -> None:
    found = asked(sold(told), "ticket", "T1")
    assert {(one.account.name, one.customer) for one in found.sharing if one.customer} == {("T2", "Bea")}
    shares = {one.account.name: one.share for one in found.sharing}
    assert shares["T2"] == pytest.approx(0.25)


def test_a_bad_load_forward_to_its_buyers(told: Told) -> None:
    found = asked(sold(told), "load", "A")
    assert {(one.account.name, one.customer) for one in found.forward if one.customer} == {
        ("T1", "Ann"), ("T2", "Bea"),
    }  # fmt: skip
    assert {one.account.name: one.share for one in found.forward}["L2"] == pytest.approx(0.25 * 0.75)
    assert found.back == ()


def test_what_a_name_means(told: Told) -> None:
    book = sold(told).ledger
    assert named(book, "T1") == (Account("ticket", "T1"),)
    assert named(book, "lot F1") == (Account("lot", "F1"),)
    assert named(book, "Ann") == (Account("ticket", "T1"),)
    with pytest.raises(Refused, match="Name a load, row, lot, ticket or customer"):
        named(book, "nobody")


def test_a_name_of_several_things_is_asked_about(told: Told) -> None:
    sold(told).say(140, LotMade(lot="A", sources=(of("lot F1: 1 t"),)))
    with pytest.raises(Refused, match=r'"load A", "lot A"'):
        named(told.ledger, "A")
    assert named(told.ledger, "load A") == (Account("load", "A"),)


def test_a_complaint_names_its_ticket_or_its_customer(told: Told) -> None:
    book = sold(told).ledger
    smelly = {7: Complaint(nature="load on ticket T2 smells"), 8: Complaint(nature="plastic in it", by="Cis")}
    assert named(book, "line 7", smelly) == (Account("ticket", "T2"),)
    assert named(book, "line 8", smelly) == (Account("ticket", "T3"),)
    with pytest.raises(Refused, match="ask for the ticket"):
        named(book, "line 9", {9: Complaint(nature="flies")})
    with pytest.raises(Refused, match="Complaints about goods of the diary: line 7, line 8"):
        named(book, "line 1", smelly)


def test_a_load_of_unknown_mass_is_found_without_a_share(told: Told) -> None:
    told.load(0, "A", "leaves", "20 m3")
    told.load(0, "B", "straw", "10 t", "15 %")
    told.row(1, "R1", "leaves: 20 m3: A", "straw: 10 t: B")
    found = asked(told, "row", "R1")
    assert {one.account.name: one.share for one in found.loads} == {"A": None, "B": None}


def test_a_buyer_whose_load_partly_came_back_is_asked_too(told: Told) -> None:
    """What Bea sent back went into the lot that Ann then bought of; Bea kept the rest."""
    told.load(0, "A", "leaves", "30 t", "50 %")
    told.say(1, LotMade(lot="F", sources=(of("load A"),)))
    told.say(2, LoadOut(ticket="T1", lot="F", amount=much("20 t"), customer="Bea"))
    told.say(3, LoadBack(ticket="T1", amount=much("5 t")))
    told.say(4, LoadOut(ticket="T2", lot="F", amount=much("10 t"), customer="Ann"))
    assert asked(told, "ticket", "T2").customers == ("Bea",)


def test_a_row_emptied_and_filled_again_is_recalled_with_both_its_lives(told: Told) -> None:
    told.load(0, "A", "leaves", "30 t", "50 %")
    told.load(0, "B", "straw", "10 t", "15 %")
    told.row(1, "R1", "leaves: 30 t: A")
    told.say(20, LotMade(lot="F", sources=(of("row R1"),)))
    told.row(21, "R2", "straw: 10 t: B")
    told.say(22, Merged(row="R1", sources=("R2",)))
    assert {one.account.name for one in asked(told, "row", "R1").loads} == {"A", "B"}
    assert {one.account.name for one in asked(told, "lot", "F").loads} == {"A"}
