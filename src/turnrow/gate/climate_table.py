"""The table [climate] of a pond file: weather of each step, from which evaporation is worked out."""

from dataclasses import dataclass

from turnrow.gate import measures
from turnrow.gate.measures import METRES, Sizes, column, keys, measure, numbers
from turnrow.gate.recipe_values import Values
from turnrow.pad.evaporation import FARTHEST, Air, Place

WIND: Sizes = {"m_s": 1.0, "mph": 0.44704}
SUN: Sizes = {"h": 1.0}
SOLAR: Sizes = {"mj_m2": 1.0, "kwh_m2": 3.6}
CLIMATE = (
    "latitude", *keys("elevation", METRES), *keys("wind_height", METRES), "day_of_year", "days",
    "t_max_c", "t_max_f", "t_min_c", "t_min_f", "rh_pct", "rh_max_pct", "rh_min_pct",
    *keys("wind", WIND), *keys("sun", SUN), *keys("solar", SOLAR),
)  # fmt: skip
COLDEST, WARMEST, MOST_STEPS = -60.0, 60.0, 3700  # °C


@dataclass(frozen=True)
class Climate:
    """A place, and for each step a day of the year in its middle, its days, the weather of one of them."""

    place: Place
    steps: tuple[tuple[int, float, Air], ...]


def read_climate(top: Values, count: int | None) -> Climate | None:
    """The table; None where it is absent or refused. count: how many steps there are, where that is known."""
    part = top.table("climate", CLIMATE)
    if part is None:
        return None
    before = len(part.refusals)
    latitude = part.number("latitude", least=-FARTHEST, most=FARTHEST)
    if "latitude" not in part.raw:
        part.wrong("latitude", "nothing", "Write it in degrees, below 0 in the south.")
    elevation = measure(part, "elevation", METRES, least=-450.0, most=6000.0)
    height = measure(part, "wind_height", METRES, least=0.5, most=100.0)
    if measures.told(part, "sun", SUN) == measures.told(part, "solar", SOLAR):
        part.wrong("sun_h", "both or nothing", "Write hours of sun a day, or solar_mj_m2: one of them.")
    sun = column(part, "sun", SUN, most=24.0, longest=MOST_STEPS, count=count)
    solar = column(part, "solar", SOLAR, most=50.0, longest=MOST_STEPS, count=count)
    wind = column(part, "wind", WIND, most=60.0, longest=MOST_STEPS, count=count, needed="Write its mean.")
    damp = ("rh_pct", "rh_pct") if "rh_pct" in part.raw else ("rh_max_pct", "rh_min_pct")
    columns = [
        _list(part, "day_of_year", 1.0, 366.0, count),
        _list(part, "days", 1.0, 31.0, count),
        _warmth(part, "t_max", count),
        _warmth(part, "t_min", count),
        *(_list(part, key, 0.0, 100.0, count) for key in dict.fromkeys(damp)),
        wind,
        sun if solar is None else solar,
    ]
    if len(part.refusals) > before or latitude is None or count is None:
        return None
    place = Place(latitude, elevation or 0.0, 2.0 if height is None else height)
    told = [one for one in columns if one is not None]
    steps = tuple(
        _step(part, n, values, solar is not None) for n, values in enumerate(zip(*told, strict=True), 1)
    )
    return Climate(place, steps)


def _step(part: Values, place: int, values: tuple[float, ...], solar: bool) -> tuple[int, float, Air]:
    """One step of day, days, warmest, coldest, humidity once or twice, wind, light."""
    day, days, warmest, coldest, *damp, wind, light = values
    if warmest < coldest:
        part.wrong(f"t_max[{place}]", f"{warmest:g} °C", f"Write at least the coldest, {coldest:g} °C.")
    if damp[0] < damp[-1]:
        part.wrong(f"rh_max_pct[{place}]", f"{damp[0]:g}", f"Write at least the driest, {damp[-1]:g}.")
    air = Air(warmest, coldest, damp[0], damp[-1], wind, None if solar else light, light if solar else None)
    return int(day), days, air


def _list(part: Values, key: str, least: float, most: float, count: int | None) -> list[float] | None:
    if key not in part.raw:
        part.wrong(key, "nothing", "Write a list of it, one for each step.")
    return numbers(part, key, least=least, most=most, longest=MOST_STEPS, count=count)


def _warmth(part: Values, stem: str, count: int | None) -> list[float] | None:
    """Temperatures [°C], told in °C or °F."""
    if f"{stem}_f" not in part.raw:
        return _list(part, f"{stem}_c", COLDEST, WARMEST, count)
    if f"{stem}_c" in part.raw:
        part.wrong(f"{stem}_c", "the same thing twice", "Keep one unit; leave the other out.")
    found = _list(part, f"{stem}_f", COLDEST * 1.8 + 32.0, WARMEST * 1.8 + 32.0, count)
    return None if found is None else [(one - 32.0) / 1.8 for one in found]
