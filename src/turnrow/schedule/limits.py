"""The yard's settings as the jobs read them: limits ready to compare, exactly."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import cast

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO, plain
from turnrow.yard.temperature import Limit, Unit, degrees
from turnrow.yard.units import of_kind

DEGREE = {"C": 9, "F": 5, "K": 9}  # ninths of a millionth of a degree Celsius in a step of a millionth
METRES = of_kind("length")
SPEEDS = {"m/s": Fraction(1), "km/h": Fraction(10, 36), "mph": Fraction(44_704, 100_000)}
TONNES = of_kind("mass")
UNSAID = Amount(0, "")


@dataclass(frozen=True)
class Limits:
    """Settings of the handbook, overlaid with the yard's own; KeyError when one is missing."""

    settings: Mapping[str, Amount]

    def heat(self, name: str) -> Limit:
        """A temperature that counts as reached when the reading is at it or over."""
        amount = self.settings[name]
        return Limit(">=", amount.value, cast(Unit, amount.unit))

    def step(self, name: str) -> int:
        """A temperature difference [ninths]."""
        amount = self.settings[name]
        return amount.value * DEGREE[amount.unit]

    def days(self, name: str) -> int:
        """Whole days, a part counts as a whole."""
        return -(-self.settings[name].value // MICRO)

    def number(self, name: str) -> int:
        """The setting's number [millionths of its unit]."""
        return self.settings[name].value

    def words(self, name: str) -> str:
        return words(self.settings[name])


def words(amount: Amount) -> str:
    """For people: "12 m/s", "66.1 °C", "38 %"."""
    if amount.unit in DEGREE:
        return degrees(amount.value, cast(Unit, amount.unit))
    return f"{plain(amount.value)} {amount.unit}"


def exact(amount: Amount | None, scale: Mapping[str, Fraction]) -> Fraction | None:
    """`amount` in the scale's first unit, exactly; None when unsaid or in a unit not on the scale."""
    if amount is None or amount.unit not in scale:
        return None
    return Fraction(amount.value, MICRO) * scale[amount.unit]
