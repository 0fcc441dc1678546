"""Amounts in the units of a yard's country: taken as typed and of the right size, or refused."""

from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from turnrow.gate import amounts
from turnrow.gate.amounts import Measure, amount
from turnrow.gate.forms import entry_from
from turnrow.gate.money import PER_COST, PER_GOODS, money
from turnrow.lots.matter import Known, tonnes, water_tonnes
from turnrow.sales.price import convert, priced
from turnrow.yard import stock
from turnrow.yard.entries import Amount
from turnrow.yard.units import UNITS
from turnrow.yard.wrongs import Refused


def write(desk: Any, kind: str, **fields: str) -> Any:
    return entry_from(kind, fields, diary=desk.diary, now=datetime(2026, 6, 2, 8, tzinfo=UTC), who="ana").what


@pytest.mark.parametrize(
    ("text", "allowed", "unit"),
    [
        ("12 short tons", amounts.LOADS, "ton"),
        ("12 Tons", amounts.LOADS, "ton"),
        ("3 long tons", amounts.WEIGHTS, "long ton"),
        ("40,000 lbs", amounts.LOADS, ""),  # a comma before three digits is asked about
        ("40000 lbs.", amounts.LOADS, "lb"),
        ("30 cu. yds.", amounts.LOADS, "yd3"),
        ("30 CY", amounts.SOLD, "yd3"),
        ("200 bushels", amounts.SOLD, "bu"),
        ("900 ft³", amounts.HEAPS, "ft3"),
        ("1200 gallons", amounts.VOLUMES, "gal"),
        ("1.5 acre-inches", amounts.VOLUMES, "acre-in"),
        ("8.5 acres", amounts.AREAS, "acre"),
        ("80 lb/acre", amounts.PER_AREA, "lb/ac"),
        ("1050 lb/yd³", amounts.DENSITY, "lb/yd3"),
        ("65 lb/ft3", amounts.DENSITY, "lb/ft3"),
        ("1.5 cubic feet", amounts.BAGS, "ft3"),
        ('1.25"', amounts.RAIN, "in"),
        ("120 yards", amounts.LENGTHS, "yd"),
    ],
)
def test_units_as_they_are_written(text: str, allowed: Measure, unit: str) -> None:
    found = amount(text, allowed)
    assert found.unit == unit if isinstance(found, Amount) else not unit and "comma" in found


@pytest.mark.parametrize(
    ("text", "allowed", "told"),
    [
        ("12 cwt", amounts.LOADS, "100 lb in one country and 112 lb in another"),
        ("30 yards", amounts.LOADS, "a yard is a cubic yard"),
        ("3 buckets", amounts.LOADS, "no fixed size"),
        ("12 MT", amounts.LOADS, "millions of tonnes"),
        ("5 gal", amounts.LENGTHS, "Write the unit as m, ft or yd."),
        ("5 furlong", amounts.LENGTHS, "Write the unit as m, ft or yd."),
        ("12", amounts.LOADS, "ton (short, 2000 lb), long ton (UK, 2240 lb)"),
        ("12", amounts.VOLUMES, "gal (US), imp gal (UK, 4.546 L)"),
        ("2500 ton", amounts.LOADS, "Write more than 0 to 2000 t."),
    ],
)
def test_a_unit_that_will_not_do_names_those_that_will(text: str, allowed: Measure, told: str) -> None:
    found = amount(text, allowed)
    assert isinstance(found, str) and told in found


def test_a_unit_in_its_own_field_may_be_spelled_out(desk: Any) -> None:
    load = write(desk, "load-in", load="L1", material="straw", amount="30", amount_unit="cubic yards")
    assert load.amount == Amount(30_000_000, "yd3")
    with pytest.raises(Refused) as caught:
        write(desk, "load-in", load="L1", material="straw", amount="30", amount_unit="furlong")
    assert "bu (US, level, 35.24 L)" in caught.value.refusals[0].do


def test_whatever_the_gate_takes_the_yard_can_weigh(desk: Any) -> None:
    """A load in every unit a load may come in counts in the stock, as mass or as volume, and in the lots."""
    for number, unit in enumerate(amounts.LOADS.units):
        desk.write(
            write(desk, "load-in", load=f"L{number}", material=f"m{number}", amount="7", amount_unit=unit)
        )
    piles = {pile.material: pile for pile in stock.piles(desk.diary)}
    for number, unit in enumerate(amounts.LOADS.units):
        one, size = piles[f"m{number}"], float(7 * UNITS[unit].size)
        held = one.tonnes if UNITS[unit].kind == "mass" else one.cubic_metres
        assert held == pytest.approx(size, rel=1e-12)
        weighed = tonnes(Amount(7_000_000, unit), Known(0.5, ()))
        assert weighed == pytest.approx(size if UNITS[unit].kind == "mass" else size / 2)
        assert convert(Amount(7_000_000, unit), "t", density=Fraction(500)) > 0


def test_water_given_in_acre_inches_and_gallons_weighs_what_it_is() -> None:
    """102.79 m3 of the table; 1000 US gallons 3.785 t at 1 t/m3."""
    assert water_tonnes(Amount(1_000_000, "acre-in")) == pytest.approx(102.79, abs=5e-3)
    assert water_tonnes(Amount(1000_000_000, "gal")) == pytest.approx(3.785, abs=5e-4)
    for unit in amounts.VOLUMES.units:
        assert water_tonnes(Amount(1_000_000, unit)) > 0


def test_bushels_are_sold_by_the_yard_and_by_the_bushel() -> None:
    """21.70 bushels in a cubic yard (NOFA land care standards, READ in our notes)."""
    assert float(convert(Amount(1_000_000, "yd3"), "bu")) == pytest.approx(21.70, abs=5e-3)
    by_bushel = money("1.50 USD/bushel", PER_GOODS)
    assert by_bushel == Amount(1_500_000, "USD/bu")
    found = priced(Amount(10_000_000, "yd3"), by_bushel)
    assert found.cents == 32_544  # 46,656 cubic inches over 2150.42, times 10 and 1.50
    assert money("40 GBP per long ton", PER_GOODS) == Amount(40_000_000, "GBP/long ton")
    assert money("20 USD/short ton", PER_GOODS) == Amount(20_000_000, "USD/ton")
    assert money("95 USD/acre", PER_COST) == Amount(95_000_000, "USD/acre")
    assert "acre" in str(money("95 USD/furlong", PER_COST))


def test_every_bag_size_can_be_turned_into_goods() -> None:
    for unit in amounts.BAGS.units:
        of = "t" if UNITS[unit].kind == "mass" else "m3"
        assert convert(Amount(1_000_000, "bag"), of, bag=Amount(1_000_000, unit)) == UNITS[unit].size


def test_the_page_on_selling_names_every_unit_of_a_price() -> None:
    text = (Path(__file__).parents[2] / "docs" / "sales.md").read_text("utf-8")
    assert all(f"`{unit}`" in text for unit in PER_GOODS)
