"""A lot stands as the worst of its parents stood when they were taken."""

import pytest

from turnrow.lots.standing import Beside, Inherited, inherited
from turnrow.sanitation.standing import WORST
from turnrow.yard.days import seconds
from turnrow.yard.goods import LoadBack, LoadOut, LotMade, Screened

from .conftest import START, Told, much, of


def rows(told: Told) -> Told:
    for name in ("R1", "R2"):
        told.load(0, f"L{name}", "manure", "50 t", "65 %")
        told.row(1, name, f"manure: 50 t: L{name}")
    return told


def stands(told: Told, lot: str, **proven_on: int) -> Inherited:
    """Rows pass from their day on, and are short of it before."""

    def of_row(row: str, at_s: int) -> tuple[str, Beside]:
        day = (at_s - seconds(START)) / 86_400
        return "PASS" if day >= proven_on.get(row, 10_000) else "FAIL", ((f"{row} was read late", (3,)),)

    return inherited(told.ledger, lot, of_row, WORST)


def test_as_the_row_stood_when_it_was_taken(told: Told) -> None:
    rows(told)
    told.say(20, LotMade(lot="early", sources=(of("row R1: 10 t"),)))
    told.say(40, LotMade(lot="late", sources=(of("row R1: 10 t"),)))
    assert stands(told, "early", R1=30).verdict == "FAIL"
    assert stands(told, "late", R1=30).verdict == "PASS"


def test_the_worst_of_two_rows_and_it_says_which(told: Told) -> None:
    rows(told)
    line = told.say(40, LotMade(lot="L", sources=(of("row R1: 10 t"), of("row R2: 10 t"))))
    found = stands(told, "L", R1=30)
    assert (found.verdict, found.parents[0].account.name) == ("FAIL", "R2")
    assert f"(line {line})" in found.because[0]
    assert stands(told, "L", R1=30, R2=30).verdict == "PASS"


def test_through_screening_and_mixing(told: Told) -> None:
    rows(told)
    told.say(40, Screened(sources=(of("row R1: 10 t"),), fines="F", fines_amount=much("7 t"), overs="O"))
    told.say(41, LotMade(lot="G", sources=(of("row R2: 10 t"),)))
    told.say(50, LotMade(lot="mix", sources=(of("lot F: 2 t"), of("lot G: 2 t"))))
    assert stands(told, "F", R1=30).verdict == "PASS"
    assert stands(told, "mix", R1=30).verdict == "FAIL"
    assert stands(told, "mix", R1=30, R2=30).verdict == "PASS"


def test_a_raw_load_mixed_in_makes_the_lot_unproven(told: Told) -> None:
    rows(told)
    told.load(35, "raw", "manure", "5 t", "65 %")
    told.say(40, LotMade(lot="L", sources=(of("row R1: 10 t"), of("load raw"))))
    found = stands(told, "L", R1=30)
    assert found.verdict == "NOT_PROVEN" and "without having been in a row" in found.because[0]


def test_what_comes_back_is_of_its_lot(told: Told) -> None:
    rows(told)
    told.say(40, LotMade(lot="L", sources=(of("row R1: 10 t"),)))
    told.say(41, LoadOut(ticket="T", lot="L", amount=much("5 t"), customer="Ann"))
    told.say(42, LoadBack(ticket="T", amount=much("2 t")))
    assert stands(told, "L", R1=30).verdict == "PASS"


def test_a_lot_nobody_made_is_not_known(told: Told) -> None:
    with pytest.raises(KeyError):
        stands(told, "L")


def test_what_stands_beside_its_rows_stands_beside_the_lot(told: Told) -> None:
    rows(told)
    told.say(40, LotMade(lot="L", sources=(of("row R1: 10 t"), of("row R2: 10 t"))))
    found = stands(told, "L", R1=30, R2=30).beside
    assert found == (("Row R1: R1 was read late", (3,)), ("Row R2: R2 was read late", (3,)))
