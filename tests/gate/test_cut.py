"""Numbers finer than is kept: never up to a lower limit, never down to an upper one.

The organic band is 131-170 °F (7 CFR 205.203(c)(2), READ); 170 °F is 76 2/3 °C, 349.81 2/3 K.
"""

from fractions import Fraction
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from turnrow.gate.cut import cut, cut_to_step
from turnrow.gate.files import read_temperatures
from turnrow.handbook.book import handbook
from turnrow.yard.temperature import ninths

BAND = handbook().rules["US-NOP-WINDROW"].proof
NINES = "9" * 40
TEXTS = [
    (f"130.{NINES}", "F", False), ("131.0000000001", "F", True), (f"54.{NINES}", "C", False),
    ("55.0000000001", "C", True), (f"169.{NINES}", "F", True), ("170.0000001", "F", False),
    (f"170.{'0' * 40}1", "F", False), ("170.0000010", "F", False), ("170.0000000", "F", True),
    ("76.6666666", "C", True), ("76.66666666", "C", True), ("76.66666667", "C", False),
    ("76.6666669", "C", False), ("349.81666666", "K", True), ("349.81666667", "K", False),
    (f"-0.{NINES}", "C", False),
]  # fmt: skip


@pytest.mark.parametrize(("text", "unit", "within"), TEXTS)
def test_a_reading_stays_on_its_side_of_the_band(text, unit, within):
    data = f"at,value,unit\n2026-05-01,{text},{unit}\n".encode()
    (readings,) = read_temperatures(data, "x.csv", zone=ZoneInfo("UTC")).rows.values()
    heat = readings.heat
    assert bool(BAND.limit.holds(heat)[0] and BAND.upper.holds(heat)[0]) == within
    in_c = {"C": Fraction(text), "F": (Fraction(text) - 32) * 5 / 9, "K": Fraction(text) - Fraction("273.15")}
    assert (55 <= in_c[unit] <= Fraction(230, 3)) == within  # by the clause itself, in exact numbers
    assert abs(Fraction(int(heat[0]), 9_000_000) - in_c[unit]) < Fraction(1, 1_000_000)


@pytest.mark.parametrize(
    ("value", "kept"), [(170_004_000, 170_010_000), (170_000_000, 170_000_000), (169_999_000, 169_990_000),
                        (130_996_000, 130_990_000), (131_004_000, 131_000_000)]
)  # fmt: skip
def test_to_two_decimals_as_a_mapping_may_ask(value, kept):
    assert cut_to_step(np.array([value]), 10_000, "F").tolist() == [kept]


def test_what_is_not_finer_stays():
    for value in range(169_999_990, 170_000_010):
        assert cut(Fraction(value), "F") == value
    assert ninths(170_000_000, "F") == BAND.upper.ninths
