"""Measures of a plain file whose keys carry their unit: area_m2 or area_ac, exactly one of them."""

from collections.abc import Mapping

from turnrow.gate.recipe_values import Values
from turnrow.yard.units import size

FOOT = float(size("ft", "m"))
ACRE = float(size("acre", "m2"))
Sizes = Mapping[str, float]

METRES: Sizes = {"m": 1.0, "ft": FOOT}
AREA: Sizes = {"m2": 1.0, "ha": float(size("ha", "m2")), "ft2": float(size("ft2", "m2")), "ac": ACRE}
RAIN: Sizes = {"mm": 1.0, "in": float(size("in", "mm"))}
RAIN_RATE: Sizes = {"mm_h": 1.0, "in_h": float(size("in", "mm"))}
CUBIC: Sizes = {
    "m3": 1.0,
    **{unit: float(size(unit, "m3")) for unit in ("yd3", "ft3", "gal", "bu")},
    "l": float(size("L", "m3")),
    "ac_ft": ACRE * FOOT,
    "ac_in": float(size("acre-in", "m3")),
}
TONNES: Sizes = {"t": 1.0, "short_ton": float(size("ton", "t"))}
MASS: Sizes = {**TONNES, **{key: float(size(key.replace("_", " "), "t")) for key in ("kg", "lb", "long_ton")}}
LOOSE: Sizes = {unit: CUBIC[unit] for unit in ("m3", "yd3", "ft3", "bu", "gal", "l")}
DENSITY: Sizes = {
    "kg_m3": 1.0,
    "lb_yd3": float(size("lb/yd3", "kg/m3")),
    "lb_ft3": float(size("lb/ft3", "kg/m3")),
}


def keys(stem: str, sizes: Sizes) -> tuple[str, ...]:
    """Every key a measure may stand under; without a stem the units alone."""
    return tuple(_sized(stem, sizes))


def _sized(stem: str, sizes: Sizes) -> dict[str, float]:
    return {f"{stem}_{unit}" if stem else unit: size for unit, size in sizes.items()}


def told(part: Values, stem: str, sizes: Sizes) -> bool:
    """Whether a measure stands there, right or wrong."""
    return any(key in part.raw for key in keys(stem, sizes))


def key_of(part: Values, stem: str, sizes: Sizes) -> str:
    """The key a measure stands under; the first it may stand under where it does not."""
    return next((key for key in keys(stem, sizes) if key in part.raw), keys(stem, sizes)[0])


def measure(
    part: Values,
    stem: str,
    sizes: Sizes,
    *,
    least: float | None = None,
    above: float | None = None,
    most: float,
    needed: str = "",
) -> float | None:
    """A measure in the first of its units; None where it is absent or refused.

    least, above, most  bounds in the first unit; needed: why it must be there, told where it is not
    """
    key = _one(part, stem, sizes, needed)
    if not key:
        return None
    size = _sized(stem, sizes)[key]
    value = part.number(
        key,
        least=None if least is None else least / size,
        above=None if above is None else above / size,
        most=most / size,
    )
    return None if value is None else value * size


def column(
    part: Values,
    stem: str,
    sizes: Sizes,
    *,
    most: float,
    longest: int,
    count: int | None = None,
    needed: str = "",
) -> list[float] | None:
    """A list of measures, none below 0, in the first of their units; None where it is absent or refused."""
    key = _one(part, stem, sizes, needed)
    size = _sized(stem, sizes)[key] if key else 1.0
    read = numbers(part, key, least=0.0, most=most / size, longest=longest, count=count)
    return None if read is None else [one * size for one in read]


def numbers(
    part: Values, key: str, *, least: float, most: float, longest: int, count: int | None = None
) -> list[float] | None:
    """A list of plain numbers; None where it is absent or refused. count: how many there must be."""
    if key not in part.raw:
        return None
    given = part.raw[key]
    if not isinstance(given, list) or not 1 <= len(given) <= longest:
        part.wrong(key, given, f"Write a list of numbers: {key} = [31, 28, 30], {longest} at most.")
        return None
    if count is not None and len(given) != count:
        part.wrong(key, f"{len(given)} of them", f"Write as many as there are of rain: {count}.")
        return None
    items = Values({f"{key}[{place}]": one for place, one in enumerate(given, start=1)}, part.where)
    items.refusals = part.refusals
    read = [items.number(item, least=least, most=most) for item in items.raw]
    return None if None in read else [one for one in read if one is not None]


def _one(part: Values, stem: str, sizes: Sizes, needed: str) -> str:
    """The one key that is there; empty where there is none, or more than one, which is told."""
    there = [key for key in keys(stem, sizes) if key in part.raw]
    if len(there) > 1:
        part.wrong(", ".join(there), "the same thing twice", "Keep one unit; leave the others out.")
    elif not there and needed:
        first, *others = keys(stem, sizes)
        part.wrong(first, "nothing", f"{needed} Or {', '.join(others)}." if others else needed)
    return there[0] if len(there) == 1 else ""
