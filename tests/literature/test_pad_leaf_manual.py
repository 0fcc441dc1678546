"""Rows and the ground they need, against a state manual's own form.

Source: New Jersey's manual on composting leaves (1994), App. A, nj.gov/dep/dshw/rrtp/compost/app123.htm
Known: READ

The manual takes rows as half circles, twice as wide as high, one aisle each, and gives the capacity of an
acre as the section over base and aisle; the two cells were worked by hand from that form.
"""

import pytest

from turnrow.pad.section import Section, capacity

FOOT, ACRE, YARD3 = 0.3048, 4046.8564224, 0.764554857984


@pytest.mark.parametrize(("height", "aisle", "yards"), [(6, 10, 4146.9), (8, 16, 5068.4)])
def test_cubic_yards_on_an_acre__nj_leaf_manual_a(height: float, aisle: float, yards: float) -> None:
    """6 ft high with aisles of 10 ft, and 8 ft with 16 ft: pi h2 / 2 over 2 h + a.

    Known: CALC
    Tolerance: half of the last digit
    """
    half_circle = Section("half ellipse", 2 * height * FOOT, height * FOOT)
    assert capacity(half_circle, aisle * FOOT) * ACRE / YARD3 == pytest.approx(yards, abs=0.05)


def test_a_triangle_holds_less_and_a_box_more_than_the_half_circle__nj_leaf_manual_a() -> None:
    """The manual says of the same base and height: a triangle says too little, a rectangle too much."""
    base, height = 12 * FOOT, 6 * FOOT
    triangle, box = Section("triangle", base, height), Section("trapezoid", base, height, top=base)
    assert triangle.area < Section("half ellipse", base, height).area < box.area
