"""What 40 CFR Part 503 asks besides heat of compost that goes to gardens or into bags.

Metals (503.13), germs (503.32(a)) and vector attraction (503.33), and a signed certification (503.17).
Part 503 binds compost with sewage sludge in it; a yard without any can borrow its heat alone and say so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from turnrow.handbook.analytes import analytes
from turnrow.handbook.quality import Yearly
from turnrow.quality.convert import beside, figures_of, told_as
from turnrow.quality.found import Figure, Span, number
from turnrow.quality.release import Ask, State

RULES = "US-503-"
VECTOR_RULE = "US-503-VAR-AEROBIC"
CLASS_B = "US-503-PSRP"
SETS = ("us-503-table1", "us-503-table3", "us-503-class-a")
YEARLY_SETS = ("us-503-table1", "us-503-class-a")  # where a label's yearly rate stands in for Table 3
HEAT_ALONE = (
    "Part 503 was borrowed for its heat alone: its metals, vector attraction and certification were not "
    "asked, so this is no Part 503 product."
)
CERTIFIED = "40 CFR 503.17(a)"
STATES: Mapping[str, State] = {
    "PASS": "proven",
    "FAIL": "missing",
    "NOT_PROVEN": "missing",
    "REVIEW": "missing",
}


@dataclass(frozen=True)
class Aired:
    """A row held against option 5 of vector attraction, as it stood when it was taken."""

    row: str
    verdict: str
    short_of: tuple[str, ...]
    lines: tuple[int, ...]
    known: str


def binds(rules: Sequence[str]) -> bool:
    return any(one.startswith(RULES) for one in rules)


def asked(
    rules: Sequence[str], aired: Sequence[Aired], certified: Sequence[tuple[int, str]]
) -> tuple[Ask, ...]:
    """Vector attraction and certification, and Class A where only Class B heat was asked.

    certified  (line, who signed) of each certification of the lot in force
    """
    found = []
    if CLASS_B in rules:
        said = "Its rule shows Class B; what is bagged or goes to a lawn or garden must be Class A."
        found.append(Ask("Class A", "missing", said, "40 CFR 503.15"))
    found.append(_vector(aired))
    if certified:
        line, name = certified[-1]
        found.append(
            Ask("certification", "proven", f"Certified by {name} (line {line}).", CERTIFIED, (line,))
        )
    else:
        said = "Nobody has signed the certification statement for this lot."
        found.append(Ask("certification", "missing", said, CERTIFIED))
    return tuple(found)


def _vector(aired: Sequence[Aired]) -> Ask:
    rule = "40 CFR 503.33(b)(5)"
    known = "MEMORY" if any(one.known == "MEMORY" for one in aired) else "READ"
    lines = tuple(sorted({line for one in aired for line in one.lines}))
    short = [one for one in aired if one.verdict != "PASS"]
    if not aired:
        said = "Vector attraction: no row's readings show 14 days above 40 °C with a mean above 45 °C."
        return Ask("vector attraction", "missing", said, rule, (), known)
    if short:
        first = short[0]
        why = "; ".join(first.short_of) or "its readings do not show it"
        said = (
            f"Vector attraction: row {first.row} does not show 14 days above 40 °C with a mean above 45 °C "
            f"({why})."
        )
        return Ask("vector attraction", "missing", said, rule, lines, known)
    named = ", ".join(one.row for one in aired)
    said = f"Vector attraction: 14 days above 40 °C with a mean above 45 °C in {named}."
    return Ask("vector attraction", "proven", said, rule, lines, known)


def yearly_rate(figures: Sequence[Figure], table: Mapping[str, Yearly]) -> tuple[Ask, tuple[str, ...]]:
    """The most that may be spread in a year, for a bag's label, and the ask that says whether it is known.

    The smallest over the metals of the table's figure [kg/ha] over the highest concentration found [mg/kg dry
    matter]; tonnes of dry matter a hectare in 365 days, rounded down to a hundredth (503 Appendix A).
    """
    rates: dict[str, Fraction] = {}
    lacking, lines = [], set()
    for metal, most in table.items():
        own = figures_of(metal, figures)
        spans = [told_as(one, analytes()[metal], "mg/kg", "dry", beside(one, figures, "dry")) for one in own]
        highest = [span.high for span in spans if isinstance(span, Span) and span.high is not None]
        if not own or len(highest) < len(own):
            lacking.append(metal)
            continue
        lines |= {one.line for one in own if one.line}
        if max(highest) > 0:
            rates[metal] = most.value * 1000 / max(highest)
    known = "MEMORY" if any(one.known == "MEMORY" for one in table.values()) else "READ"
    rule = "40 CFR 503.13(a)(4)(ii), Table 4"
    if lacking or not rates:
        said = (
            f"The yearly rate of its label is not known: not tested for {', '.join(lacking) or 'any metal'}."
        )
        return Ask("yearly rate", "missing", said, rule, tuple(sorted(lines)), known), ()
    metal = min(rates, key=lambda name: rates[name])
    rate = Fraction(rates[metal] * 100 // 1, 100)
    said = f"At most {number(rate)} t of its dry matter a hectare in 365 days, for its {metal}."
    label = f"{said} This stands on each bag's label or sheet ({rule})."
    return Ask("yearly rate", "proven", said, rule, tuple(sorted(lines)), known), (label,)
