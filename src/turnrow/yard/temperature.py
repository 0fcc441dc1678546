"""Temperatures compared without rounding, whatever unit each was typed in.

Every °C, °F or K value with up to six decimals is a whole number of ninths of a millionth of a
degree Celsius, so one integer scale carries all three and equality means equality:

    C: 9 v        F: 5 (v − 32)        K: 9 (v − 273.15)        v in millionths of its unit

131 °F is 55 °C; 130.8 °F is not; 170 °F lies between 76.6 and 76.7 °C.
"""

from typing import Literal, TypeVar, overload

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from turnrow.yard.numbers import MICRO, plain

Unit = Literal["C", "F", "K"]
UNITS: tuple[Unit, ...] = ("C", "F", "K")
NINTH = 9 * MICRO  # ninths in one degree Celsius

Op = Literal[">=", ">", "<=", "<"]
Whole = TypeVar("Whole", int, NDArray[np.int64])


@overload
def ninths(value: int, unit: Unit) -> int: ...
@overload
def ninths(value: NDArray[np.int64], unit: Unit) -> NDArray[np.int64]: ...
def ninths(value: int | NDArray[np.int64], unit: Unit) -> int | NDArray[np.int64]:
    """`value` [millionths of `unit`] as ninths of a millionth of a degree Celsius, exactly."""
    if unit == "C":
        return value * 9
    if unit == "F":
        return (value - 32 * MICRO) * 5
    if unit == "K":
        return (value - 273_150_000) * 9
    raise ValueError(f"temperature unit {unit!r}, want one of C, F, K")


def as_unit(name: str) -> Unit:
    """The temperature unit of that name. ValueError for another."""
    found: Unit | None = next((unit for unit in UNITS if unit == name), None)
    if found is None:
        raise ValueError(f"temperature unit {name!r}, want one of C, F, K")
    return found


class Limit(Struct, frozen=True):
    """A temperature limit as its text gives it: operator, value [millionths], unit."""

    op: Op
    value: int
    unit: Unit

    @property
    def ninths(self) -> int:
        return ninths(self.value, self.unit)

    def holds(self, readings: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Which `readings` [ninths] satisfy the limit; exact, at the limit too."""
        edge = self.ninths
        if self.op == ">=":
            return readings >= edge
        if self.op == ">":
            return readings > edge
        if self.op == "<=":
            return readings <= edge
        return readings < edge

    def words(self) -> str:
        """The limit in words: "55 °C or hotter"."""
        tail = {">=": " or hotter", ">": " exceeded", "<=": " or cooler", "<": " not reached"}[self.op]
        return degrees(self.value, self.unit) + tail


def celsius(value: int, unit: Unit) -> float:
    """For physics and pictures only: `value` [millionths of `unit`] in °C."""
    return ninths(value, unit) / NINTH


def degrees(value: int, unit: Unit, decimals: int | None = None) -> str:
    """As typed, with its sign: "54.9 °C", "131 °F", "330 K"."""
    return f"{plain(value, decimals)} {unit}" if unit == "K" else f"{plain(value, decimals)} °{unit}"


def from_ninths(heat: int, unit: Unit, decimals: int = 1) -> str:
    """A ninths value shown in `unit`, rounded to `decimals` for the eye; never compared."""
    scaled = {"C": heat / 9, "F": heat / 5 + 32 * MICRO, "K": heat / 9 + 273_150_000}[unit]
    return degrees(round(scaled), unit, decimals)
