"""One figure of a lab sheet: its number, its unit with what the unit's mass is of, and whether it can be."""

import re
from fractions import Fraction

from msgspec import structs

from turnrow.gate.names import near
from turnrow.handbook.analytes import Analyte, AnalyteUnit, analyte_named, analytes, unit_named, units
from turnrow.yard.goods import Result
from turnrow.yard.kind import Amount
from turnrow.yard.numbers import MICRO, parse_micro, plain

NOT_SAID = "not said"
NAMED_BY = {"acidity", "ratio", "presence", "presence in 50 g", "number"}  # kinds whose name says the unit
PRESENCE = ("presence", "presence in 50 g")
ABSENT = (
    "absent",
    "not detected",
    "nd",
    "n.d.",
    "negative",
    "not found",
    "none detected",
    "nicht nachweisbar",
)
PRESENT = ("present", "detected", "positive", "found", "nachweisbar")
LONGEST = 60
WIDER = 20  # times what is plausible on the usual basis, on another one; ASSUMED
NO_BASIS = (
    'Write dry or as received, as the lab says: behind the unit, "mg/kg dry", there or in the heading, or in '
    'a column basis; "not said" in that column where the lab does not say.'
)
_BASES = {
    "dry": "dry", "dry matter": "dry", "dry weight": "dry", "dry basis": "dry", "dm": "dry", "dw": "dry",
    "ds": "dry", "ts": "dry", "total solids": "dry", "db": "dry", "odm": "organic matter", "d.m.": "dry",
    "d.w.": "dry", "as received": "as received", "as is": "as received", "as-received": "as received",
    "ar": "as received", "wet": "as received", "wet weight": "as received", "ww": "as received",
    "fm": "as received", "fw": "as received", "fresh": "as received", "fresh matter": "as received",
    "fresh weight": "as received", "om": "organic matter", "vs": "organic matter",
    "organic matter": "organic matter", "organic": "organic matter",
}  # fmt: skip
_NUMBER = re.compile(r"([<>\u2264\u2265]?)\s*([+-]?[0-9]*[.,]?[0-9]+)")


def presence_of(text: str) -> tuple[str, AnalyteUnit | None]:
    """("absent", found in 25 g) of "absent in 25 g"; no unit where none is told, "" where no such word is."""
    cell = " ".join(text.split()).casefold()
    for word in sorted((*ABSENT, *PRESENT), key=len, reverse=True):
        if cell.startswith(word):
            rest = cell.removeprefix(word).strip()
            unit = unit_named(rest, PRESENCE) if rest else None
            return ("", None) if rest and unit is None else (word, unit)
    return "", None


def of_mass(analyte: Analyte, mass: AnalyteUnit | None) -> Analyte:
    """Salmonella looked for in 25 g is Salmonella in 25 g; the analyte itself where there is no such one."""
    return (analyte_named(f"{analyte.name} {mass.unit.removeprefix('found ')}") if mass else None) or analyte


def as_told(analyte: Analyte, value: str, unit: str) -> Analyte:
    """What a cell such as "absent in 25 g", or "absent" in a unit of 25 g, is a figure of."""
    word, mass = presence_of(value)
    return of_mass(analyte, mass or unit_named(unit, PRESENCE)) if word else analyte


def unit_written(text: str, analyte: Analyte) -> str:
    """The unit as written; where there is none, the one that the analyte's own name says."""
    kinds = set(analyte.kinds)
    return text if text or not kinds <= NAMED_BY else next(one.unit for one in units() if one.kind in kinds)


def basis_named(text: str) -> str | None:
    """dry, as received or organic matter; None when it is none of them."""
    return _BASES.get(text.strip().strip("()").casefold())


def unit_and_basis(text: str, analyte: Analyte) -> tuple[AnalyteUnit | None, str]:
    """The unit in `text` and the basis written behind it: "mg/kg dry", "% (as received)", "g/kg TS"."""
    whole = unit_named(text, analyte.kinds)
    if whole is not None:
        return whole, ""
    words = text.replace("(", " ").replace(")", " ").split()
    for cut in range(len(words) - 1, 0, -1):
        basis = basis_named(" ".join(words[cut:]))
        unit = unit_named(" ".join(words[:cut]), analyte.kinds)
        if basis and unit:
            return unit, basis
    return None, ""


def basis_of(written: str, inside: str, analyte: Analyte, unit: str) -> tuple[str, str, str]:
    """(basis, got, what to do) of a figure: the last is empty where the basis is settled.

    written  the basis told beside the figure; inside: the one in its unit
    """
    if written.casefold() == NOT_SAID:
        return inside, "", ""
    told = basis_named(written) if written else inside
    if told is None:
        return "", written, "Write dry, as received, organic matter or not said."
    of_unit = "organic matter" if " OM/" in unit else ""
    own = inside or of_unit
    if (own and told and told != own) or (of_unit and own != of_unit):
        return "", f"{written or own}, and {of_unit or own} in its unit", "Keep the one the lab meant."
    told = told or own
    if not analyte.basis or told:
        return (told if analyte.basis else ""), "", ""
    if analyte.basis == "as received" and analyte.group == "physical":
        return analyte.basis, "", ""
    return "", "", NO_BASIS


def units_of(analyte: Analyte) -> str:
    return ", ".join(one.unit for one in units() if one.kind in analyte.kinds)


def number_of(text: str, analyte: Analyte, *, comma: bool) -> tuple[int, bool, bool] | str:
    """(millionths, below, above) of a cell, or what to do about it."""
    cell = text.strip()
    word, mass = presence_of(cell)
    if word:
        if not set(analyte.kinds) & set(PRESENCE):
            return "Write < and the method's limit of detection, such as <10, or the number that was found."
        if mass and mass.kind not in analyte.kinds:
            return f"{analyte.name} is of another mass; keep the one the lab meant."
        return (0 if word in ABSENT else MICRO), False, False
    found = _NUMBER.fullmatch(cell) if len(cell) <= LONGEST else None
    if not found:
        return (
            "Write one plain number, < or > before it where the lab did; no exponent and no thousands sign."
        )
    if "," in found[2] and not comma:
        return 'Write a point, or decimal = "comma" in the mapping.'
    try:
        value = parse_micro(found[2], comma=comma)
    except ValueError as wrong:
        return f"{wrong}."
    if value < 0:
        return "A lab finds no less than nothing; write < and the limit of detection."
    below, above = found[1] in ("<", "\u2264"), found[1] in (">", "\u2265")
    if below and value == 0:
        return "Write the limit of detection behind <."
    return value, below, above


def unknown(name: str) -> str:
    """What to do about an analyte that the handbook does not know."""
    names = [*analytes(), *(alias for one in analytes().values() for alias in one.aliases)]
    return f"It is not in the handbook. {near(name, names)} Leave the row out if it is none of them."


def implausible(result: Result, analyte: Analyte, unit: AnalyteUnit) -> str:
    """What to do where a figure cannot be, whatever its basis; empty when it can."""
    home = unit_named(analyte.unit, analyte.kinds)
    if home is None or home.kind != unit.kind:
        return ""
    value = Fraction(result.amount.value, MICRO) * unit.size / home.size
    same = result.basis == analyte.basis or not analyte.basis
    low = analyte.low if same and not result.below else Fraction(0)
    high = analyte.high if same else analyte.high * WIDER
    if low <= value <= high or (result.above and value <= high):
        return ""
    span = f"{plain(int(analyte.low * MICRO))} to {plain(int(analyte.high * MICRO))} {analyte.unit}"
    return f"{analyte.name} is mostly {span} {analyte.basis}".strip() + "; look at its unit and decimal sign."


def cannot_be(result: Result) -> str:
    """What to do about a typed figure the handbook does not know, in a unit it does not come in, or of a
    size it cannot have; empty where it can be."""
    analyte = analyte_named(result.analyte)
    if analyte is None:
        return unknown(result.analyte)
    unit = unit_named(result.amount.unit, analyte.kinds)
    if unit is None:
        return f"Write the unit the lab used. {analyte.name} comes in {units_of(analyte)}."
    of_wet = analyte.basis == "as received" and analyte.group == "physical" and not result.basis
    return implausible(structs.replace(result, basis=analyte.basis) if of_wet else result, analyte, unit)


def result_of(
    analyte: Analyte, value: int, unit: AnalyteUnit, basis: str, method: str, *, below: bool, above: bool
) -> Result:
    """The figure under the handbook's names; its number as typed."""
    return Result(
        analyte=analyte.name,
        amount=Amount(value, unit.unit),
        basis=basis,
        method=method,
        below=below,
        above=above,
    )
