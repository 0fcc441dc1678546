"""Money held to pencil: bags of pounds, prices written late, returns in another unit, later densities.

Sizes: 1 lb = 0.45359237 kg and 1 ft3 = 28.316846592 L exactly (international pound and foot, MEMORY).
"""

from collections import Counter
from datetime import UTC, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.sales.book import bills, orders, products
from turnrow.sales.cost import Flow, by_thing, costs, flowed
from turnrow.sales.price import convert, priced
from turnrow.yard.entries import Amount, Entry, Line
from turnrow.yard.goods import (
    Invoiced,
    LoadBack,
    LoadOut,
    LotMade,
    Ordered,
    ProductNamed,
    RateSet,
    Share,
    Spent,
)

from .conftest import Pen

LOT = LotMade(lot="A", sources=(Share(row="R1"),))


def m(text: str) -> Amount:
    number, unit = text.split(" ")
    return Amount(int(Fraction(number) * 1_000_000), unit)


@pytest.mark.parametrize(
    ("amount", "price", "bag", "cents"),
    [
        # 1000 x 40 lb = 40,000 lb = 18.1436948 t; x 200 = 3628.73896
        ("1000 bag", "200 USD/t", "40 lb", 362_874),
        # 100,000 x 1 lb = 45.359237 t; x 10 = 453.59237
        ("100000 bag", "10 USD/t", "1 lb", 45_359),
        # 10,000 x 1 ft3 = 283.16846592 m3; x 30 = 8495.0539776
        ("10000 bag", "30 EUR/m3", "1 ft3", 849_505),
        # 27 ft3 are a cubic yard
        ("270 bag", "45 USD/yd3", "1 ft3", 45_000),
        # 2.5 x 0.01 = 0.025: a half, away from nothing
        ("2.5 t", "0.01 EUR/t", None, 3),
        ("1 ton", "100 USD/t", None, 9_072),  # 90.718474
    ],
)
def test_a_load_comes_to_the_cent(amount: str, price: str, bag: str | None, cents: int) -> None:
    assert priced(m(amount), m(price), bag=m(bag) if bag else None).cents == cents


@given(
    st.integers(1, 10**9),
    st.sampled_from(["t", "kg", "ton", "lb", "m3", "yd3", "bag"]),
    st.sampled_from(["t", "kg", "ton", "lb", "m3", "yd3", "bag"]),
    st.integers(1, 10**8),
    st.sampled_from(["L", "kg", "ft3", "lb"]),
)
def test_there_and_back_is_the_same_to_the_last_bit(
    micro: int, has: str, unit: str, bag: int, of: str
) -> None:
    one = convert(Amount(micro, has), unit, density=Fraction(600), bag=Amount(bag, of))
    whole = Amount(
        one.numerator * 1_000_000, unit
    )  # `one` times its own bottom, so that it is a whole number
    back = convert(whole, has, density=Fraction(600), bag=Amount(bag, of))
    assert back / one.denominator == Fraction(micro, 1_000_000)


def test_a_price_written_late_for_an_earlier_day_does_not_change_a_later_one(pen: Pen) -> None:
    """30 on day 0, 35 from day 10; on day 20 somebody writes down that it was 28 on day 1."""
    pen.write(0, LOT, ProductNamed(product="fine", price=m("30 EUR/t")))
    pen.write(10, ProductNamed(product="fine", price=m("35 EUR/t")))
    pen.write(15, LoadOut(ticket="T1", lot="A", amount=m("1 t"), customer="Ann", product="fine"))
    pen.write(5, LoadOut(ticket="T2", lot="A", amount=m("1 t"), customer="Ann", product="fine"))
    pen.write(1, ProductNamed(product="fine", price=m("28 EUR/t")))
    pen.write(20, Invoiced(invoice="I1", customer="Ann", tickets=("T1", "T2")))
    (bill,) = bills(pen.diary, {})
    assert [one.priced.cents for one in bill.lines if one.priced] == [3500, 2800]
    listed = products(pen.diary)["fine"][1].price
    assert listed is not None and listed.value == 35_000_000


def test_a_load_out_by_weight_may_come_back_by_volume(pen: Pen) -> None:
    """12 t at 600 kg/m3 are 20 m3; 5 of them came back: a quarter, so 9 t are billed: 270."""
    pen.write(
        0, LOT, ProductNamed(product="fine", price=m("30 EUR/t")),
        Ordered(order="O1", customer="Ann", product="fine", amount=m("12 t")),
        LoadOut(ticket="T1", lot="A", amount=m("12 t"), customer="Ann", product="fine", order="O1"),
        LoadBack(ticket="T1", amount=m("5 m3")),
        Invoiced(invoice="I1", customer="Ann", tickets=("T1",)),
    )  # fmt: skip
    (bill,) = bills(pen.diary, {"A": Fraction(600)})
    assert bill.cents == {"EUR": 27_000}
    assert orders(pen.diary, {"A": Fraction(600)})[0].left == 3
    (unknown,) = bills(pen.diary, {})
    assert not unknown.whole and "came back" in unknown.lines[0].why and unknown.cents == {}
    assert orders(pen.diary, {})[0].left is None


def test_a_density_measured_later_changes_no_bill(pen: Pen) -> None:
    """12 t at the 600 kg/m3 known when it left are 20 m3, whatever the lot weighs a month later."""
    pen.write(
        0, LOT, ProductNamed(product="fine", price=m("10 EUR/m3")),
        LoadOut(ticket="T1", lot="A", amount=m("12 t"), customer="Ann", product="fine"),
        Invoiced(invoice="I1", customer="Ann", tickets=("T1",)),
    )  # fmt: skip
    (bill,) = bills(pen.diary, {"A": Fraction(480)}, {"T1": Fraction(600)})
    assert bill.cents == {"EUR": 20_000}


def test_each_currency_is_summed_by_itself(pen: Pen) -> None:
    pen.write(
        0, LOT,
        LoadOut(ticket="T1", lot="A", amount=m("1 t"), customer="Ann", price=m("30.005 EUR/t")),
        LoadOut(ticket="T2", lot="A", amount=m("1 t"), customer="Ann", price=m("10 GBP/t")),
        LoadOut(ticket="T3", lot="A", amount=m("1 t"), customer="Ann", price=m("30.005 EUR/t")),
        Invoiced(invoice="I1", customer="Ann", tickets=("T1", "T2", "T3")),
    )  # fmt: skip
    assert bills(pen.diary, {})[0].cents == {"EUR": 6002, "GBP": 1000}  # each line rounded as it stands


SPENT = st.tuples(
    st.integers(0, 30),
    st.sampled_from(["row R1", "row R2", "row R3", "lot A", "lot B", ""]),
    st.integers(1, 10**9),
    st.sampled_from(["EUR", "EUR", "EUR", "GBP"]),
)
FLOWS = st.tuples(
    st.integers(0, 30),
    st.sampled_from(["row R1", "row R2", "row R3", "lot A", "lot B"]),
    st.sampled_from(["lot A", "lot B", "row R3", "ticket T1", "ticket T2"]),
    st.fractions(0, 1, max_denominator=1000),
)


@given(st.lists(SPENT, max_size=20), st.lists(FLOWS, max_size=20), st.lists(st.integers(1, 9), max_size=3))
def test_every_cent_lands_somewhere_once(
    spent: list[tuple[int, str, int, str]], flows: list[tuple[int, str, str, Fraction]], laid: list[int]
) -> None:
    """Whatever flows where, also in circles: what rests on things and on none is what was spent."""
    pen = Pen()
    for day, thing, micro, currency in spent:
        kind, _, name = thing.partition(" ")
        pen.write(day, Spent(cost="other", money=Amount(micro, currency), **({kind: name} if kind else {})))
    found = costs(pen.diary)
    shares = {f"row R{n}": Fraction(part, sum(laid)) for n, part in enumerate(laid, 1)}
    whole: Counter[str] = Counter()
    yards = Fraction(0)
    for _, thing, micro, currency in spent:
        whole[currency] += micro
        if not thing and not shares and currency == "EUR":
            yards += Fraction(micro, 1_000_000)
    eur = Fraction(whole["EUR"], 1_000_000)
    written, rest = by_thing(found, shares, "EUR")
    assert sum((one.total for one in written.values()), rest.total) == eur
    assert rest.total == yards
    start = min((one.at for one in found), default=0)
    moved = [
        Flow(start + day * 86_400, a, b, share)
        for day, a, b, share in sorted(flows, key=lambda x: x[0])
        if a != b
    ]
    resting, _ = flowed(found, moved, shares, "EUR")
    assert sum((one.total for one in resting.values()), yards) == eur
    for account in resting.values():
        assert sum(account.by_task.values(), Fraction(0)) == account.total
        assert all(part >= 0 for part in account.by_cost.values())


def test_a_rate_of_which_only_the_day_is_known_holds_that_whole_day(pen: Pen) -> None:
    """Three hours at seven in the morning, at 20 an hour set on that day: 60."""
    seven = datetime(2026, 3, 9, 7, tzinfo=UTC)
    for n, (what, day_only) in enumerate(
        ((RateSet(cost="people", rate=m("20 EUR/h")), True), (Spent(cost="people", amount=m("3 h")), False)),
        1,
    ):
        when = seven.replace(hour=12) if day_only else seven
        entry = Entry(id=str(n), happened=when, who="t", what=what, day_only=day_only)
        pen.diary.add([Line(n, when, "", entry)])
    assert [one.money for one in costs(pen.diary)] == [60]
