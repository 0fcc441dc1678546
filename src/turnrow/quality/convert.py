"""From the unit and basis a lab wrote to the one a limit is told in, or why that cannot be done."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from turnrow.handbook.analytes import BASES, Analyte, analyte_named, folded, unit_named
from turnrow.quality.found import Figure, Span, span_of

HUNDRED = Fraction(100)
CO2 = "Write CO2 or CO2-C: a figure as CO2 is 44/12 of the same figure as its carbon."


@dataclass(frozen=True)
class Beside:
    """What else was found in the same sample, so that a basis can be changed.

    moisture  share of wet mass, 0 to below 1; None: not told
    organic   organic share of dry matter, above 0; None: not told
    """

    moisture: Fraction | None = None
    organic: Fraction | None = None


NOTHING = Beside()


def beside(figure: Figure, all_of_them: Sequence[Figure], basis: str = "") -> Beside:
    """Moisture and organic matter found in the same sample as `figure` (or on the same sheet); nothing
    where the figure is on the wanted `basis` as it is."""
    if figure.result.basis and figure.result.basis == basis:
        return NOTHING
    same = [one for one in all_of_them if _together(one, figure)]
    wet, dry = _share(same, "moisture", "as received"), _share(same, "dry matter", "as received")
    organic, ash = _share(same, "organic matter", "dry"), _share(same, "ash", "dry")
    moisture = wet if wet is not None else None if dry is None else 1 - dry
    burnt = organic if organic is not None else None if ash is None else 1 - ash
    return Beside(
        moisture if moisture is not None and 0 <= moisture < 1 else None,
        burnt if burnt and burnt > 0 else None,
    )


def _together(one: Figure, other: Figure) -> bool:
    if one.sample or other.sample:
        return one.sample == other.sample and one.day == other.day
    return one.line == other.line and one.day == other.day


def _share(figures: Sequence[Figure], name: str, basis: str) -> Fraction | None:
    for one in figures:
        analyte = analyte_named(one.result.analyte)
        if analyte and analyte.name == name and one.result.basis in ("", basis):
            found = in_unit(one, "%", analyte.basis)
            if isinstance(found, Span) and found.exact:
                return found.low / HUNDRED
    return None


def basis_of(figure: Figure, analyte: Analyte) -> str:
    """What the figure's mass is of; "" where the sheet does not say."""
    if not analyte.basis:
        return ""
    unit = folded(figure.result.amount.unit)
    if figure.result.basis:
        return figure.result.basis
    if "gom" in unit or "gvs" in unit:
        return "organic matter"
    if analyte.basis == "as received" and analyte.group == "physical":
        return "as received"  # moisture, dry matter and density are of wet material by their nature
    return ""


def in_unit(figure: Figure, unit: str, basis: str, other: Beside = NOTHING) -> Span | str:
    """The figure in `unit` on `basis`, or a sentence on why it cannot be told.

    Counts by MPN and by CFU, CO2 and its carbon, wet and dry mass are never taken for one another;
    a basis changes only with the moisture or organic matter of the same sample in `other`.
    """
    analyte = analyte_named(figure.result.analyte)
    if analyte is None:
        return f"{figure.result.analyte} is not in the handbook."
    typed, wanted = figure.result.amount.unit, unit_named(unit, analyte.kinds)
    found = unit_named(typed, analyte.kinds)
    if wanted is None:
        raise ValueError(f"unit {unit!r} for {analyte.name}, want one of {', '.join(analyte.kinds)}")
    if found is None:
        more = CO2 if "CO2 rate" in analyte.kinds else f"Want a unit of {' or '.join(analyte.kinds)}."
        return f"{analyte.name} in {typed or 'no unit'} cannot be read. {more}"
    if found.kind != wanted.kind:
        return (
            f"{analyte.name} came as a {found.kind}, the limit is a {wanted.kind}: "
            "two ways to count, and neither is turned into the other."
        )
    span = span_of(figure.result).times(found.size / wanted.size)
    if not analyte.basis or not basis:
        return span
    factor = _factor(basis_of(figure, analyte), basis, other)
    return span.times(factor) if isinstance(factor, Fraction) else f"{analyte.name}: {factor}"


def _factor(found: str, wanted: str, other: Beside) -> Fraction | str:
    if found == wanted:
        return Fraction(1)
    if found not in BASES:
        return f"the sheet does not say what its mass is of; wanted is {wanted}."
    wet, organic = other.moisture, other.organic
    if "as received" in (found, wanted) and wet is None:
        return f"it is told {found}, wanted {wanted}, and the sample's moisture is not told."
    if "organic matter" in (found, wanted) and organic is None:
        return f"it is told by {found}, wanted by {wanted}, and the sample's organic matter is not told."
    in_dry = {  # a figure on each basis, times this, is the same figure on dry matter
        "dry": Fraction(1),
        "as received": 1 / (1 - (wet or Fraction(0))),
        "organic matter": organic or Fraction(1),
    }
    return in_dry[found] / in_dry[wanted]


def told_as(figure: Figure, wanted: Analyte, unit: str, basis: str, other: Beside = NOTHING) -> Span | str:
    """As `in_unit`, for a figure of `wanted` or of what holds it: so much P2O5 is so much P."""
    analyte = analyte_named(figure.result.analyte)
    found = in_unit(figure, unit, basis, other)
    if isinstance(found, str) or analyte is None or analyte.name == wanted.name:
        return found
    if analyte.of != wanted.name:
        raise ValueError(f"figure of {analyte.name}, want one of {wanted.name}")
    return found.times(analyte.share)


def figures_of(name: str, figures: Sequence[Figure]) -> list[Figure]:
    """The figures of one analyte, by any of its names, or of what holds it; in their order."""
    found = []
    for one in figures:
        analyte = analyte_named(one.result.analyte)
        if analyte and name in (analyte.name, analyte.of):
            found.append(one)
    return found
