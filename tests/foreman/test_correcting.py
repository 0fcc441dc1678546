"""A row measured too wet: what to mix in, checked by its water balance. Its parts are the handbook's."""

import re

import pytest

from turnrow.foreman.correcting import correction
from turnrow.yard import entries as e
from turnrow.yard.entries import Amount

from .conftest import Yard

MILLION = 1_000_000
PARTS = (("dairy manure", 40), ("straw", 6))


def percent(number: float) -> Amount:
    return Amount(round(number * MILLION), "%")


def build(yard: Yard, parts: tuple[tuple[str, int], ...] = PARTS) -> None:
    made = tuple(e.Part(name, Amount(tonnes * MILLION, "t")) for name, tonnes in parts)
    yard.say(1, e.RowBuilt(row="R1", parts=made, stations=("1", "2")))
    yard.desk.refresh()


def wet(yard: Yard, day: float, *shares: float) -> None:
    for share in shares:
        yard.say(int(day), e.Measured(row="R1", quantity="moisture", amount=percent(share), how="oven"), 9)
    yard.desk.refresh()


def said(yard: Yard) -> str:
    yard.desk.refresh()
    found = correction(yard.desk, "R1")
    return "" if found is None else found.words


def test_the_straw_asked_for_brings_the_row_inside_by_its_water_balance(yard: Yard) -> None:
    """40 t at 81 % and 6 t at 12 % hold 33.12 t of water in 46 t, 72 %; the dry 12.88 t stay. With s t of
    straw at 12 %, moisture is (row's water + 0.12 s)/(row + s): it must come under 65 %, though not far."""
    build(yard)
    wet(yard, 3, 73, 73.5)
    words = said(yard)
    assert "measured at 73 % moisture on 3 May" in words and "built of says 72 %" in words
    holds = int(re.findall(r"it holds (\d+) %", words)[0]) / 100
    assert 0.72 <= holds <= 0.74
    straw = float(re.findall(r"mix in ([\d,]+) kg of straw", words)[0].replace(",", "")) / 1000
    row = 12.88 / (1 - holds)
    after = (row - 12.88 + 0.12 * straw) / (row + straw)
    assert 0.60 < after < 0.65


def test_it_names_the_lines_it_rests_on(yard: Yard) -> None:
    build(yard)
    wet(yard, 3, 73, 74)
    found = correction(yard.desk, "R1")
    assert found is not None and found.lines == (2, 3, 4)


def test_one_wet_sample_alone_is_drawn_towards_what_was_laid(yard: Yard) -> None:
    """22 t at 81 % and 12 t at 12 % are 57 % by the recipe; one sample of 66 % alone does not make it 66."""
    build(yard, (("dairy manure", 22), ("straw", 12)))
    wet(yard, 3, 66)
    assert said(yard) == ""


def test_a_pile_on_hand_that_is_dry_is_taken_first(yard: Yard) -> None:
    yard.say(0, e.LoadIn(load="a", material="wood shavings", amount=Amount(20 * MILLION, "t")))
    build(yard)
    wet(yard, 3, 73)
    assert re.search(r"mix in [\d,]+ kg of wood shavings", said(yard))


@pytest.mark.parametrize("what", ["turned", "watered", "merged", "late", "own material", "not wet", "unread"])
def test_nothing_is_said_where_it_would_not_hold(yard: Yard, what: str) -> None:
    build(yard, (("dairy manure", 40), ("grape marc", 6)) if what == "own material" else PARTS)
    if what != "unread":
        wet(yard, 25 if what == "late" else 3, 60 if what == "not wet" else 73)
    after: dict[str, e.What] = {
        "turned": e.Turned(row="R1"),
        "watered": e.Watered(row="R1", water=Amount(500 * MILLION, "L")),
        "merged": e.Merged(row="R1", sources=("R2",)),
    }
    if what in after:
        yard.say(4, after[what])
    if what == "not wet":
        wet(yard, 3, 60, 60, 60)
    assert said(yard) == ""
