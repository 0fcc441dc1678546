"""Numbers as a person reads them; the unit on screen is theirs, what is stored never changes."""

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO, plain
from turnrow.yard.temperature import Unit, degrees, from_ninths, ninths

TYPED: dict[str, Unit] = {"C": "C", "F": "F", "K": "K"}
SIGNS = {
    "m3": "m³",
    "yd3": "yd³",
    "ft3": "ft³",
    "gal": "US gal",
    "bu": "US bu",
    "ton": "short tons",
    "long ton": "long tons",
    "m2": "m²",
    "ft2": "ft²",
    "kg/m3": "kg/m³",
    "lb/yd3": "lb/yd³",
    "lb/ft3": "lb/ft³",
    "C": "°C",
    "F": "°F",
    "C/h": "°C/h",
    "d": "days",
    "h": "hours",
    "ratio": "",
    "score": "of 5",
}


def unit_sign(unit: str) -> str:
    return SIGNS.get(unit, unit)


def amount(what: Amount | None) -> str:
    """As typed, with its unit: "3.5 m³"."""
    if what is None:
        return ""
    sign = "day" if what.unit == "d" and what.value == MICRO else unit_sign(what.unit)
    return f"{plain(what.value)} {sign}".rstrip()


def shown_in(value: int, typed: Unit, wanted: Unit) -> str:
    """A reading in the unit wanted on screen: as typed when that is its own, else rounded to a tenth."""
    return degrees(value, typed) if typed == wanted else from_ninths(ninths(value, typed), wanted)


def bare_heat(value: int, typed: Unit, wanted: Unit) -> str:
    """As `shown_in`, without the sign, for the large figures."""
    return shown_in(value, typed, wanted).rpartition(" ")[0]
