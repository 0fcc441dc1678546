"""Nitrogen, carbon and C:N of one lab sheet held against one another."""

from collections.abc import Sequence
from datetime import date

from turnrow.blend.sheet import Sheet, check_sheet
from turnrow.quality.convert import beside, figures_of, in_unit
from turnrow.quality.found import Figure, Span
from turnrow.yard.goods import Result
from turnrow.yard.wrongs import Refusal


def carbon_wrongs(where: str, results: Sequence[Result], day: date) -> tuple[Refusal, ...]:
    """What cannot be of one sample's figures; those that cannot be told per dry matter are left out."""
    figures = [Figure(one, day) for one in results]
    sheet = Sheet(
        n_pct=_told("N total", "%", "dry", figures),
        c_pct=_told("C total", "%", "dry", figures),
        cn=_told("C:N", "ratio", "", figures),
    )
    return check_sheet(where, sheet)[0]


def _told(name: str, unit: str, basis: str, figures: list[Figure]) -> float | None:
    for one in figures_of(name, figures):
        span = in_unit(one, unit, basis, beside(one, figures))
        if isinstance(span, Span) and span.exact and span.low > 0:
            return float(span.low)
    return None
