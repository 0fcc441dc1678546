"""What the diary's lab results say of materials, as samples for a recipe."""

from collections.abc import Iterator

from turnrow.foreman.desk import Desk
from turnrow.gate.recipe_lot import Sample
from turnrow.quality.convert import beside, figures_of, in_unit
from turnrow.quality.found import Figure, Span
from turnrow.yard.entries import LoadIn
from turnrow.yard.goods import LabResult

ASKED = (  # quantity of a recipe, its analyte, unit and basis, and what turns it into the recipe's own
    ("moisture", "moisture", "%", "as received", 0.01),
    ("n", "N total", "%", "dry", 0.01),
    ("c", "C total", "%", "dry", 0.01),
    ("cn", "C:N", "ratio", "", 1.0),
    ("density", "bulk density", "kg/m3", "as received", 1.0),
)


def lab_samples(desk: Desk) -> tuple[Sample, ...]:
    """Every figure of a sheet on a material, or on a load of one, that a recipe can use; struck lines aside.
    A figure below its limit of detection, or on a basis that cannot be turned, is left out."""
    loads = {load.load: load.material for _, load in desk.diary.own(LoadIn)}
    found: list[Sample] = []
    for line, sheet in desk.diary.all(LabResult):
        material = sheet.material or loads.get(sheet.load, "")
        if material:
            day = sheet.sampled or line.entry.happened.date()
            figures = [Figure(one, day, line.number, sheet.sample, sheet.lab) for one in sheet.results]
            told = dict(_told(figures))
            if "n" in told and "cn" in told:  # one sheet's ratio is no second sample of its nitrogen
                ratio = told.pop("cn")
                told.setdefault("c", told["n"] * ratio)
            found += [Sample(material, quantity, value, line.number) for quantity, value in told.items()]
    return tuple(found)


def _told(figures: list[Figure]) -> Iterator[tuple[str, float]]:
    for quantity, analyte, unit, basis, scale in ASKED:
        for figure in figures_of(analyte, figures)[:1]:
            span = in_unit(figure, unit, basis, beside(figure, figures))
            if isinstance(span, Span) and span.exact and span.low > 0:
                yield quantity, float(span.low) * scale
