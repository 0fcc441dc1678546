"""What is wrong with an entry about matter is said before it is written, with what to do."""

from turnrow.lots.wrongs import wrongs_of
from turnrow.yard.entries import LoadIn, Note
from turnrow.yard.goods import LoadBack, LoadOut, LotMade, RowSplit, Screened, Weighed

from .conftest import Told, much, of
from .test_ledger import chain


def against(told: Told, day: float, what: object) -> list[tuple[str, str]]:
    return [
        (one.where.replace("field ", ""), one.do) for one in wrongs_of(told.ledger, told.entry(day, what))
    ]  # type: ignore[arg-type]


def out(ticket: str, size: str, lot: str = "F") -> LoadOut:
    return LoadOut(ticket=ticket, lot=lot, amount=much(size), customer="Ann")


def test_what_fits_has_nothing_against_it(told: Told) -> None:
    chain(told)
    assert against(told, 160, out("T1", "20 t")) == []
    assert against(told, 160, Note(text="rain")) == []


def test_more_out_than_in(told: Told) -> None:
    chain(told)
    ((where, do),) = against(told, 160, out("T1", "100 t"))
    assert where == "amount" and "holds 75.83 t" in do


def test_a_lot_sold_twice(told: Told) -> None:
    chain(told)
    told.say(160, out("T1", "70 t"))
    ((where, do),) = against(told, 161, out("T2", "70 t"))
    assert where == "amount" and "holds 5.83 t" in do


def test_an_earlier_sale_makes_the_later_one_wrong_and_names_its_line(told: Told) -> None:
    chain(told)
    line = told.say(170, out("T1", "70 t"))
    ((where, do),) = against(told, 165, out("T2", "60 t"))
    assert where == f"line {line}, amount" and "holds 15.83 t" in do


def test_kilograms_written_as_tonnes(told: Told) -> None:
    chain(told)
    ((_, do),) = against(told, 160, out("T1", "18500 t"))
    assert "Likely 18500 kg, not t." in do
    ((_, do),) = against(told, 160, LoadIn(load="Z", material="straw", amount=much("1850 t")))
    assert "Likely 1850 kg, not t." in do
    ((_, do), *_) = against(told, 160, Weighed(lot="F", amount=much("74000 t")))
    assert "Likely 74000 kg, not t." in do


def test_tonnes_written_as_kilograms(told: Told) -> None:
    chain(told)
    ((_, do),) = against(told, 160, Weighed(lot="F", amount=much("74 kg")))
    assert "Likely 74 t, not kg." in do


def test_a_lot_made_of_itself(told: Told) -> None:
    chain(told)
    ((where, do),) = against(told, 160, LotMade(lot="F", sources=(of("lot F"), of("lot O"))))
    assert where == "sources" and "made of itself" in do
    ((_, do),) = against(told, 160, LotMade(lot="N", sources=(of("lot N"),)))
    assert "made of itself" in do


def test_a_lot_taken_before_it_was_made(told: Told) -> None:
    chain(told)
    ((where, do),) = against(told, 100, LotMade(lot="N", sources=(of("lot F: 5 t"),)))
    assert where == "sources" and "It is not made by then" in do


def test_a_name_made_twice_in_a_circle(told: Told) -> None:
    """F was screened of R1; a line that screens F into a lot "F" again would close the circle."""
    chain(told)
    ((_, do), *_) = against(told, 160, Screened(sources=(of("lot F"),), fines="F"))
    assert "made of itself" in do


def test_moisture_that_makes_more_dry_matter_than_went_in(told: Told) -> None:
    told.load(0, "A", "leaves", "50 t", "60 %")
    told.row(1, "R1", "leaves: 50 t: A")
    ((where, do),) = against(told, 60, Weighed(row="R1", amount=much("45 t"), moisture=much("30 %")))
    assert where == "moisture" and "more dry matter came out than went in" in do


def test_a_part_longer_than_its_row_or_heavier(told: Told) -> None:
    told.load(0, "A", "leaves", "50 t", "60 %")
    told.row(1, "R1", "leaves: 50 t: A")
    ((where, _),) = against(told, 2, RowSplit(row="R1", new="R2", amount=much("80 t")))
    assert where == "amount"


def test_more_back_than_went_and_an_unknown_ticket(told: Told) -> None:
    chain(told)
    told.say(160, out("T1", "20 t"))
    ((where, _),) = against(told, 161, LoadBack(ticket="T1", amount=much("30 t")))
    assert where == "amount"
    ((where, _),) = against(told, 161, LoadBack(ticket="T9", amount=much("3 t")))
    assert where == "ticket"


def test_fines_and_overs_that_weigh_more_than_what_was_screened(told: Told) -> None:
    chain(told)
    what = Screened(
        sources=(of("lot F: 20 t"),),
        fines="G",
        fines_amount=much("19 t"),
        overs="P",
        overs_amount=much("12 t"),
    )
    assert [where for where, _ in against(told, 160, what)] == ["amount"]


def test_a_real_loss_may_be_written(told: Told) -> None:
    """Half a heap may have been stolen: it is shown as not explained, and not turned away."""
    chain(told)
    assert against(told, 151, Weighed(lot="F", amount=much("35 t"), moisture=much("42 %"))) == []


def test_all_of_what_is_gone(told: Told) -> None:
    chain(told)
    ((where, do),) = against(told, 160, LotMade(lot="N", sources=(of("row R1"),)))
    assert where == "sources" and "Nothing is left of it by line" in do


def test_no_more_comes_back_than_the_load_weighed_however_unsure_its_lot_is(told: Told) -> None:
    """Of a lot by the bucket (12 % off) 20 t went over the scale: 5 t came back, and 16 t more cannot."""
    told.load(0, "A", "leaves", "40 t")
    told.say(1, LotMade(lot="F", sources=(of("load A"),), amount=much("40 t")))
    told.say(2, out("T1", "20 t"))
    told.say(3, LoadBack(ticket="T1", amount=much("5 t")))
    ((where, do),) = against(told, 4, LoadBack(ticket="T1", amount=much("16 t")))
    assert where == "amount" and "holds 15 t" in do
    assert against(told, 4, LoadBack(ticket="T1", amount=much("15.1 t"))) == []
