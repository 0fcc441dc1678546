"""The unit table: no spelling for two units, no kind for another, and words of two meanings told apart."""

from fractions import Fraction
from math import log10

import pytest

from turnrow.yard.units import TWO_MEANINGS, UNITS, explained, of_kind, size, unit_named


def test_kinds_do_not_mix() -> None:
    with pytest.raises(ValueError, match="lb is mass and yd3 is volume"):
        size("lb", "yd3")
    with pytest.raises(KeyError):
        size("furlong", "m")


def test_no_spelling_stands_for_two_units() -> None:
    names = [name.casefold() for unit, one in UNITS.items() for name in (unit, *one.also)]
    assert sorted(names) == sorted(set(names))
    assert all(unit_named(name) for name in names)


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("Tons", "ton"), ("US ton", "ton"), ("short tons", "ton"), ("long tons", "long ton"),
        ("tonnes", "t"), ("metric tons", "t"), ("Cu. Yds.", "yd3"), ("CY", "yd3"), ("yd³", "yd3"),
        ("bushels", "bu"), ("gallons", "gal"), ("imperial gallons", "imp gal"), ("lbs/acre", "lb/ac"),
        ("tons per acre", "ton/ac"), ("acre-inches", "acre-in"), ("sq. ft.", "ft2"), ("lbs", "lb"),
        ("furlong", ""), ("cwt", ""), ("oz", ""),
    ],
)  # fmt: skip
def test_spellings(typed: str, unit: str) -> None:
    assert unit_named(typed) == unit


def test_a_ton_a_gallon_and_a_bushel_say_which() -> None:
    """The three words that differ by country are told apart wherever a choice of units is printed."""
    for word, said in (("ton", "2000 lb"), ("gal", "US"), ("bu", "US"), ("long ton", "2240 lb")):
        assert said in explained([word])
    # by how much the wrong one would be off: 12 %, 20 % and 3 %
    assert size("long ton", "ton") == Fraction("1.12")
    assert float(size("imp gal", "gal")) == pytest.approx(1.20095, abs=5e-6)
    assert float(size("imp bu", "bu")) == pytest.approx(1.03206, abs=5e-6)


def test_words_that_cannot_be_settled_say_what_to_write() -> None:
    for word, do in TWO_MEANINGS.items():
        assert word == word.casefold() and "write" in do


def test_every_kind_has_its_home_unit_first() -> None:
    for kind in {one.kind for one in UNITS.values()}:
        sizes = list(of_kind(kind).values())
        assert sizes[0] == 1 and min(sizes) > 0
        assert max(abs(log10(one)) for one in sizes) < 7
