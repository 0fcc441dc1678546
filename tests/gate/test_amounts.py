"""A mass that cannot be in its unit: the likely one is named."""

import pytest

from turnrow.gate.amounts import LOADS, WEIGHTS, Measure, amount
from turnrow.yard.entries import Amount


@pytest.mark.parametrize(
    ("text", "allowed", "said"),
    [
        ("18500 t", LOADS, "Likely 18500 kg."),
        ("250000 t", WEIGHTS, "Likely 250000 kg."),
        ("18500 m3", LOADS, "Write more than 0 to 2000 t."),
        ("-3 t", LOADS, "Write more than 0 to 2000 t."),
    ],
)
def test_tonnes_that_are_kilograms(text: str, allowed: Measure, said: str) -> None:
    found = amount(text, allowed)
    assert isinstance(found, str) and found.endswith(said)


def test_kilograms_are_taken_as_they_are() -> None:
    assert amount("18500 kg", LOADS) == Amount(18_500_000_000, "kg")
