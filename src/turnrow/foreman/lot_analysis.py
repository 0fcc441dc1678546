"""A lot's analysis for whoever uses it, from the figures that speak for it; what is not told is left out."""

from fractions import Fraction

from turnrow.handbook.analytes import analytes
from turnrow.quality.convert import beside, figures_of, told_as
from turnrow.quality.found import Figure, Span
from turnrow.sales.analysis import Analysis

TOLD: tuple[tuple[str, str, str, str, float], ...] = (  # field, analyte, unit, basis, kg/t in one of them
    ("n_total", "N total", "%", "dry", 10.0),
    ("nh4_n", "NH4-N", "mg/kg", "dry", 0.001),
    ("no3_n", "NO3-N", "mg/kg", "dry", 0.001),
    ("carbon", "C organic", "%", "dry", 10.0),
    ("p2o5", "P total", "%", "dry", 22.914),
    ("k2o", "K total", "%", "dry", 12.046),
)


def lot_analysis(figures: tuple[Figure, ...]) -> tuple[Analysis | None, tuple[int, ...]]:
    """The newest figure of each, and the lines they stand on; None without a moisture to count by."""
    lines: set[int] = set()
    moisture = _newest("moisture", "%", "as received", figures, lines)
    if moisture is None:
        dry = _newest("dry matter", "%", "as received", figures, lines)
        moisture = None if dry is None else 100.0 - dry
    if moisture is None or not 0.0 <= moisture < 100.0:
        return None, ()
    per_t: dict[str, float | None] = {}
    for field, name, unit, basis, size in TOLD:
        found = _newest(name, unit, basis, figures, lines)
        per_t[field] = None if found is None else found * size
    ec, extract = _salt(figures, lines)
    n, nh4, no3 = per_t["n_total"], per_t["nh4_n"] or 0.0, per_t["no3_n"] or 0.0
    if n is None or nh4 + no3 > n:
        nh4 = no3 = 0.0
    analysis = Analysis(
        moisture=moisture / 100.0,
        density=_newest("bulk density", "kg/m3", "as received", figures, lines),
        n_total=n,
        nh4_n=nh4,
        no3_n=no3,
        p2o5=per_t["p2o5"],
        k2o=per_t["k2o"],
        carbon=per_t["carbon"],
        ec=ec,
        extract=extract,
    )
    return analysis, tuple(sorted(lines))


def _newest(name: str, unit: str, basis: str, figures: tuple[Figure, ...], lines: set[int]) -> float | None:
    """The newest exact figure of an analyte in a unit and basis; those below detection count as nothing."""
    for one in sorted(figures_of(name, figures), key=lambda f: (f.day, f.line), reverse=True):
        span = told_as(one, analytes()[name], unit, basis, beside(one, figures))
        if isinstance(span, Span) and (span.exact or one.result.below):
            lines.add(one.line)
            return float(Fraction(span.low))
    return None


def _salt(figures: tuple[Figure, ...], lines: set[int]) -> tuple[float | None, str]:
    """Conductivity with its extract, as the method names it; without one it cannot be held to anything."""
    for one in sorted(figures_of("EC", figures), key=lambda f: (f.day, f.line), reverse=True):
        method = one.result.method.casefold()
        extract = ""
        if "sat" in method:
            extract = "saturated extract"
        elif "1:5" in method:
            extract = "1:5 by volume" if "v" in method.replace("1:5", "") else "1:5 by weight"
        span = told_as(one, analytes()["EC"], "dS/m", "", beside(one, figures))
        if extract and isinstance(span, Span) and span.exact:
            lines.add(one.line)
            return float(span.low), extract
    return None, ""
