"""A number with its unit as people write it: "62 m", "10 m³", "131 °F", "3,5 t"."""

import re
from fractions import Fraction

from msgspec import Struct

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO, parse_micro, plain

_TEXT = re.compile(r"([+\-\u2212]?[0-9][0-9.,]*|[+\-\u2212]?[.,][0-9]+)\s*(.*)")
_SPELLED = {
    "m³": "m3", "m^3": "m3", "cubic metres": "m3", "yd³": "yd3", "yd^3": "yd3", "cy": "yd3", "l": "L",
    "litre": "L", "litres": "L", "liter": "L", "liters": "L", "metre": "m", "metres": "m", "meters": "m",
    "feet": "ft", "foot": "ft", "'": "ft", "tonne": "t", "tonnes": "t", "tons": "ton", "°c": "C", "c": "C",
    "ºc": "C", "°f": "F", "f": "F", "ºf": "F", "k": "K", "kelvin": "K", "percent": "%", "kph": "km/h",
    "kmh": "km/h", "inch": "in", "inches": "in", '"': "in", "gallons": "gal", "days": "d", "day": "d",
    "kg/m³": "kg/m3", "lb/yd³": "lb/yd3", "hours": "h", "c/h": "C/h", "°c/h": "C/h",
}  # fmt: skip


class Measure(Struct, frozen=True):
    """What a field may hold: units with their size in the first of them, and bounds in the first.

    A field with one unit may be written without it. `above` says the low bound itself is too low.
    """

    units: dict[str, Fraction]
    low: Fraction
    high: Fraction
    above: bool = False

    def words(self) -> str:
        return f"a number with its unit ({' or '.join(self.units)})" if len(self.units) > 1 else "a number"


def measure(units: dict[str, str], low: str, high: str, *, above: bool = False) -> Measure:
    return Measure({u: Fraction(size) for u, size in units.items()}, Fraction(low), Fraction(high), above)


# Sizes: international foot 0.3048 m, US gallon 231 cubic inches, avoirdupois pound 0.45359237 kg,
# short ton 2000 lb, mile 1609.344 m: all exact by definition (NIST SP 811, MEMORY).
LENGTHS = measure({"m": "1", "ft": "0.3048"}, "0", "2000", above=True)
SIDES = measure({"m": "1", "ft": "0.3048"}, "0", "30", above=True)
VOLUMES = measure(
    {"m3": "1", "L": "0.001", "yd3": "0.764554857984", "gal": "0.003785411784"}, "0", "2000", above=True
)
HEAPS = measure({"m3": "1", "yd3": "0.764554857984"}, "0", "100000", above=True)
LOADS = measure(
    {"t": "1", "kg": "0.001", "ton": "0.90718474", "lb": "0.00045359237", "m3": "1", "yd3": "0.764554857984"},
    "0",
    "2000",
    above=True,
)
WEIGHTS = Measure(LOADS.units, Fraction(0), Fraction(100_000))
SOLD = Measure({**LOADS.units, "bag": Fraction(1, 1000)}, Fraction(0), Fraction(100_000), above=True)
SAMPLES = measure({"kg": "1", "g": "0.001", "lb": "0.45359237"}, "0", "200", above=True)
OPENINGS = measure({"mm": "1", "in": "25.4"}, "0", "300", above=True)
BAGS = measure({"L": "1", "kg": "1", "ft3": "28.316846592", "lb": "0.45359237"}, "0", "3000", above=True)
USED = measure(
    dict.fromkeys(("h", "km", "L", "gal", "m3", "yd3", "t", "ton", "kWh", "sample", "ha", "day"), "1"),
    "0",
    "1000000",
    above=True,
)
DEGREES = measure({"C": "1", "F": "1", "K": "1"}, "-1000000", "1000000")
RAIN = measure({"mm": "1", "in": "25.4"}, "0", "2000")
WIND = measure({"m/s": "1", "km/h": "5/18", "mph": "0.44704"}, "0", "120")
SCORE = measure({"score": "1"}, "1", "5")
PERCENT = measure({"%": "1"}, "0", "100")
RATIO = measure({"ratio": "1"}, "0", "2000", above=True)
DENSITY = measure({"kg/m3": "1", "lb/yd3": "0.593276421257783"}, "0", "3000", above=True)
ACIDITY = measure({"pH": "1"}, "0", "14")


def any_of(unit: str) -> Measure:
    """What a lab writes in a unit of its own: any number that is not negative."""
    return Measure({unit: Fraction(1)}, Fraction(0), Fraction(10**12))


def amount(text: str, allowed: Measure, unit: str = "") -> Amount | str:
    """The amount in `text`, or what to do about it; `unit` is used where the text has none."""
    found = _TEXT.fullmatch(text.strip())
    if not found:
        return f"Write {allowed.words()}."
    number, written = found[1], found[2].strip()
    named = _SPELLED.get(written.casefold(), written) if written else unit or _only(allowed)
    if not named:
        return f"Write the unit: {' or '.join(allowed.units)}."
    if named not in allowed.units:
        return f"Write the unit as {' or '.join(allowed.units)}."
    comma = "," in number
    if comma and re.fullmatch(r"[+\-\u2212]?[0-9]{1,3},[0-9]{3}", number):
        return "A comma before three digits may mean two things; write thousands without a sign, or a point."
    try:
        value = parse_micro(number, comma=comma)
    except ValueError as wrong:
        return f"{wrong}; write {allowed.words()}."
    size = Fraction(value, MICRO) * allowed.units[named]
    if size < allowed.low or size > allowed.high or (allowed.above and size == allowed.low):
        low = f"more than {_plain(allowed.low)}" if allowed.above else f"{_plain(allowed.low)}"
        bounds = f"Write {low} to {_plain(allowed.high)} {next(iter(allowed.units))}."
        kilos = Fraction(value, MICRO) * allowed.units.get("kg", Fraction(0))
        meant = f" Likely {number} kg." if named == "t" and allowed.low < kilos <= allowed.high else ""
        return bounds + meant
    return Amount(value, named)


def _only(allowed: Measure) -> str:
    return next(iter(allowed.units)) if len(allowed.units) == 1 else ""


def _plain(size: Fraction) -> str:
    return plain(int(size * MICRO))
