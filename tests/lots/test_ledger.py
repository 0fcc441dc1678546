"""A diary folded into double entry: what closes, what does not, and that it is said."""

import pytest

from turnrow.lots.ledger import assumed, closes, unclosed
from turnrow.lots.matter import Typical
from turnrow.lots.moves import OUTSIDE, SKY, UNEXPLAINED, Account
from turnrow.yard.entries import Merged, Turned, Watered
from turnrow.yard.goods import LoadBack, LoadOut, LotMade, RowSplit, Screened, Weighed

from .conftest import Told, much, of


def chain(told: Told) -> Told:
    """The worked chain of the reference: 240 t laid, 94.79 t cured, screened 80 to 20 (OWN, CALC)."""
    told.load(0, "A", "cow manure", "120 t", "72 %")
    told.load(0, "B", "green waste", "80 t", "60 %")
    told.load(0, "C", "straw", "40 t", "15 %")
    told.row(1, "R1", "cow manure: 120 t: A", "green waste: 80 t: B", "straw: 40 t: C")
    told.say(60, Weighed(row="R1", amount=much("108.654545 t"), moisture=much("45 %")))
    told.say(
        150,
        Screened(
            sources=(of("row R1"),),
            fines="F",
            fines_amount=much("75.83 t"),
            fines_moisture=much("42 %"),
            overs="O",
            overs_amount=much("18.96 t"),
            overs_moisture=much("42 %"),
        ),
    )
    return told


def test_the_worked_chain_in_a_diary(told: Told) -> None:
    found = chain(told).ledger
    first, cured = found.differences_of(Account("row", "R1"))
    assert first.book == (pytest.approx(240), pytest.approx(99.6))
    assert first.sky[1] == pytest.approx(0.40 * 99.6, abs=0.001)
    assert cured.sky[1] == pytest.approx(0.08 * 59.76, abs=0.01)
    assert all(one.explained for one in found.differences)
    assert found.of("lot", "F").wet == pytest.approx(75.83)
    assert found.of("lot", "O").dry == pytest.approx(18.96 * 0.58)
    assert found.of("row", "R1").wet == pytest.approx(0)
    sky = found.place(SKY)
    assert sky.wet == pytest.approx(240 - 94.79) and sky.dry == pytest.approx(99.6 - 94.79 * 0.58)
    assert found.place(OUTSIDE).wet == pytest.approx(-240)
    assert closes(found.moves) and unclosed(found) == () and found.wrongs == ()


def test_loads_in_a_lot_by_share(told: Told) -> None:
    found = chain(told).ledger
    shares = found.tree.back(found.node_of[Account("lot", "F")])
    named = {found.nodes[n].account: share for n, share in shares.items()}
    assert named[Account("load", "A")] == pytest.approx(120 / 240)
    assert named[Account("load", "C")] == pytest.approx(40 / 240)


def test_overs_back_in_a_later_row_make_no_circle(told: Told) -> None:
    chain(told)
    told.load(151, "D", "cow manure", "30 t", "75 %")
    told.row(152, "R1", "cow manure: 30 t: D", "overs: 10 t: lot O")
    told.say(230, LotMade(lot="G", sources=(of("row R1"),), amount=much("25 t"), moisture=much("45 %")))
    found = told.ledger
    assert found.wrongs == ()
    shares = {
        found.nodes[n].account: s for n, s in found.tree.back(found.node_of[Account("lot", "G")]).items()
    }
    assert shares[Account("load", "D")] == pytest.approx(30 / 40)
    assert shares[Account("load", "A")] == pytest.approx(10 / 40 * 120 / 240)


def test_more_loss_than_air_can_take_is_shown_and_not_absorbed(told: Told) -> None:
    """100 t at 60 % on Monday, 50 t at 60 % on Wednesday: 20 t of dry matter cannot rot in two days."""
    told.load(0, "A", "leaves", "50 t", "60 %")
    told.load(0, "B", "leaves", "50 t", "60 %")
    told.row(0.1, "R1", "leaves: 50 t: A", "leaves: 50 t: B")
    told.say(2.1, Weighed(row="R1", amount=much("50 t"), moisture=much("60 %")))
    found = told.ledger
    (one,) = found.differences
    assert not one.explained
    assert one.sky[1] == pytest.approx(40 * (1 - 0.97**2), rel=1e-6)
    assert found.place(UNEXPLAINED).dry == pytest.approx(20 - one.sky[1])
    assert "not explained" in unclosed(found)[0]
    assert found.of("row", "R1").wet == pytest.approx(50)


def test_more_dry_matter_out_than_in_is_named(told: Told) -> None:
    told.load(0, "A", "leaves", "50 t", "60 %")
    told.row(1, "R1", "leaves: 50 t: A")
    told.say(60, Weighed(row="R1", amount=much("45 t"), moisture=much("30 %")))
    found = told.ledger
    assert found.place(UNEXPLAINED).dry == pytest.approx(20 - 31.5)
    assert [wrong.refusal.where for wrong in found.wrongs] == ["moisture"]
    assert "more dry matter came out than went in" in unclosed(found)[0]


def test_a_weighbridge_within_its_error_is_neither_air_nor_unexplained(told: Told) -> None:
    told.load(0, "A", "straw", "20 t", "12 %")
    told.say(0.2, Weighed(load="A", amount=much("20.15 t")))
    found = told.ledger
    assert found.place(UNEXPLAINED).wet == 0 and found.place(SKY).wet == 0
    assert found.of("load", "A").moisture == pytest.approx(0.12)


def test_a_volume_without_density_is_unknown_and_said(told: Told) -> None:
    told.load(0, "A", "leaves", "20 m3")
    told.row(1, "R1", "leaves: 20 m3: A")
    found = told.ledger
    assert not found.of("row", "R1").wet_known and found.of("row", "R1").moisture is None
    assert any("no density known" in said for said in unclosed(found))
    told.say(30, Weighed(row="R1", amount=much("7 t"), moisture=much("50 %"), how="buckets"))
    found = told.ledger
    assert found.of("row", "R1").wet == pytest.approx(7) and found.of("row", "R1").wet_known
    assert found.differences == () and closes(found.moves)


def test_a_volume_becomes_mass_by_the_newest_density_and_says_which() -> None:
    told = Told(lambda material: Typical("the handbook", 0.4, 0.2))
    told.load(0, "A", "leaves", "20 m3")
    line = told.lab(0, "bulk density 300 kg/m3", load="A")
    told.load(0, "B", "leaves", "20 m3")
    found = told.ledger
    assert found.of("load", "A").wet == pytest.approx(6.0)
    assert found.of("load", "B").wet == pytest.approx(4.0)
    said = " ".join(assumed(found))
    assert f"(line {line})" in said and "(the handbook)" in said
    assert found.of("load", "B").dry == pytest.approx(4.0 * 0.6)


def test_water_comes_from_outside(told: Told) -> None:
    told.load(0, "A", "straw", "20 t", "15 %")
    told.row(1, "R1", "straw: 20 t: A")
    told.say(2, Watered(row="R1", water=much("8000 L")), Turned(row="R1", water=much("2 m3")))
    found = told.ledger
    assert found.of("row", "R1").wet == pytest.approx(30)
    assert found.of("row", "R1").dry == pytest.approx(17)
    assert found.place(OUTSIDE).water == pytest.approx(-(3 + 10))


def test_a_part_without_a_loads_name_comes_of_its_loads_by_what_is_left(told: Told) -> None:
    told.load(0, "A", "straw", "30 t", "15 %")
    told.load(0, "B", "Straw", "10 t", "15 %")
    told.row(1, "R1", "straw: 20 t")
    found = told.ledger
    assert found.of("load", "A").wet == pytest.approx(15)
    shares = {
        found.nodes[n].account.name: s
        for n, s in found.tree.back(found.node_of[Account("row", "R1")]).items()
    }
    assert shares["A"] == pytest.approx(0.75)
    assert any("without a load's name" in said for said in assumed(found))


def test_what_no_load_brought_is_a_source_of_its_own(told: Told) -> None:
    told.load(0, "A", "straw", "5 t", "15 %")
    told.row(1, "R1", "straw: 20 t", "hay: 2 t")
    found = told.ledger
    assert found.of("row", "R1").wet == pytest.approx(22)
    assert {node.account for node in found.nodes} >= {
        Account("material", "straw"),
        Account("material", "hay"),
    }
    assert sum("no load in the diary brought" in said for said in unclosed(found)) == 2


def test_a_part_of_a_row_moved_apart_by_length(told: Told) -> None:
    told.load(0, "A", "straw", "40 t", "15 %")
    told.row(1, "R1", "straw: 40 t: A")
    told.say(2, RowSplit(row="R1", new="R2", amount=much("10 t")))
    told.say(3, Merged(row="R3", sources=("R1", "R2")))
    found = told.ledger
    assert found.of("row", "R3").wet == pytest.approx(40) and found.of("row", "R1").wet == pytest.approx(0)
    assert found.of("row", "R3").dry == pytest.approx(34)


def test_a_load_comes_back_to_its_lot(told: Told) -> None:
    chain(told)
    told.say(160, LoadOut(ticket="T1", lot="F", amount=much("20 t"), customer="Ann"))
    told.say(161, LoadBack(ticket="T1", amount=much("5 t")))
    found = told.ledger
    assert found.of("lot", "F").wet == pytest.approx(60.83)
    assert found.of("ticket", "T1").wet == pytest.approx(15)
    assert found.wrongs == ()


def test_an_old_row_taken_in_part_keeps_its_dry_matter_open(told: Told) -> None:
    """Sixty days on, 30 t of a row are not what was laid in 30 t; without a moisture nobody can say."""
    told.load(0, "A", "straw", "40 t", "15 %")
    told.row(1, "R1", "straw: 40 t: A")
    told.say(61, LotMade(lot="L", sources=(of("row R1: 10 t"),)))
    found = told.ledger
    assert found.of("lot", "L").wet == pytest.approx(10) and not found.of("lot", "L").dry_known
    told.say(62, LotMade(lot="M", sources=(of("row R1: 10 t @ 50 %"),)))
    assert told.ledger.of("lot", "M").dry == pytest.approx(5)


def test_fines_and_overs_that_are_more_than_was_taken(told: Told) -> None:
    told.load(0, "A", "straw", "40 t", "15 %")
    told.say(
        1,
        Screened(
            sources=(of("load A: 20 t"),),
            fines="F",
            fines_amount=much("19 t"),
            overs="O",
            overs_amount=much("12 t"),
        ),
    )
    found = told.ledger
    assert found.place(UNEXPLAINED).wet == pytest.approx(-11, abs=0.01)
    assert found.wrongs and closes(found.moves)


def test_overs_not_kept_leave_the_yard(told: Told) -> None:
    told.load(0, "A", "straw", "40 t", "15 %")
    told.say(1, Screened(sources=(of("load A: 20 t"),), fines="F", fines_amount=much("15 t")))
    found = told.ledger
    assert found.of("lot", "F").wet == pytest.approx(15)
    assert found.place(OUTSIDE).wet == pytest.approx(-40 + 5)
    assert found.place(UNEXPLAINED).wet == 0


def test_a_name_used_again_is_as_old_as_what_is_in_it_now(told: Told) -> None:
    """R1 of March is gone; in June the air cannot have taken 10 of 20 t of dry matter in two days."""
    told.load(0, "A", "leaves", "50 t", "60 %")
    told.row(1, "R1", "leaves: 50 t: A")
    told.say(60, LotMade(lot="L", sources=(of("row R1"),), amount=much("25 t"), moisture=much("50 %")))
    told.load(90, "B", "leaves", "50 t", "60 %")
    told.row(91, "R1", "leaves: 50 t: B")
    told.say(93, Weighed(row="R1", amount=much("25 t"), moisture=much("60 %")))
    last = told.ledger.differences_of(Account("row", "R1"))[-1]
    assert last.days == pytest.approx(2) and not last.explained
