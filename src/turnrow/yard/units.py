"""Every unit a yard meets, exact by definition: metric and US customary, with the UK's where they differ.

The international foot is 0.3048 m and the avoirdupois pound 0.45359237 kg (agreement of 1959); a US gallon
is 231 cubic inches, a US bushel 2150.42 cubic inches struck level, an imperial gallon 4.54609 L, an acre
43,560 square feet (NIST SP 811, appendix B; NIST Handbook 44, appendix C; MEMORY). Nothing here is rounded.

Three words mean two things. "ton" is the short ton of 2000 lb, "gal" the US gallon and "bu" the US level
bushel wherever they are taken; the others are written "long ton", "imp gal" and "imp bu".
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Unit:
    """`size` of one of it in the first unit of its kind; `also`: other spellings; `words`: which it is."""

    kind: str
    size: Fraction
    also: tuple[str, ...] = ()
    words: str = ""


FOOT = Fraction("0.3048")  # m
INCH = FOOT / 12
YARD = 3 * FOOT
POUND = Fraction("0.45359237")  # kg
ACRE = 43_560 * FOOT**2  # m2
US_GALLON = 231 * INCH**3  # m3
US_BUSHEL = Fraction("2150.42") * INCH**3  # m3
IMPERIAL_GALLON = Fraction("0.00454609")  # m3


def _of(kind: str, size: Fraction | int | str, also: str = "", words: str = "") -> Unit:
    return Unit(kind, Fraction(size), tuple(filter(None, also.split("|"))), words)


UNITS: Mapping[str, Unit] = {
    "t": _of("mass", 1, "tonne|tonnes|metric ton|metric tons|metric tonne"),
    "kg": _of("mass", "1/1000", "kilo|kilos|kgs|kilogram|kilograms"),
    "g": _of("mass", "1/1000000", "gram|grams"),
    "ton": _of(
        "mass", 2 * POUND, "tons|short ton|short tons|us ton|us tons|ton short", "short, 2000 lb"
    ),
    "long ton": _of(
        "mass", POUND * 2240 / 1000, "long tons|imperial ton|imperial tons|uk ton|uk tons|lton", "UK, 2240 lb"
    ),
    "lb": _of("mass", POUND / 1000, "lbs|pound|pounds"),
    "m3": _of("volume", 1, "m³|m^3|cubic metre|cubic metres|cubic meter|cubic meters|cbm"),
    "L": _of("volume", "1/1000", "litre|litres|liter|liters"),
    "yd3": _of("volume", YARD**3, "yd³|yd^3|cy|cu yd|cu yds|cubic yard|cubic yards|cyd"),
    "ft3": _of("volume", FOOT**3, "ft³|ft^3|cf|cu ft|cubic foot|cubic feet"),
    "bu": _of("volume", US_BUSHEL, "bushel|bushels|us bushel|us bushels|us bu", "US, level, 35.24 L"),
    "imp bu": _of("volume", 8 * IMPERIAL_GALLON, "imperial bushel|imperial bushels|uk bushel", "UK, 36.37 L"),
    "gal": _of("volume", US_GALLON, "gals|gallon|gallons|us gal|us gallon|us gallons|gal us", "US"),
    "imp gal": _of("volume", IMPERIAL_GALLON, "imperial gallon|imperial gallons|uk gal", "UK, 4.546 L"),
    "acre-in": _of("volume", ACRE * INCH, "acre-inch|acre-inches|acre inch|acre inches|ac-in", "102.8 m3"),
    "m": _of("length", 1, "metre|metres|meter|meters"),
    "cm": _of("length", "1/100"),
    "mm": _of("length", "1/1000"),
    "ft": _of("length", FOOT, "foot|feet|'"),
    "in": _of("length", INCH, 'inch|inches|"'),
    "yd": _of("length", YARD, "yard|yards"),
    "m2": _of("area", 1, "m²|m^2|square metre|square metres|square meters|sq m"),
    "ha": _of("area", 10_000, "hectare|hectares"),
    "acre": _of("area", ACRE, "acres|ac"),
    "ft2": _of("area", FOOT**2, "ft²|ft^2|sq ft|square foot|square feet"),
    "yd2": _of("area", YARD**2, "yd²|yd^2|sq yd|square yard|square yards"),
    "kg/m3": _of("density", 1, "kg/m³|kg/m^3"),
    "g/L": _of("density", 1),
    "kg/L": _of("density", 1000),
    "t/m3": _of("density", 1000, "t/m³"),
    "lb/yd3": _of("density", POUND / YARD**3, "lb/yd³|lbs/yd3|lb/cy|lb/cu yd|lb/yd^3"),
    "lb/ft3": _of("density", POUND / FOOT**3, "lb/ft³|lbs/ft3|pcf|lb/cu ft|lb/ft^3"),
    "kg/ha": _of("mass on area", 1),
    "t/ha": _of("mass on area", 1000),
    "kg/m2": _of("mass on area", 10_000, "kg/m²"),
    "lb/ac": _of("mass on area", POUND * 10_000 / ACRE, "lbs/ac|lb/acre|lbs/acre|pounds per acre"),
    "ton/ac": _of(
        "mass on area", 2000 * POUND * 10_000 / ACRE, "tons/ac|ton/acre|tons/acre|tons per acre", "2000 lb"
    ),
    "lb/1000 ft2": _of("mass on area", POUND * 10 / FOOT**2, "lb/1000 ft²|lb/1000 sq ft|lbs/1000 sq ft"),
    "m3/ha": _of("volume on area", 1, "m³/ha"),
    "yd3/ac": _of("volume on area", YARD**3 * 10_000 / ACRE, "yd³/ac|cy/ac|yd3/acre|cu yd/ac"),
}  # fmt: skip

TWO_MEANINGS: Mapping[str, str] = {
    "cwt": "A hundredweight is 100 lb in one country and 112 lb in another: write lb or kg.",
    "hundredweight": "A hundredweight is 100 lb in one country and 112 lb in another: write lb or kg.",
    "oz": "An ounce is a mass or a volume: write lb, g or L.",
    "heaped bushel": "How high a bushel is heaped is not fixed: write the level bushel, bu, or ft3.",
    "yard": "In loose material a yard is a cubic yard: write yd3.",
    "yards": "In loose material a yard is a cubic yard: write yd3.",
    "mt": "It is read as metric tons and as millions of tonnes: write t.",
    "bucket": "A bucket has no fixed size: write its volume, m3 or yd3.",
    "buckets": "A bucket has no fixed size: write their volume, m3 or yd3.",
}


def of_kind(*kinds: str) -> dict[str, Fraction]:
    """Size by unit, all of `kinds`, in the order they stand above."""
    return {name: one.size for name, one in UNITS.items() if one.kind in kinds}


def size(unit: str, of: str) -> Fraction:
    """How many `of` one `unit` is: size("yd3", "m3"). KeyError for a unit that is not known, ValueError for
    two of different kinds."""
    if UNITS[unit].kind != UNITS[of].kind:
        raise ValueError(f"{unit} is {UNITS[unit].kind} and {of} is {UNITS[of].kind}")
    return UNITS[unit].size / UNITS[of].size


def folded(text: str) -> str:
    """A unit as typed, without capitals, points, brackets and doubled blanks: "Cu. Yds." is "cu yds"."""
    return " ".join(_MARKS.sub(" ", text.casefold()).split())


_MARKS = re.compile(r"[.()]")
_NAMES = {folded(name): unit for unit, one in UNITS.items() for name in (unit, *one.also)}


def unit_named(text: str) -> str:
    """The unit that `text` spells; empty when it is none."""
    return _NAMES.get(folded(text), "")


def explained(units: Iterable[str]) -> str:
    """Units to choose from, told apart where a word alone is not enough: "t, kg or ton (2000 lb ...)"."""
    said = [f"{one} ({UNITS[one].words})" if one in UNITS and UNITS[one].words else one for one in units]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} or {said[-1]}"
