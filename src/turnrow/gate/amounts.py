"""A number with its unit as people write it: "62 m", "10 m³", "131 °F", "3,5 t"."""

import re
from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO, parse_micro, plain
from turnrow.yard.units import TWO_MEANINGS, UNITS, explained, folded, of_kind, size, unit_named

_TEXT = re.compile(r"([+\-\u2212]?[0-9][0-9.,]*|[+\-\u2212]?[.,][0-9]+)\s*(.*)")
_SPELLED = {
    "°c": "C", "c": "C", "ºc": "C", "°f": "F", "f": "F", "ºf": "F", "k": "K", "kelvin": "K", "percent": "%",
    "kph": "km/h", "kmh": "km/h", "days": "d", "day": "d", "hours": "h", "c/h": "C/h", "°c/h": "C/h",
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
        return f"a number with its unit ({explained(self.units)})" if len(self.units) > 1 else "a number"


def measure(units: dict[str, str], low: str, high: str, *, above: bool = False) -> Measure:
    return Measure({u: Fraction(size) for u, size in units.items()}, Fraction(low), Fraction(high), above)


def sized(units: Iterable[str], low: str, high: str, *, above: bool = False) -> Measure:
    """A measure in units that the yard's table knows, all of one kind; bounds in the first of them."""
    first, *_ = units = tuple(units)
    return Measure({unit: size(unit, first) for unit in units}, Fraction(low), Fraction(high), above)


def _with_kilograms(volumes: Iterable[str], low: str, high: str) -> Measure:
    """Masses in the first of them, and volumes of about the same number in theirs."""
    both = {**of_kind("mass"), **{unit: UNITS[unit].size for unit in volumes}}
    del both["g"]
    return Measure(both, Fraction(low), Fraction(high), above=True)


SOLID = ("m3", "yd3", "ft3", "bu", "L")  # how loose material is counted
LENGTHS = sized(("m", "ft", "yd"), "0", "2000", above=True)
SIDES = sized(("m", "ft"), "0", "30", above=True)
VOLUMES = sized(("m3", "L", "yd3", "ft3", "gal", "imp gal", "acre-in"), "0", "2000", above=True)
HEAPS = sized(("m3", "yd3", "ft3"), "0", "100000", above=True)
LOADS = _with_kilograms(SOLID, "0", "2000")
WEIGHTS = Measure(LOADS.units, Fraction(0), Fraction(100_000))
SOLD = Measure({**LOADS.units, "bag": Fraction(1, 1000)}, Fraction(0), Fraction(100_000), above=True)
SAMPLES = sized(("kg", "g", "lb"), "0", "200", above=True)
OPENINGS = sized(("mm", "in"), "0", "300", above=True)
BAGS = Measure(
    {"L": Fraction(1), "kg": Fraction(1)}
    | {unit: size(unit, "L") for unit in ("ft3", "yd3", "bu", "gal")}
    | {"lb": size("lb", "kg")},
    Fraction(0),
    Fraction(3000),
    above=True,
)
USED = measure(
    dict.fromkeys(
        (
            *("h", "day", "km", "L", "gal", "imp gal", "m3", "yd3", "acre-in", "t", "ton", "long ton"),
            *("kWh", "sample", "ha", "acre"),
        ),
        "1",
    ),
    "0",
    "1000000",
    above=True,
)
DEGREES = measure({"C": "1", "F": "1", "K": "1"}, "-1000000", "1000000")
RAIN = sized(("mm", "in"), "0", "2000")
WIND = measure({"m/s": "1", "km/h": "5/18", "mph": "0.44704"}, "0", "120")
SCORE = measure({"score": "1"}, "1", "5")
PERCENT = measure({"%": "1"}, "0", "100")
RATIO = measure({"ratio": "1"}, "0", "2000", above=True)
DENSITY = sized(of_kind("density"), "0", "3000", above=True)
AREAS = sized(("ha", "m2", "acre", "ft2", "yd2"), "0", "10000000", above=True)
PER_AREA = sized(of_kind("mass on area"), "0", "100000000")
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
    asked = written or unit
    named = _named(asked, allowed) if asked else _only(allowed)
    if not named:
        told = TWO_MEANINGS.get(folded(asked), "")
        wanted = f"{'Write the unit as' if asked else 'Write the unit:'} {explained(allowed.units)}."
        return f"{told} {wanted}".strip()
    comma = "," in number
    if comma and re.fullmatch(r"[+\-\u2212]?[0-9]{1,3},[0-9]{3}", number):
        return "A comma before three digits may mean two things; write thousands without a sign, or a point."
    try:
        value = parse_micro(number, comma=comma)
    except ValueError as wrong:
        return f"{wrong}; write {allowed.words()}."
    much = Fraction(value, MICRO) * allowed.units[named]
    if much < allowed.low or much > allowed.high or (allowed.above and much == allowed.low):
        low = f"more than {_plain(allowed.low)}" if allowed.above else f"{_plain(allowed.low)}"
        bounds = f"Write {low} to {_plain(allowed.high)} {next(iter(allowed.units))}."
        kilos = Fraction(value, MICRO) * allowed.units.get("kg", Fraction(0))
        meant = f" Likely {number} kg." if named == "t" and allowed.low < kilos <= allowed.high else ""
        return bounds + meant
    return Amount(value, named)


def _only(allowed: Measure) -> str:
    return next(iter(allowed.units)) if len(allowed.units) == 1 else ""


def _named(text: str, allowed: Measure) -> str:
    """The unit of `allowed` that `text` spells; empty when it is none of them."""
    if text in allowed.units:
        return text
    found = _SPELLED.get(text.casefold()) or unit_named(text) or _in_capitals(text, allowed)
    return found if found in allowed.units else ""


def _in_capitals(text: str, allowed: Measure) -> str:
    return next((one for one in allowed.units if one.casefold() == text.casefold()), "")


def _plain(bound: Fraction) -> str:
    return plain(int(bound * MICRO))
