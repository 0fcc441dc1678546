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
    accounts, given = flowed(found, flows, {"row R1": Fraction(1)}, "EUR")
    lot = Fraction(120) + 120 + Fraction("95.5")
    assert accounts["ticket T1"].total == lot / 3
    assert accounts["lot A"].total == lot * 2 / 3
    assert accounts["row R1"].total == 120 + 260 + 400 and accounts["row R2"].total == 0
    assert [one.money for one in given] == [120, 120, lot / 3]
    every = sum((one.money for one in found if one.money and one.currency == "EUR"), Fraction(0))
    assert sum((one.total for one in accounts.values()), Fraction(0)) == every


def test_a_turn_comes_to_the_hours_of_the_turns_that_have_them(season) -> None:
    """240 and 260 EUR on the days of two of six turns: 250 each, not 500 over six."""
    found = costs(season.diary)
    day = {one.line: one.day for one in found}
    turns = [day[3], day[3] + 1, day[6], day[6] + 2, day[6] + 4, day[6] + 6]
    told = turns_cost(found, {"R1": turns, "R2": [day[3]], "R3": []}, "EUR")
    assert (told["R1"].each, told["R1"].recorded, told["R1"].turns) == (250, 2, 6)
    assert told["R2"].each is None and told["R2"].recorded == 0 and "R3" not in told


def test_hours_written_a_day_late_are_for_the_turn_before(season) -> None:
    found = costs(season.diary)
    first = min(one.day for one in found)
    told = turns_cost(found, {"R1": [first - 3, first - 1]}, "EUR")["R1"]
    assert (told.each, told.recorded) == (250, 2)
    assert turns_cost(found, {"R1": [first + 90]}, "EUR")["R1"].each is None


def test_two_turns_of_a_day_share_its_hours(season) -> None:
    found = costs(season.diary)
    day = found[0].day
    assert turns_cost([found[0]], {"R1": [day, day]}, "EUR")["R1"].each == 120
