"""Costs: rates in force, what is left out of a sum, and what a lot carries of its rows."""

from fractions import Fraction

import pytest

from turnrow.sales.cost import Flow, by_thing, costs, flowed, turns_cost, unsaid
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


def test_costs_go_along_with_the_matter_and_none_is_lost(season) -> None:
    """Half of R1 becomes lot A before its second turn; then all of R2 does; a third of A is sold."""
    found = costs(season.diary)
    day = {one.line: one.at for one in found}
    flows = [
        Flow(day[4] + 1, "row R1", "lot A", Fraction(1, 2)),
        Flow(day[7] + 1, "row R2", "lot A", Fraction(1)),
        Flow(day[10] + 1, "lot A", "ticket T1", Fraction(1, 3)),
    ]
    accounts = flowed(found, flows, {"row R1": Fraction(1)}, "EUR")
    lot = Fraction(120) + 120 + Fraction("95.5")
    assert accounts["ticket T1"].total == lot / 3
    assert accounts["lot A"].total == lot * 2 / 3
    assert accounts["row R1"].total == 120 + 260 + 400 and accounts["row R2"].total == 0
    every = sum((one.money for one in found if one.money and one.currency == "EUR"), Fraction(0))
    assert sum((one.total for one in accounts.values()), Fraction(0)) == every


def test_a_turn_of_a_row_comes_to_its_turning_lines_over_its_turns(season) -> None:
    assert turns_cost(costs(season.diary), {"R1": 2, "R2": 3}, "EUR") == {"R1": 250}
