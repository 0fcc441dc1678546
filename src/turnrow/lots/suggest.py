"""A number that cannot be in its unit: which unit was meant."""

from collections.abc import Callable

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO, plain
from turnrow.yard.stock import MASS


def unit_meant(amount: Amount, believed: Callable[[float], bool]) -> str:
    """A sentence naming the unit in which the number would be believed [t]; empty where none is, or the
    one it has."""
    if amount.unit not in MASS or believed(amount.value / MICRO * MASS[amount.unit]):
        return ""
    for unit in ("kg", "t"):
        if unit != amount.unit and believed(amount.value / MICRO * MASS[unit]):
            return f"Likely {plain(amount.value)} {unit}, not {amount.unit}."
    return ""
