"""Costs: rates in force, what is left out of a sum, and what a lot carries of its rows."""

from fractions import Fraction

import pytest

from turnrow.sales.cost import by_thing, carried, costs, turns_cost, unsaid
from turnrow.yard.entries import Amount
from turnrow.yard.goods import RateSet, Spent


def m(text: str) -> Amount:
    number, unit = text.split(" ")
    return Amount(int(Fraction(number) * 1_000_000), unit)


@pytest.fixture
def season(pen):
    pen.write(0, RateSet(cost="machine", rate=m("80 EUR/h")))
    pen.write(0, RateSet(cost="machine", rate=m("120 EUR/h"), what="turner"))
    pen.write(1, Spent(cost="machine", amount=m("2 h"), row="R1", what="turner", task="turning"))  # 240
    pen.write(2, Spent(cost="machine", amount=m("1.5 h"), row="R2", what="loader"))  # 120
    pen.write(3, RateSet(cost="machine", rate=m("130 EUR/h"), what="turner"))
    pen.write(4, Spent(cost="machine", amount=m("2 h"), row="R1", what="turner", task="turning"))  # 260
    pen.write(5, Spent(cost="lab", money=m("95.5 EUR"), lot="A"))
    pen.write(6, Spent(cost="land", money=m("400 EUR")))
    pen.write(7, Spent(cost="fuel", amount=m("40 L"), row="R1"))
    return pen.write(8, Spent(cost="other", money=m("10 USD"), row="R1"))


def test_a_cost_takes_the_rate_in_force_and_the_machines_own_before_the_kinds(season) -> None:
    assert [one.money for one in costs(season.diary)][:3] == [240, 120, 260]


def test_costs_without_a_rate_or_in_another_currency_are_named_and_left_out(season) -> None:
    found = costs(season.diary)
    said = unsaid(found, "EUR")
    assert len(said) == 2 and "No rate for fuel by the L" in said[0] and "USD" in said[1]


def test_every_cost_is_laid_on_something_once(season) -> None:
    found = costs(season.diary)
    shares = {"row R1": Fraction(1, 2), "row R2": Fraction(1, 4)}
    accounts, rest = by_thing(found, shares, "EUR")
    total = sum((one.total for one in accounts.values()), rest.total)
    assert total == sum(one.money for one in found if one.money and one.currency == "EUR")
    assert accounts["row R1"].total == 240 + 260 + 200 and rest.total == 100


def test_a_lot_carries_its_share_of_each_row_and_its_own(season) -> None:
    accounts, _ = by_thing(costs(season.diary), {}, "EUR")
    found = carried("A", accounts, {"row R1": Fraction(1, 2), "row R2": Fraction(1)})
    assert found == {"machine": Fraction(250 + 120), "lab": Fraction("95.5")}


def test_a_turn_of_a_row_comes_to_its_turning_lines_over_its_turns(season) -> None:
    assert turns_cost(costs(season.diary), {"R1": 2, "R2": 3}, "EUR") == {"R1": 250}
