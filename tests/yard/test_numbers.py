"""Numbers as typed: read whole, written back the same, rounded only for the eye."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.yard.numbers import LARGEST, MICRO, parse_micro, plain

micro = st.integers(-LARGEST, LARGEST)


@given(micro)
def test_a_number_written_out_reads_back_as_itself(value):
    assert parse_micro(plain(value)) == value
    assert parse_micro(plain(value).replace(".", ","), comma=True) == value


@given(micro)
def test_a_number_is_what_decimal_arithmetic_says(value):
    """Against Python's decimal module."""
    assert Decimal(plain(value)) * MICRO == value


@given(micro, st.integers(0, 6))
def test_rounding_for_the_eye_is_half_to_even__ieee754_decimal(value, decimals):
    """Against Python's decimal module (General Decimal Arithmetic, round-half-even)."""
    exact = Decimal(value) / MICRO
    rounded = exact.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
    shown = plain(value, decimals)
    assert Decimal(shown) == rounded
    assert len(shown.partition(".")[2]) == decimals
    assert shown != "-0" and not shown.startswith("-0." + "0" * decimals if decimals else "-0")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("54.9375", 54_937_500),
        ("131", 131_000_000),
        ("-0.5", -500_000),
        ("+7", 7_000_000),
        (".5", 500_000),
        ("5.", 5_000_000),
        (" 54.90 ", 54_900_000),
        ("\u221212", -12_000_000),
        ("0.000001", 1),
        ("1.5000000000", 1_500_000),
        ("000055", 55_000_000),
    ],
)
def test_plain_numbers_are_read(text, value):
    assert parse_micro(text) == value


@pytest.mark.parametrize(
    "text",
    [
        "",
        ".",
        "-",
        "1,234",
        "1 234",
        "1'234",
        "1e3",
        "0x1F",
        "54.9C",
        "--5",
        "1.2.3",
        "nan",
        "inf",
        "5\n6",
        "٥٥",
        "1_0",
    ],
)
def test_what_is_not_one_plain_number_is_not_guessed_at(text):
    with pytest.raises(ValueError, match="not a plain decimal number"):
        parse_micro(text)


@pytest.mark.parametrize(("text", "said"), [("0.0000001", "decimals"), ("1000000000.000001", "larger")])
def test_numbers_finer_or_larger_than_are_kept_are_turned_away(text, said):
    with pytest.raises(ValueError, match=said):
        parse_micro(text)


def test_a_point_where_the_sign_is_a_comma_is_not_guessed_at():
    assert parse_micro("63,4", comma=True) == 63_400_000
    with pytest.raises(ValueError, match="comma"):
        parse_micro("1.234", comma=True)
    with pytest.raises(ValueError, match="plain"):
        parse_micro("1,234,5", comma=True)
