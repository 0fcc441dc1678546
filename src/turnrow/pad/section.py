"""Cross-sections of rows: area, surface, what ends cost, length for a volume. Geometry only, in metres."""

import math
from dataclasses import dataclass

SHAPES = ("triangle", "parabola", "trapezoid", "half ellipse", "fitted")


@dataclass(frozen=True)
class Section:
    """A row cut across.

    shape   one of SHAPES; a half circle is a half ellipse with base = 2 height
    base    width on the ground [m], above 0
    height  [m], above 0
    top     width of the flat top [m], for a trapezoid; 0 to base
    factor  area over base times height, for a fitted section: from loads weighed and rows measured
    """

    shape: str
    base: float
    height: float
    top: float = 0.0
    factor: float = 0.0

    def __post_init__(self) -> None:
        if self.shape not in SHAPES:
            raise ValueError(f"shape {self.shape!r}, want one of {', '.join(SHAPES)}")
        if not (self.base > 0.0 and self.height > 0.0):
            raise ValueError(f"base {self.base} m and height {self.height} m, want above 0")
        if not 0.0 <= self.top <= self.base:
            raise ValueError(f"top {self.top} m, want 0 to the base of {self.base} m")
        if self.shape == "fitted" and not 0.0 < self.factor <= 1.0:
            raise ValueError(f"factor {self.factor}, want above 0, at most 1")

    @property
    def area(self) -> float:
        """Cross-section [m2]: bh/2, 2bh/3, (b + c)h/2, pi bh/4, or k bh."""
        return self.base * self.height * self._share()

    @property
    def arc(self) -> float | None:
        """Length of the open surface across the row [m]; None for a fitted section, whose line is unknown."""
        half, height = self.base / 2.0, self.height
        if self.shape in ("triangle", "trapezoid"):
            return self.top + 2.0 * math.hypot(half - self.top / 2.0, height)
        if self.shape == "parabola":
            steep = 2.0 * height / half
            return half * (math.sqrt(1.0 + steep * steep) + math.asinh(steep) / steep)
        return half_ellipse_arc(half, height) if self.shape == "half ellipse" else None

    @property
    def side_degrees(self) -> float:
        """Mean slope of the sides [degrees]: atan of the height over what the side covers of the base."""
        return math.degrees(math.atan2(self.height, (self.base - self.top) / 2.0))

    def _share(self) -> float:
        if self.shape == "trapezoid":
            return (1.0 + self.top / self.base) / 2.0
        known = {"triangle": 0.5, "parabola": 2.0 / 3.0, "half ellipse": math.pi / 4.0, "fitted": self.factor}
        return known[self.shape]

    @property
    def end_loss(self) -> float:
        """Metres of full section that two ends sloped like the sides leave out.

        The end of such a row is its own section turned round: over a square of the base's side, height
        falls with the larger of the two distances from the middle. A triangle loses b/3, a parabola b/4.
        A fitted section is taken between the two, as its factor lies.
        """
        t = self.top / self.base if self.shape == "trapezoid" else 0.0
        kept = {
            "triangle": 2.0 / 3.0,
            "parabola": 3.0 / 4.0,
            "half ellipse": 8.0 / (3.0 * math.pi),
            "trapezoid": 2.0 * (1.0 + t + t * t) / (3.0 * (1.0 + t)),
            "fitted": min(1.0, 2.0 / 3.0 + (self.factor - 0.5) / 2.0),
        }
        return self.base * (1.0 - kept[self.shape])


def half_ellipse_arc(half: float, height: float) -> float:
    """Half the girth of an ellipse with these half axes [m], by the arithmetic-geometric mean."""
    long, short = max(half, height), min(half, height)
    a, b, lost, weight = 1.0, short / long, 0.5 * (1.0 - (short / long) ** 2), 0.5
    while a - b > 1e-15 * a:
        a, b, c = (a + b) / 2.0, math.sqrt(a * b), (a - b) / 2.0
        weight *= 2.0
        lost += weight * c * c
    return math.pi * long / a * (1.0 - lost)


def row_volume(section: Section, length: float, *, sloped: bool = True) -> float:
    """Volume of a row so long on the ground [m3]; `sloped`: its ends fall like its sides, else they stand.

    Raises ValueError for a length below 0, or a row with sloped ends shorter than it is wide.
    """
    if length < 0.0 or (sloped and length < section.base):
        raise ValueError(f"length {length} m, want 0 or more, and with sloped ends {section.base} m or more")
    return section.area * (length - (section.end_loss if sloped else 0.0))


def capacity(section: Section, lane: float) -> float:
    """Volume a ground holds when every row has one lane beside it [m3 per m2]: A / (b + a).

    Source: New Jersey's manual on composting leaves (Strom and Finstein 1994), appendix A.
    """
    if lane < 0.0:
        raise ValueError(f"lane {lane} m, want 0 or more")
    return section.area / (section.base + lane)
