"""Runoff of a watershed, against the worked example of the method's own guide.

Source: USDA SCS TR-55 (1986), Example 2-1, in a copy (docsbay.net), and its answer in Table 2-1
Known: READ
"""

import pytest

from turnrow.handbook.figures import pond_figures
from turnrow.handbook.ground import grounds
from turnrow.pad.runoff import Surface, runoff, shed

BOOK = pond_figures()
INCH, ACRE, FOOT = 25.4, 4046.8564224, 0.3048  # mm, m2, m by definition
PASTURE = grounds()["pasture"].numbers


def test_250_acres_of_pasture_under_6_inches__tr55_example_2_1() -> None:
    """70 % soil C and 30 % soil B: curve number 70, and 2.81 in run off.

    Tolerance: half of the last printed digit
    """
    parts = [Surface("C", 175 * ACRE, PASTURE["C"]), Surface("B", 75 * ACRE, PASTURE["B"])]
    found = shed(parts, 6 * INCH, BOOK)
    assert found.weighted_cn is not None
    assert round(found.weighted_cn) == 70
    assert runoff(6 * INCH, 70, BOOK) / INCH == pytest.approx(2.81, abs=0.005)


def test_the_same_soil_by_soil_says_a_little_more__tr55_example_2_1() -> None:
    """By hand: C 74 3.185 in, B 61 2.006 in; 0.7 and 0.3 of them 2.831 in, 59.0 acre-feet against 58.4.

    Known: CALC
    Tolerance: half of the last digit
    """
    parts = [Surface("C", 175 * ACRE, PASTURE["C"]), Surface("B", 75 * ACRE, PASTURE["B"])]
    found = shed(parts, 6 * INCH, BOOK)
    assert [one / INCH for one in found.depths] == pytest.approx([3.185, 2.006], abs=5e-4)
    assert found.total / (ACRE * FOOT) == pytest.approx(59.0, abs=0.05)
    assert runoff(6 * INCH, 70, BOOK) / INCH / 12 * 250 == pytest.approx(58.4, abs=0.05)
