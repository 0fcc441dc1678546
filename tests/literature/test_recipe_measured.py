"""Pail, oven, ash and drying as the page Measure your own takes them, at printed worked examples.

Source: Cornell moisture page, copy at jerrysplantsonline.com (oven)
Source: after Cooperband 2002, scribd.com/document/456947730 (pail)
Source: Alberta Nutrient Management Planning Guide p. 127 (pail)
Source: broiler manure page after Handboek Pluimveehouderij 1988, wikipoultry.com (drying)
Source: compost.css.cornell.edu/calc/carbon.html (ash)
Known: READ

Tolerances are half a unit of the last printed digit.
"""

import pytest

from turnrow.gate.measuring import Ash, Oven, Pail, Watering, measured_from
from turnrow.yard.units import size

AIR = 30.0


def test_a_cup_of_grass__cornell1996() -> None:
    """10 g of grass in a 4 g cup, 6.3 g with the cup after drying: 77 %.

    Tolerance: 0.5 points
    """
    got = measured_from("oven", {"cup": "4", "wet": "14", "dry": "6.3"}, AIR)
    assert isinstance(got, Oven)
    assert 100 * got.moisture.mean == pytest.approx(77, abs=0.5)


@pytest.mark.parametrize(("empty", "full", "density"), [("1", "10", 450), ("0", "19.48", 974)])
def test_pails_of_20_litres__cooperband2002_and_alberta_p127(empty: str, full: str, density: float) -> None:
    """Pail 1 kg, full 10 kg, 20 L: 0.45 kg/L; 19.48 kg in 20 L: 974 kg/m3.

    Tolerance: 0.5 kg/m3
    """
    got = measured_from("pail", {"pail": "20", "empty": empty, "full": full}, AIR)
    assert isinstance(got, Pail)
    assert got.density.mean == pytest.approx(density, abs=0.5)


def test_manure_dried_to_half__wikipoultry_307() -> None:
    """1000 g at 80 % water are 400 g at 50 %: 600 g of water must go.

    Tolerance: 0.5 g
    """
    got = measured_from("water", {"mass": "1000", "mass_unit": "kg", "moisture": "80", "wanted": "50"}, AIR)
    assert isinstance(got, Watering)
    assert 1000 * got.after_t == pytest.approx(400, abs=0.5)
    assert 1000 * got.lose_t == pytest.approx(600, abs=0.5)


def test_water_for_a_cubic_yard() -> None:
    """800 lb from 40 to 55 %: 266.7 lb of water, 32.0 US gallons.

    Known: CALC
    Tolerance: 0.05 lb and gallons
    """
    got = measured_from("water", {"mass": "800", "mass_unit": "lb", "moisture": "40", "wanted": "55"}, AIR)
    assert isinstance(got, Watering)
    assert got.give_t / float(size("lb", "t")) == pytest.approx(266.7, abs=0.05)
    assert got.give_t / float(size("gal", "m3")) == pytest.approx(32.0, abs=0.05)


@pytest.mark.parametrize(("dry", "most"), [(150, 80.3), (200, 74.5), (250, 68.9), (300, 63.7)])
def test_most_water_at_a_density(dry: float, most: float) -> None:
    """Half water, organic matter 80 %, air 30 %: the ceiling of a dry density, worked apart from this code.

    Known: CALC (constants 1600 and 2500 MEMORY)
    Tolerance: 0.05 points
    """
    asked = {"mass": "1", "moisture": "50", "wanted": "60", "density": str(2 * dry), "organic": "80"}
    got = measured_from("water", asked, AIR)
    assert isinstance(got, Watering)
    assert got.ceiling is not None
    assert 100 * got.ceiling == pytest.approx(most, abs=0.05)


def test_carbon_of_ash__cornell_carbon() -> None:
    """Volatile solids 80 %: 44.4 % carbon, from 45-60 % of them 36 to 48 %.

    Tolerance: 0.05 points
    """
    got = measured_from("ash", {"cup": "30", "dry": "40", "burnt": "32"}, AIR)
    assert isinstance(got, Ash)
    found = [100 * one for one in (got.organic, got.carbon.c_dry, got.carbon.low, got.carbon.high)]
    assert found == pytest.approx([80, 44.4, 36, 48], abs=0.05)
