"""Rain that runs off: by curve number, each surface for itself, and the greatest flow of a storm."""

from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.handbook.figures import Figures

INCH = 25.4  # mm
GROUND = ("dry", "average", "wet")  # antecedent runoff conditions I, II, III
MM_H_HA = 360.0  # C i A over this is m3/s, with i in mm/h and A in ha
M2_HA = 10_000.0


@dataclass(frozen=True)
class Surface:
    """A part of the catchment.

    area         [m2], 0 or more
    cn           curve number of the average ground, above 0 to 100; None: the coefficient tells runoff
    coefficient  share of a storm that runs off, 0 to 1; asked for where there is no cn, and for a peak flow
    runs_off     share of a month's or a season's rain that comes to the pond, 0 to 1
    """

    name: str
    area: float
    cn: float | None = None
    coefficient: float | None = None
    runs_off: float = 1.0


@dataclass(frozen=True)
class Shed:
    """What a storm brings: mm of each surface and m3 in all; and what one weighted curve number would say.

    depths       runoff of each surface [mm], in the order given
    total        [m3]; depth: the same over the whole area [mm], 0 without any area
    weighted_cn  curve number weighted by area, weighted_total [m3] its runoff; None where a surface has none
    spread       largest less smallest curve number; 0 without any
    """

    depths: tuple[float, ...]
    total: float
    depth: float
    weighted_cn: float | None
    weighted_total: float | None
    spread: float


def retention(cn: float) -> float:
    """What the ground can keep once runoff has begun, S [mm]: 25400/CN - 254.

    ValueError unless cn is above 0, at most 100. Source: TR-55 chapter 2 (S = 1000/CN - 10, in inches).
    """
    if not 0.0 < cn <= 100.0:
        raise ValueError(f"curve number {cn}, want above 0, at most 100")
    return (1000.0 / cn - 10.0) * INCH


def runoff(rain: float, cn: float, book: Figures, *, low: bool = False) -> float:
    """Runoff of one storm [mm]: (P - Ia)^2 / (P - Ia + S) where P is above Ia, else nothing.

    rain  P [mm], 0 or more
    low   Ia is 0.05 S instead of 0.2 S; the curve number of the tables, made for 0.2, is carried over by
          S05 = 1.33 S^1.15, in inches
    """
    if rain < 0.0:
        raise ValueError(f"rain {rain} mm, want 0 or more")
    kept = retention(cn)
    if low:
        inches = book["low_factor"].value * (kept / INCH) ** book["low_power"].value
        kept = inches * INCH
    left = rain - book["abstraction_low" if low else "abstraction"].value * kept
    return left * left / (left + kept) if left > 0.0 else 0.0


def on_ground(cn: float, ground: str, book: Figures) -> float:
    """A curve number of average ground, for ground that is "dry", "average" or "wet" before the storm.

    Source: Chow, Maidment, Mays 1988: 4.2 CN / (10 - 0.058 CN) and 23 CN / (10 + 0.13 CN).
    """
    if ground not in GROUND:
        raise ValueError(f"ground {ground!r}, want one of {', '.join(GROUND)}")
    if ground == "average":
        return cn
    top, fixed, each = (book[f"{ground}_{part}"].value for part in ("top", "fixed", "each"))
    return top * cn / (fixed + each * cn)


def shed(
    surfaces: Sequence[Surface], rain: float, book: Figures, *, ground: str = "average", low: bool = False
) -> Shed:
    """Runoff of a storm from a catchment of several surfaces, added up surface by surface.

    Runoff is no straight line in the curve number: one number weighted by area says too little where the
    surfaces differ (of storms above 200 mm it may say a little too much). It is given beside the sum, to be
    seen, not used.
    Raises ValueError for a surface with neither curve number nor coefficient, or outside its bounds.
    """
    depths = tuple(_depth(one, rain, book, ground, low) for one in surfaces)
    whole = sum(one.area for one in surfaces)
    total = sum(mm * one.area for mm, one in zip(depths, surfaces, strict=True)) / 1000.0
    numbers = [on_ground(one.cn, ground, book) for one in surfaces if one.cn is not None and one.area > 0.0]
    counted = sum(one.area for one in surfaces if one.cn is not None)
    weighted = None
    if numbers and counted == whole:
        weighted = sum(on_ground(one.cn, ground, book) * one.area for one in surfaces if one.cn) / whole
    return Shed(
        depths,
        total,
        1000.0 * total / whole if whole > 0.0 else 0.0,
        weighted,
        None if weighted is None else runoff(rain, weighted, book, low=low) * whole / 1000.0,
        max(numbers) - min(numbers) if numbers else 0.0,
    )


def _depth(one: Surface, rain: float, book: Figures, ground: str, low: bool) -> float:
    if one.area < 0.0:
        raise ValueError(f"{one.name}: area {one.area} m2, want 0 or more")
    if one.cn is not None:
        return runoff(rain, on_ground(one.cn, ground, book), book, low=low)
    if one.coefficient is None or not 0.0 <= one.coefficient <= 1.0:
        raise ValueError(f"{one.name}: coefficient {one.coefficient}, want 0 to 1 where there is no cn")
    return one.coefficient * rain


def season(surfaces: Sequence[Surface], rain: float) -> float:
    """What a month's or a year's rain [mm, 0 or more] brings, by each surface's share that runs off [m3]."""
    if rain < 0.0:
        raise ValueError(f"rain {rain} mm, want 0 or more")
    return sum(one.runs_off * rain * one.area for one in surfaces) / 1000.0


def peak(surfaces: Sequence[Surface], intensity: float) -> float:
    """Greatest flow of a storm [m3/s] by the rational method: the sum of C i A.

    intensity  of rain over the time of concentration [mm/h], 0 or more
    Raises ValueError for a surface without a coefficient.
    """
    if intensity < 0.0:
        raise ValueError(f"intensity {intensity} mm/h, want 0 or more")
    flow = 0.0
    for one in surfaces:
        if one.coefficient is None:
            raise ValueError(f"{one.name}: no coefficient, want one for a peak flow")
        flow += one.coefficient * intensity * one.area / M2_HA / MM_H_HA
    return flow
