"""The unit table against units by definition.

Source: the agreement of 1959 on the international yard and pound; NIST SP 811 (2008), app. B (MEMORY)
Source: NIST Handbook 44, app. C: acre, bushel, gallon, cubic yard (MEMORY)
Source: World Factbook, appendix G: an acre of 4,046.8564224 m2 and 43,560 ft2 (READ in a stored copy)
Source: dictionary.reference.com, weights and measures: US struck bushel, 2150.42 cubic inches (READ)
Source: UK Weights and Measures Act 1985, schedule 1: gallon of 4.54609 L (MEMORY)
Source: NOFA land care standards: 21.7 bushels in a cubic yard (READ for our notes, section 9)
Known: MEMORY

No unit library is among this program's dependencies, so none was asked; the definitions are written out.
"""

from fractions import Fraction

import pytest

from turnrow.handbook.analytes import units as lab_units
from turnrow.yard.units import UNITS, size


def exact(text: str) -> Fraction:
    return Fraction(text)


@pytest.mark.parametrize(
    ("unit", "of", "definition"),
    [
        ("lb", "kg", "0.45359237"),  # 1959
        ("ton", "kg", "907.18474"),  # SP 811, B.8: ton, short (2000 lb)
        ("long ton", "kg", "1016.0469088"),  # SP 811, B.8: ton, long (2240 lb)
        ("ft", "m", "0.3048"),  # 1959
        ("in", "cm", "2.54"),  # 1959
        ("yd", "m", "0.9144"),  # 1959
        ("yd3", "m3", "0.764554857984"),  # Handbook 44, C: cubic yard
        ("ft3", "L", "28.316846592"),  # Handbook 44, C: cubic foot
        ("gal", "L", "3.785411784"),  # Handbook 44, C: gallon, US
        ("bu", "L", "35.23907016688"),  # Handbook 44, C: bushel, US struck
        ("imp gal", "L", "4.54609"),  # 1985
        ("imp bu", "L", "36.36872"),  # 1985: 8 gallons
        ("acre", "m2", "4046.8564224"),  # 43,560 ft2, by the international foot
        ("ha", "m2", "10000"),
        ("ft2", "m2", "0.09290304"),
        ("yd2", "m2", "0.83612736"),
        ("acre-in", "m3", "102.79015312896"),  # 4046.8564224 m2 an inch deep
    ],
)
def test_every_unit_is_exact_by_definition(unit: str, of: str, definition: str) -> None:
    """Mass, volume, length, area and water of the US, the UK and the metric system, as fractions."""
    assert size(unit, of) == exact(definition)


@pytest.mark.parametrize(
    ("unit", "of", "printed"),
    [
        ("yd3", "m3", "0.764555"),
        ("ft3", "L", "28.3168"),
        ("ton", "kg", "907.185"),
        ("long ton", "kg", "1016.05"),
        ("bu", "ft3", "1.244456"),
        ("bu", "L", "35.239"),
        ("yd3", "bu", "21.70"),
        ("gal", "L", "3.785412"),
        ("acre", "m2", "4046.856"),
        ("acre-in", "m3", "102.79"),
        ("lb/yd3", "kg/m3", "0.593276"),
        ("lb/ac", "kg/ha", "1.12085"),
        ("lb/ft3", "kg/m3", "16.01846"),  # SP 811, B.8
        ("ton/ac", "t/ha", "2.241702"),  # SP 811, B.8: 2000 lb on an acre
        ("acre", "ft2", "43560"),
        ("acre-in", "gal", "27154.29"),  # the irrigator's figure
        ("yd3/ac", "m3/ha", "1.88926"),  # 0.764554857984 / 0.40468564224
        ("lb/1000 ft2", "lb/ac", "43.56"),
    ],
)
def test_the_digits_books_print(unit: str, of: str, printed: str) -> None:
    """Sizes as handbooks round them, rates on an area and densities among them.

    Tolerance: half of the last printed digit
    """
    places = len(printed.partition(".")[2])
    assert abs(size(unit, of) - exact(printed)) <= Fraction(1, 2 * 10**places)


def test_an_inch_on_an_acre_is_a_hundred_and_thirty_four_cubic_yards() -> None:
    """43,560 ft2 times 1/12 ft over 27 ft3: 134.44 yd3, in every book of application rates.

    Tolerance: half of the last printed digit
    """
    assert float(size("acre-in", "yd3")) == pytest.approx(134.44, abs=5e-3)


def test_the_lab_s_units_are_of_the_same_size() -> None:
    """The handbook's table for lab figures and the yard's own never differ; densities are the ones in both.

    Known: CALC
    """
    both = [one for one in lab_units() if one.kind == "density" and one.unit in UNITS]
    assert {one.unit for one in both} >= {"kg/m3", "lb/yd3", "lb/ft3"}
    home = next(one.unit for one in both if one.size == 1)
    for one in both:
        assert one.size == size(one.unit, home)
