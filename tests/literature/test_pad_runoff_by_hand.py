"""Runoff worked by hand from the published equation, and curve numbers of dry and wet ground.

Source: USDA SCS TR-55, chapter 2: Q = (P - 0.2 S)^2 / (P + 0.8 S), S = 1000/CN - 10, inches
Source: Runoff curve number, en.wikipedia.org: S05 = 1.33 S20^1.15, Q = (P - 0.05 S)^2 / (P + 0.95 S)
Source: Hawkins et al. 2002 (MEMORY): CN05 = 100 / (1.879 (100/CN20 - 1)^1.15 + 1)
Source: NEH part 630, table 10-1 (MEMORY): curve numbers of conditions I and III
Source: Chow, Maidment, Mays 1988, as cited: formulas of conditions I and III
Known: CALC
"""

import pytest

from turnrow.handbook.figures import pond_figures
from turnrow.pad.runoff import Surface, on_ground, runoff, shed

BOOK = pond_figures()
INCH = 25.4


def test_8_inches_on_80_and_3_inches_on_75() -> None:
    """S 2.5: 7.5^2 / 10 = 5.625 in. S 3.333: 2.333^2 / 5.667 = 0.961 in.

    Tolerance: half of the last digit
    """
    assert runoff(8 * INCH, 80, BOOK) / INCH == pytest.approx(5.625, abs=5e-4)
    assert runoff(3 * INCH, 75, BOOK) / INCH == pytest.approx(0.961, abs=5e-4)


def test_storms_in_millimetres() -> None:
    """60 mm on 85, 90, 91, 94, 98; 127 mm on 91, with S = 25400/CN - 254.

    Tolerance: half of the last digit
    """
    found = [runoff(60, cn, BOOK) for cn in (85, 90, 91, 94, 98)]
    assert found == pytest.approx([27.2, 35.8, 37.7, 44.1, 54.2], abs=0.05)
    assert runoff(127, 91, BOOK) == pytest.approx(101.1, abs=0.05)


def test_one_weighted_number_says_an_eighth_less() -> None:
    """60 mm on 40 % rows of 75 and 60 % paved of 98: 38.3 mm by parts, 33.5 mm by one number of 88.8.

    Tolerance: half of the last digit
    """
    found = shed([Surface("rows", 4000.0, 75.0), Surface("paved", 6000.0, 98.0)], 60.0, BOOK)
    assert found.depth == pytest.approx(38.3, abs=0.05)
    assert found.weighted_cn == pytest.approx(88.8)
    assert found.weighted_total is not None
    assert found.weighted_total / 10.0 == pytest.approx(33.5, abs=0.05)
    assert found.total / found.weighted_total == pytest.approx(1.14, abs=0.005)


def test_the_later_abstraction_in_inches_and_not_in_millimetres() -> None:
    """CN 80: S20 2.5, 2.5^1.15 = 2.868, S05 = 3.815 in; 3 in of rain: 2.809^2 / 6.624 = 1.191 in.

    Tolerance: 0.002 in
    """
    assert runoff(3 * INCH, 80, BOOK, low=True) / INCH == pytest.approx(1.191, abs=0.002)


@pytest.mark.parametrize("cn", [60, 70, 80, 90, 98])
def test_the_later_abstraction_against_the_number_carried_over(cn: int) -> None:
    """The same runoff from CN05 = 100 / (1.879 (100/CN20 - 1)^1.15 + 1) and S = 1000/CN05 - 10.

    Known: MEMORY
    Tolerance: 0.2 % of the runoff of 4 in: 1.879 is 1.33 x 10^0.15 rounded
    """
    kept = 1000 / (100 / (1.879 * (100 / cn - 1) ** 1.15 + 1)) - 10
    expected = (4 - 0.05 * kept) ** 2 / (4 + 0.95 * kept)
    assert runoff(4 * INCH, cn, BOOK, low=True) / INCH == pytest.approx(expected, rel=0.002)


@pytest.mark.parametrize(
    ("cn", "dry", "wet"),
    [(100, 100, 100), (95, 87, 98), (90, 78, 96), (80, 63, 91), (70, 51, 85), (60, 40, 78)],
)
def test_dry_and_wet_ground_near_the_table__neh630_table_10_1(cn: int, dry: int, wet: int) -> None:
    """The formulas of Chow et al. were drawn through this table.

    Known: MEMORY
    Tolerance: 2 of a curve number
    """
    assert on_ground(cn, "dry", BOOK) == pytest.approx(dry, abs=2)
    assert on_ground(cn, "wet", BOOK) == pytest.approx(wet, abs=2)
