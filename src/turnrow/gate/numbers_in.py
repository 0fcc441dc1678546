"""Temperatures as a file writes them, as whole millionths of the unit written.

A plain number goes the quick way: a float carries at most nine digits before the point and six
after it exactly enough that times a million and rounded gives the very number written. What is
not plain is looked at cell by cell.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import numpy as np
import polars as pl
from numpy.typing import NDArray

from turnrow.gate.cut import cut, cut_to_step
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard.numbers import DECIMALS, MICRO
from turnrow.yard.temperature import UNITS

PLAIN = r"^[+-]?[0-9]{1,9}(?:\.[0-9]{0,6})?$"
NO_UNIT = -1
LONGEST_CELL = 64
_CELL = re.compile(r"([+\-\u2212]?)([0-9.,\u00a0' ]*[0-9.,]) *([^0-9.,+\-][^0-9]*)?")
_POWER = re.compile(
    r"([+\-\u2212]?)([0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)[eE]([+\-]?[0-9]{1,3})( *[^0-9.,+\-][^0-9]*)?"
)
_NUMBER = re.compile(r"[0-9]{1,9}(\.[0-9]*)?|\.[0-9]+")
_UNIT_WORDS = {
    "c": 0, "°c": 0, "ºc": 0, "˚c": 0, "℃": 0, "degc": 0, "deg c": 0, "° c": 0, "celsius": 0,
    "f": 1, "°f": 1, "ºf": 1, "˚f": 1, "℉": 1, "degf": 1, "deg f": 1, "° f": 1, "fahrenheit": 1,
    "k": 2, "°k": 2, "kelvin": 2,
}  # fmt: skip


def unit_code(text: str) -> int | None:
    """The unit's place in UNITS, with or without a degree sign; None when it is no unit."""
    return _UNIT_WORDS.get(text.strip().casefold())


@dataclass(frozen=True, eq=False)
class Values:
    """value (n,) int64 millionths; unit (n,) int8, NO_UNIT unless in the cell; good (n,) bool."""

    value: NDArray[np.int64]
    unit: NDArray[np.int8]
    good: NDArray[np.bool_]
    cut: int  # cells with more decimals than are kept


def decimal_sign(
    columns: dict[str, pl.Series], wanted: str, first: int, wrongs: WrongsList, notices: list[str]
) -> str:
    """ "." or ",": the mapping's, or the only one that occurs; a file with both is refused."""
    if wanted:
        return "," if wanted == "comma" else "."
    found: dict[str, tuple[int, str, str]] = {}
    for name, cells in columns.items():
        commas = cells.str.contains(",", literal=True).fill_null(False)
        points = cells.str.contains(".", literal=True).fill_null(False)
        for sign, these in ((",", commas & ~points), (".", points & ~commas)):
            if sign not in found and these.any():
                place = int(these.arg_max() or 0)
                found[sign] = (place, name, str(cells[place]))
    if len(found) == 2:
        place, name, text = found[","]
        other = found["."]
        wrongs.add(
            f"row {first + place}, column {name}",
            f"{text}, where row {first + other[0]} has {other[2]}",
            "Write one decimal sign through the file; commas and points together are not guessed at.",
        )
        return ""
    if set(found) == {","} and all(_maybe_thousands(cells) for cells in columns.values()):
        place, name, text = found[","]
        wrongs.add(
            f"row {first + place}, column {name}",
            f"{text}, a comma before three digits wherever there is one",
            'It may part thousands. Write decimal = "comma" in the mapping if it is the decimal sign.',
        )
        return ""
    if set(found) == {","}:
        notices.append("the comma is read as the decimal sign.")
        return ","
    return "."


def _maybe_thousands(cells: pl.Series) -> bool:
    commas = cells.filter(cells.str.contains(",", literal=True).fill_null(False))
    return bool(commas.str.contains(r"^[^0-9]*[0-9]{1,3},[0-9]{3}([^0-9,].*)?$").all())


def read_values(
    cells: pl.Series, column: str, *, comma: bool, decimals: int, first: int, wrongs: WrongsList
) -> Values:
    """The numbers of a column; empty cells are not good, wrong ones go to `wrongs`."""
    text = cells.str.replace(",", ".", literal=True) if comma else cells
    if comma:
        text = text.set(cells.str.contains(".", literal=True).fill_null(False), None)
    plain = text.str.contains(PLAIN).fill_null(False)
    numbers = (text if plain.all() else text.set(~plain, None)).cast(pl.Float64, strict=False)
    value = np.rint(numbers.fill_null(0.0).to_numpy() * MICRO).astype(np.int64)
    good = plain.to_numpy().copy()
    unit = np.full(len(cells), NO_UNIT, dtype=np.int8)
    finer = 0
    for place in np.flatnonzero(cells.is_not_null().to_numpy() & ~good):
        found = _one(str(cells[int(place)]), comma)
        if isinstance(found, str):
            wrongs.add(f"row {first + place}, column {column}", cells[int(place)], found)
            continue
        value[place], unit[place], too_fine = found
        good[place] = True
        finer += too_fine
    step = 10 ** (DECIMALS - decimals)
    if step > 1:
        kept = cut_to_step(value, step, None)
        finer += int(np.count_nonzero(kept != value))
        value = kept
    return Values(value, unit, good, finer)


def _written_out(power: re.Match[str], comma: bool) -> str:
    """A number with an exponent, such as 5.8e1, without it; as it stands where its sign is another one."""
    sign, digits, exponent, word = power.groups(default="")
    if ("." if comma else ",") in digits:
        return power[0]
    plain = f"{Decimal(digits.replace(',', '.')).scaleb(int(exponent)):f}"
    return sign + (plain.replace(".", ",") if comma else plain) + word


def _one(text: str, comma: bool) -> tuple[int, int, bool] | str:
    """(millionths, unit, whether decimals were cut), or what to do about the cell."""
    short = len(text) <= LONGEST_CELL
    power = _POWER.fullmatch(text) if short else None
    found = _CELL.fullmatch(_written_out(power, comma) if power else text) if short else None
    if not found:
        return "Write a number, or nothing; or name the mark in a mapping of `turnrow take`: missing = [...]."
    sign, digits, word = found.groups()
    unit = unit_code(word) if word else NO_UNIT
    if unit is None:
        return f"Write the unit as one of {', '.join(UNITS)}."
    if "." in digits and ("," in digits or comma):
        return "Leave out thousands signs and keep one decimal sign."
    if not comma and "," in digits:
        return 'Write a point, or decimal = "comma" in the mapping.'
    number = digits.replace(",", ".")
    if not _NUMBER.fullmatch(number):
        return "Write a plain number below a thousand million, without thousands signs."
    exact = Fraction(("-" if sign in ("-", "\u2212") else "") + number) * MICRO
    whole = cut(exact, None if unit == NO_UNIT else UNITS[unit])
    return whole, unit, whole != exact
