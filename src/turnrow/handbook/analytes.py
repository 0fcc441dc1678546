"""What a lab may have looked for, its units, and what a figure of it may plausibly be.

`tables/analytes.csv` and `tables/analyte_units.csv`. Sizes are exact fractions: a limit is held
against a figure without rounding.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from turnrow.handbook.csv_rows import rows_of

BASES = ("dry", "as received", "organic matter")


@dataclass(frozen=True)
class AnalyteUnit:
    """`size` of one of this unit in the first unit of its kind; `also`: other spellings."""

    kind: str
    unit: str
    size: Fraction
    also: tuple[str, ...]


@dataclass(frozen=True)
class Analyte:
    """One thing a lab looks for.

    kinds      of unit it may come in; two kinds are never converted into one another (MPN and CFU)
    unit       the one it is told in here; `basis` what that unit's mass is of, "" where it has none
    low, high  what a figure may plausibly be, in `unit` on `basis`
    group      physical, nutrient, metal, germ, foreign matter, pollutant, stability or maturity
    of, share  where it is another analyte in other clothes: P2O5 is so much P
    """

    name: str
    aliases: tuple[str, ...]
    kinds: tuple[str, ...]
    unit: str
    basis: str
    low: Fraction
    high: Fraction
    group: str
    of: str
    share: Fraction
    source: str
    known: str


def exact(text: str) -> Fraction:
    """A number as the tables write it: "0.5", "12/44"; the value is not rounded."""
    top, _, bottom = text.partition("/")
    return Fraction(top) / Fraction(bottom or "1")


def parts(text: str) -> tuple[str, ...]:
    return tuple(filter(None, (one.strip() for one in text.split("|"))))


@cache
def analytes() -> Mapping[str, Analyte]:
    """By name. ValueError, naming it, for one that stands twice or has no unit of its kind."""
    found: dict[str, Analyte] = {}
    for row in rows_of("analytes.csv"):
        one = Analyte(
            name=row["analyte"], aliases=parts(row["aliases"]), kinds=parts(row["kinds"]), unit=row["unit"],
            basis=row["basis"], low=exact(row["low"]), high=exact(row["high"]), group=row["group"],
            of=row["of"], share=exact(row["share"] or "1"), source=row["source"], known=row["read"],
        )  # fmt: skip
        if one.name in found or unit_named(one.unit, one.kinds) is None:
            raise ValueError(f"analytes.csv: {one.name} stands twice or is told in no unit of its kind")
        found[one.name] = one
    return found


@cache
def units() -> tuple[AnalyteUnit, ...]:
    return tuple(
        AnalyteUnit(row["kind"], row["unit"], exact(row["size"]), parts(row["also"]))
        for row in rows_of("analyte_units.csv")
    )


@lru_cache(maxsize=4096)
def unit_named(text: str, kinds: tuple[str, ...]) -> AnalyteUnit | None:
    """The unit of one of `kinds` that `text` spells, blanks and capitals apart; None when it is none."""
    wanted = folded(text)
    for one in units():
        if one.kind in kinds and wanted in (folded(one.unit), *map(folded, one.also)):
            return one
    return None


@cache
def _by_name() -> Mapping[str, str]:
    found: dict[str, str] = {}
    for one in analytes().values():
        for name in (one.name, *one.aliases):
            if found.setdefault(folded(name), one.name) != one.name:
                raise ValueError(f"analytes.csv: {name} names two analytes")
    return found


@lru_cache(maxsize=4096)
def analyte_named(text: str) -> Analyte | None:
    """The analyte that `text` names, by its name or another of its names; None when there is none."""
    name = _by_name().get(folded(text))
    return analytes()[name] if name else None


def folded(text: str) -> str:
    """A name without capitals, blanks, points and dashes, so that "E coli" is "E. coli"."""
    kept = text.casefold().replace("\u00b5", "u").replace("\u03bc", "u").replace("\u00b3", "3")
    bare = "".join(sign for sign in kept if sign not in " ._-\u2013\u2212\u00a0")
    return bare or text.strip()
