"""Temperatures of three scales compared exactly.

The scales: t/°C = (t/°F − 32)/1.8 and t/°C = T/K − 273.15, both exact: NIST Special Publication 811,
appendix B.8, "Temperature" (READ in a reprint of its table of factors).
"""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.yard.numbers import LARGEST, MICRO, parse_micro
from turnrow.yard.temperature import NINTH, Limit, celsius, degrees, from_ninths, ninths

micro = st.integers(-LARGEST, LARGEST)
units = st.sampled_from(["C", "F", "K"])


def sp811(value: int, unit: str) -> Fraction:
    """Degrees Celsius of a value in millionths, in fractions."""
    typed = Fraction(value, MICRO)
    return {"C": typed, "F": (typed - 32) / Fraction("1.8"), "K": typed - Fraction("273.15")}[unit]


@given(micro, units)
def test_ninths_are_the_scales_exactly__nist_sp811(value, unit):
    assert Fraction(ninths(value, unit), NINTH) == sp811(value, unit)


@given(micro, units, micro, units)
def test_two_readings_compare_as_the_scales_do__nist_sp811(one, one_unit, other, other_unit):
    left, right = ninths(one, one_unit), ninths(other, other_unit)
    exact_left, exact_right = sp811(one, one_unit), sp811(other, other_unit)
    assert (left < right, left == right) == (exact_left < exact_right, exact_left == exact_right)


@given(st.lists(micro, max_size=20), units)
def test_a_column_is_counted_like_single_values_without_overflow(values, unit):
    column = ninths(np.array(values, dtype=np.int64), unit)
    assert column.dtype == np.int64
    assert column.tolist() == [ninths(value, unit) for value in values]


def at(text: str, unit: str) -> int:
    return ninths(parse_micro(text), unit)


def test_131_fahrenheit_is_55_celsius_and_a_tenth_less_is_not():
    assert at("131", "F") == at("55", "C") == at("328.15", "K")
    assert at("130.8", "F") < at("55", "C")
    assert at("130.999999", "F") < at("55", "C") < at("131.000001", "F")


def test_170_fahrenheit_lies_between_76_6_and_76_7_celsius():
    assert at("76.6", "C") < at("170", "F") < at("76.7", "C")
    assert at("170", "F") < at("77", "C")


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    # fixed points of the two scales: -40 is the same, ice 32 and 0, steam 212 and 100 (SP 811 by the formula)
    [
        ("-40", "-40"),
        ("32", "0"),
        ("212", "100"),
        ("104", "40"),
        ("149", "65"),
        ("150.8", "66"),
        ("-459.67", "-273.15"),
    ],
)
def test_the_scales_meet_where_they_should(fahrenheit, celsius):
    assert at(fahrenheit, "F") == at(celsius, "C")


@pytest.mark.parametrize(
    ("op", "held"), [(">=", [0, 1, 1]), (">", [0, 0, 1]), ("<=", [1, 1, 0]), ("<", [1, 0, 0])]
)
def test_a_limit_holds_one_short_at_and_one_over(op, held):
    limit = Limit(op, 131 * MICRO, "F")
    readings = np.array([at("54.999999", "C"), at("55", "C"), at("55.000001", "C")])
    assert limit.holds(readings).tolist() == [bool(held_one) for held_one in held]


def test_a_limit_reads_as_words():
    assert Limit(">=", 55 * MICRO, "C").words() == "55 °C or hotter"
    assert Limit("<", 131 * MICRO, "F").words() == "131 °F not reached"


def test_values_are_shown_with_the_sign_of_their_scale():
    assert degrees(54_937_500, "C") == "54.9375 °C"
    assert degrees(330 * MICRO, "K") == "330 K"
    assert from_ninths(at("131", "F"), "C") == "55.0 °C"
    assert from_ninths(at("170", "F"), "C") == "76.7 °C"
    assert from_ninths(at("55", "C"), "F") == "131.0 °F"
    assert celsius(131 * MICRO, "F") == 55.0


@given(micro, units)
def test_shown_in_its_own_unit_a_value_is_itself(value, unit):
    assert from_ninths(ninths(value, unit), unit, 6) == degrees(value, unit, 6)


def test_another_unit_is_named():
    with pytest.raises(ValueError, match="'R'"):
        ninths(5, "R")
