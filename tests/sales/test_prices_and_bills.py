"""Prices, orders and bills: units, moisture, bags, what came back, and the price of the day it left."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.sales.book import bills, customers, orders, products
from turnrow.sales.price import at_moisture, cents, convert, priced
from turnrow.yard.entries import Amount
from turnrow.yard.goods import (
    CustomerNamed,
    Invoiced,
    LoadBack,
    LoadOut,
    LotMade,
    Ordered,
    ProductNamed,
    Share,
)


def m(text: str) -> Amount:
    number, unit = text.split(" ")
    return Amount(int(Fraction(number) * 1_000_000), unit)


LOT = LotMade(lot="A", sources=(Share(row="R1"),))
DENSITY = {"A": Fraction(600)}


def test_a_tonne_is_priced_at_the_moisture_the_price_is_for() -> None:
    """100 t at 60 % hold the dry matter of 66.67 t at 40 %."""
    assert float(at_moisture(Fraction(100), Fraction(60, 100), Fraction(40, 100))) == pytest.approx(
        66.67, abs=5e-3
    )
    found = priced(m("100 t"), m("30 EUR/t"), moisture=Fraction(60, 100), reference=Fraction(40, 100))
    assert found.cents == 200_000 and "60 % moisture reckoned as 40 %" in found.how


@pytest.mark.parametrize(
    ("amount", "unit", "density", "bag", "size"),
    [
        ("9 t", "m3", Fraction(600), None, 15),
        ("10 m3", "t", Fraction(600), None, 6),
        ("1 yd3", "m3", None, None, Fraction("0.764554857984")),
        ("2 ton", "t", None, None, Fraction("1.81436948")),
        ("25 bag", "m3", None, "40 L", 1),
        ("1 m3", "bag", None, "40 L", 25),
        ("50 bag", "t", None, "20 kg", 1),
        ("1 t", "bag", Fraction(500), "40 L", 50),
    ],
)
def test_goods_change_their_unit(amount, unit, density, bag, size) -> None:
    found = convert(m(amount), unit, density=density, bag=m(bag) if bag else None)
    assert float(found) == pytest.approx(float(size), rel=1e-9)


@pytest.mark.parametrize(
    ("amount", "price", "says"),
    [("9 t", "20 EUR/m3", "bulk density"), ("9 t", "2 EUR/bag", "bag"), ("9 t", "20 EUR", "per unit")],
)
def test_what_is_missing_for_a_price_is_named(amount, price, says) -> None:
    with pytest.raises(ValueError, match=says):
        priced(m(amount), m(price))


def test_a_price_for_a_moisture_needs_the_loads_own() -> None:
    with pytest.raises(ValueError, match="moisture"):
        priced(m("9 t"), m("20 EUR/t"), reference=Fraction(2, 5))


@given(st.integers(-(10**9), 10**9), st.integers(1, 10**6))
def test_cents_round_to_the_nearest_and_halves_away_from_nothing(top, bottom) -> None:
    money = Fraction(top, bottom)
    found = cents(money)
    assert abs(found - money * 100) <= Fraction(1, 2)
    if abs(found - money * 100) == Fraction(1, 2):
        assert abs(found) > abs(money * 100)


def test_an_order_is_done_when_its_loads_reach_it_less_what_came_back(pen) -> None:
    pen.write(
        0, LOT, CustomerNamed(customer="Mill"), ProductNamed(product="fine", price=m("20 EUR/m3")),
        Ordered(order="O1", customer="Mill", product="fine", amount=m("30 m3")),
        LoadOut(ticket="T1", lot="A", amount=m("9 t"), customer="Mill", order="O1"),
    )  # fmt: skip
    (order,) = orders(pen.diary, DENSITY)
    assert order.left == 15 and not order.done
    pen.write(1, LoadOut(ticket="T2", lot="A", amount=m("15 m3"), customer="Mill", order="O1"))
    assert orders(pen.diary, DENSITY)[0].done
    pen.write(2, LoadBack(ticket="T2", amount=m("5 m3")))
    (order,) = orders(pen.diary, DENSITY)
    assert order.left == 5 and order.out == (5, 6)


def test_an_order_whose_load_cannot_be_turned_into_its_unit_says_so(pen) -> None:
    pen.write(
        0, LOT, Ordered(order="O1", customer="Mill", product="fine", amount=m("30 m3")),
        LoadOut(ticket="T1", lot="A", amount=m("9 t"), customer="Mill", order="O1"),
    )  # fmt: skip
    (order,) = orders(pen.diary, {})
    assert order.left is None and "bulk density" in order.why


def test_an_order_written_anew_takes_the_place_of_the_first_and_one_called_off_is_gone(pen) -> None:
    first = Ordered(order="O1", customer="Mill", product="fine", amount=m("30 m3"))
    pen.write(0, first, Ordered(order="O1", customer="Mill", product="fine", amount=m("12 m3")))
    assert orders(pen.diary, {})[0].left == 12
    pen.write(1, Ordered(order="O1", customer="Mill", product="fine", amount=m("12 m3"), called_off=True))
    assert orders(pen.diary, {}) == ()


def test_a_bill_takes_the_price_of_the_day_the_load_left(pen) -> None:
    pen.write(0, LOT, ProductNamed(product="fine", price=m("20 EUR/m3")))
    pen.write(3, LoadOut(ticket="T1", lot="A", amount=m("10 m3"), customer="Mill", product="fine"))
    pen.write(5, ProductNamed(product="fine", price=m("25 EUR/m3")))
    pen.write(6, LoadOut(ticket="T2", lot="A", amount=m("10 m3"), customer="Mill", product="fine"))
    pen.write(7, LoadOut(ticket="T3", lot="A", amount=m("10 m3"), customer="Mill", price=m("12.5 EUR/m3")))
    pen.write(9, Invoiced(invoice="I1", customer="Mill", tickets=("T1", "T2", "T3")))
    (bill,) = bills(pen.diary, DENSITY)
    assert [one.priced.cents for one in bill.lines] == [20_000, 25_000, 12_500]
    assert bill.cents == {"EUR": 57_500} and bill.whole


def test_what_came_back_is_not_billed_and_a_load_without_a_price_is_named(pen) -> None:
    pen.write(
        0, LOT, ProductNamed(product="fine", price=m("20 EUR/m3")),
        LoadOut(ticket="T1", lot="A", amount=m("10 m3"), customer="Mill", product="fine"),
        LoadBack(ticket="T1", amount=m("4 m3")),
        LoadOut(ticket="T2", lot="A", amount=m("10 m3"), customer="Mill"),
        Invoiced(invoice="I1", customer="Mill", tickets=("T1", "T2")),
    )  # fmt: skip
    (bill,) = bills(pen.diary, DENSITY)
    assert bill.cents == {"EUR": 12_000} and not bill.whole
    assert "price" in bill.lines[1].why


def test_bags_are_billed_by_the_bag(pen) -> None:
    pen.write(
        0, LOT, ProductNamed(product="bagged", price=m("4.5 EUR/bag"), bag=m("40 L")),
        LoadOut(ticket="T1", lot="A", amount=m("4 m3"), bags=100, customer="Mill", product="bagged"),
        Invoiced(invoice="I1", customer="Mill", tickets=("T1",)),
    )  # fmt: skip
    assert bills(pen.diary, {})[0].cents == {"EUR": 45_000}


def test_the_last_line_of_a_product_or_a_customer_holds(pen) -> None:
    pen.write(0, ProductNamed(product="fine"), ProductNamed(product="fine", ended=True))
    pen.write(0, CustomerNamed(customer="Mill"), CustomerNamed(customer="Mill", use="pots"))
    assert products(pen.diary) == {}
    assert customers(pen.diary)["Mill"][1].use == "pots"
