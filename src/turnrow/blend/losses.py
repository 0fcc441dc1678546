"""Nitrogen lost on the way, by the C:N at the start: bands, never a curve."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Band:
    """What to expect of nitrogen in a band of C:N; `upto` is not part of it."""

    above: float
    upto: float
    loss: str  # "high", "some", "low to some", "low"
    words: str


BANDS = (
    Band(0, 20, "high", "more nitrogen than carbon to bind it: ammonia; up to two fifths have been lost"),
    Band(20, 25, "some", "trials scatter widely here, from little to nearly half"),
    Band(25, 30, "low to some", "between the bands; no trial decides it"),
    Band(30, float("inf"), "low", "little is lost as ammonia while the carbon can be eaten"),
)


def nitrogen_loss(cn: float) -> Band:
    """The band of a C:N at building.

    The classic table (gotaas-1956, MEMORY: 38.8 % lost at C:N 20, 48.1 at 20.5, 14.8 at 22, 0.5 at 30) is
    too scattered to draw a line through, and other trials differ (nebguide-g1315: up to 40 % in feedlots;
    sommer-dahl-1999: 3 % or less from deep straw litter). So bands. ValueError: C:N not above 0.
    """
    for band in BANDS:
        if band.above < cn < band.upto or cn == band.above > 0:
            return band
    raise ValueError(f"C:N {cn}, want above 0 and finite")
