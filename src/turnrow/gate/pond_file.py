"""A question about rain and a pond, from a TOML file: surfaces, a storm, a pond, months or days."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from turnrow.gate import measures
from turnrow.gate.climate_table import Climate, read_climate
from turnrow.gate.measures import AREA, CUBIC, METRES, RAIN, RAIN_RATE, column, keys, measure
from turnrow.gate.recipe_values import Values, of_toml
from turnrow.handbook.figures import Figures
from turnrow.handbook.ground import SOILS, Ground
from turnrow.pad.pond import Pond
from turnrow.pad.runoff import GROUND, Surface
from turnrow.yard.wrongs import Refused

TOP = ("ground", "abstraction", "surface", "storm", "pond", "storage", "balance", "climate")
SURFACE = ("name", *keys("area", AREA), "kind", "soil", "cn", "coefficient", "runs_off_pct")
STORM = (*keys("rain", RAIN), *keys("intensity", RAIN_RATE))
SIDES = {"rectangle": ("bottom_width", "bottom_length"), "circle": ("bottom_diameter",)}
EACH_SIDE = tuple(key for sides in SIDES.values() for one in sides for key in keys(one, METRES))
POND = ("shape", "side_slope", *EACH_SIDE, *keys("depth", METRES), *keys("freeboard", METRES))
STORAGE = (*keys("rain", RAIN), *keys("evaporation", RAIN), *keys("runoff", CUBIC), *keys("solids", CUBIC))
COLUMNS = {"evaporation": (RAIN, 2000.0), "seepage": (RAIN, 2000.0), "inflow": (CUBIC, 1e7),
           "taken": (CUBIC, 1e7)}  # fmt: skip
BALANCE = (
    "step", "names", *keys("rain", RAIN), *keys("start", CUBIC),
    *(key for stem, (sizes, _) in COLUMNS.items() for key in keys(stem, sizes)),
)  # fmt: skip
MOST_SURFACES, MOST_STEPS = 200, 3700  # ten years of days
MOST_M2, MOST_MM, MOST_M3 = 1e8, 5000.0, 1e8
LEAST = 0.1  # m2, m and metres for a metre: less is nothing or a slip


@dataclass(frozen=True)
class Through:
    """A balance: a name and amounts for each step; rain, evaporation, seepage [mm], inflow, taken [m3]."""

    daily: bool
    names: tuple[str, ...]
    rain: list[float]
    start: float
    columns: dict[str, list[float]]


@dataclass(frozen=True)
class Kept:
    """What it stores beside the storm: solids [m3], runoff [m3; None: what the surfaces bring], and the
    rain and evaporation of that time [mm]."""

    solids: float
    runoff: float | None
    rain: float
    evaporation: float


@dataclass(frozen=True)
class PondFile:
    """What a file asks. Rain [mm], intensity [mm/h], rim, freeboard [m]; kinds: the handbook's, by name."""

    surfaces: tuple[Surface, ...]
    kinds: dict[str, str] = field(default_factory=dict)
    ground: str = "average"
    low: bool = False
    rain: float | None = None
    intensity: float | None = None
    pond: Pond | None = None
    rim: float | None = None
    freeboard: float | None = None
    kept: Kept | None = None
    through: Through | None = None
    climate: Climate | None = None


def read_pond(data: bytes, name: str, book: Figures, grounds: Mapping[str, Ground]) -> PondFile:
    """What a file asks. Raises Refused with everything that is wrong, where, and what to do."""
    top = of_toml(data, name, "pond")
    top.known(TOP)
    ground = top.text("ground") or "average"
    if ground not in GROUND:
        top.wrong("ground", ground, f"Write how it is before the storm: {', '.join(GROUND)}.")
    low = _abstraction(top, book)
    parts = top.each("surface", SURFACE, MOST_SURFACES)
    if not parts and "surface" not in top.raw:
        top.wrong("surface", "nothing", "Write each under its own [[surface]], with area_m2 and kind or cn.")
    surfaces = tuple(_surface(part, grounds) for part in parts)
    top.told_apart("surface", [one.name for one in surfaces])
    storm, rain, intensity = top.table("storm", STORM), None, None
    if storm is not None:
        rain = measure(storm, "rain", RAIN, least=0.0, most=MOST_MM, needed="Write the storm's rain.")
        intensity = measure(storm, "intensity", RAIN_RATE, least=0.0, most=1000.0)
    if intensity is not None:
        for part, one in zip(parts, surfaces, strict=True):
            if one.coefficient is None and "coefficient" not in part.raw:
                part.wrong("coefficient", "nothing", "Write it, 0 to 1: a peak flow asks for one.")
    pond, rim, freeboard = _pond(top)
    kept = _kept(top)
    through = _through(top)
    climate = read_climate(top, None if through is None else len(through.rain))
    if "climate" in top.raw and "balance" not in top.raw:
        top.wrong("climate", "a table", "Leave it out: only [balance] asks for evaporation step by step.")
    if "climate" in top.raw and through is not None and "evaporation" in through.columns:
        top.wrong("[balance], evaporation", "a list", "Leave it out, or [climate]: both say it.")
    if storm is None and through is None and not {"storm", "balance", "storage"} & top.raw.keys():
        top.wrong("storm", "nothing", "Write [storm] with rain_mm, or [balance] with rain of each month.")
    for key in ("storage", "balance"):
        if key in top.raw and "pond" not in top.raw:
            top.wrong("pond", "nothing", f"Write [pond] with its shape and sides: [{key}] asks for it.")
    if through is not None and rim is None and pond is not None:
        top.wrong("[pond], depth_m", "nothing", "Write how deep it is to the rim: [balance] asks for it.")
    if top.refusals:
        raise Refused(top.refusals)
    kinds = {one.name: part.text("kind") for one, part in zip(surfaces, parts, strict=True) if one.name}
    return PondFile(
        surfaces, {name: kind for name, kind in kinds.items() if kind}, ground, low, rain, intensity,
        pond, rim, freeboard, kept, through, climate,
    )  # fmt: skip


def _abstraction(top: Values, book: Figures) -> bool:
    """Whether rain kept before any runs off is the later 0.05 of S."""
    usual, later = book["abstraction"].value, book["abstraction_low"].value
    given = top.number("abstraction")
    if given is not None and given not in (usual, later):
        top.wrong("abstraction", given, f"Write {usual:g}, or {later:g} as later data have it.")
    return given == later


def _surface(part: Values, grounds: Mapping[str, Ground]) -> Surface:
    area = measure(part, "area", AREA, least=LEAST, most=MOST_M2, needed="Write its area.")
    cn = part.number("cn", least=1.0, most=100.0)
    coefficient = part.number("coefficient", least=0.0, most=1.0)
    share = part.number("runs_off_pct", least=0.0, most=100.0)
    kind, soil = part.text("kind"), part.text("soil").upper()
    if not {"kind", "cn", "coefficient"} & part.raw.keys():
        part.wrong("kind", "nothing", f"Write cn, or coefficient, or kind: {', '.join(grounds)}.")
    if {"kind", "cn"} <= part.raw.keys():
        part.wrong("cn", part.raw["cn"], "The kind says it; leave one out.")
    if kind and kind not in grounds:
        near = get_close_matches(kind, list(grounds), n=1, cutoff=0.5)
        do = f"Likely {near[0]!r}. " if near else ""
        part.wrong("kind", kind, f"{do}Known: {', '.join(grounds)}; or write cn.")
    found = grounds.get(kind, Ground(kind))
    if found.numbers and "" not in found.numbers:
        if soil not in SOILS:
            part.wrong("soil", soil or "nothing", "Write its group: A (sand), B, C or D (clay).")
        cn = found.numbers.get(soil, cn)
    elif soil:
        part.wrong("soil", soil, "Leave it out: it changes nothing here.")
    else:
        cn = found.numbers.get("", cn)
    return Surface(
        part.text("name") or part.where.rsplit(", ", 1)[1],
        area or 0.0,
        cn,
        found.coefficient if coefficient is None else coefficient,
        1.0 if share is None else share / 100.0,
    )


def _pond(top: Values) -> tuple[Pond | None, float | None, float | None]:
    part = top.table("pond", POND)
    if part is None:
        return None, None, None
    shape = part.text("shape") or (
        "circle" if measures.told(part, "bottom_diameter", METRES) else "rectangle"
    )
    if shape not in SIDES:
        part.wrong("shape", shape, f"Write {' or '.join(SIDES)}.")
        return None, None, None
    for other in SIDES:
        for stem in SIDES[other]:
            if other != shape and measures.told(part, stem, METRES):
                part.wrong(stem, "a number", f"Leave it out: the pond is a {shape}.")
    sides = [
        measure(part, stem, METRES, least=0.0, most=5000.0, needed="Write it, at the bottom.")
        for stem in SIDES[shape]
    ]
    slope = part.number("side_slope", least=0.0, most=20.0)
    for key, value in (*zip(SIDES[shape], sides, strict=True), ("side_slope", slope)):
        if value is not None and 0.0 < value < LEAST:
            part.wrong(key, value, f"Write 0, or {LEAST:g} or more.")
    if "side_slope" not in part.raw:
        part.wrong("side_slope", "nothing", "Write metres out for each metre up: 3, or 0 for walls.")
    rim = measure(part, "depth", METRES, least=LEAST, most=100.0)
    freeboard = measure(part, "freeboard", METRES, least=0.0, most=20.0)
    if rim is not None and freeboard is not None and freeboard >= rim:
        part.wrong("freeboard", freeboard, f"Write less than the depth to the rim, {rim:g} m.")
    if slope is None or None in sides or part.refusals:
        return None, rim, freeboard
    width, length = sides[0] or 0.0, (sides[1] or 0.0) if len(sides) > 1 else 0.0
    if slope == 0.0 and (width == 0.0 or (shape == "rectangle" and length == 0.0)):
        part.wrong("side_slope", slope, "Without a bottom and with upright walls it holds nothing.")
        return None, rim, freeboard
    return Pond(width, length, slope, shape == "circle"), rim, freeboard


def _kept(top: Values) -> Kept | None:
    part = top.table("storage", STORAGE)
    if part is None:
        return None
    rain = measure(part, "rain", RAIN, least=0.0, most=MOST_MM)
    gone = measure(part, "evaporation", RAIN, least=0.0, most=MOST_MM)
    runoff = measure(part, "runoff", CUBIC, least=0.0, most=MOST_M3)
    solids = measure(part, "solids", CUBIC, least=0.0, most=MOST_M3)
    if not any(measures.told(part, stem, sizes) for stem, sizes in (("rain", RAIN), ("runoff", CUBIC))):
        part.wrong("rain_mm", "nothing", "Write the rain of the time it must store, or runoff_m3.")
    return Kept(solids or 0.0, runoff, rain or 0.0, gone or 0.0)


def _through(top: Values) -> Through | None:
    part = top.table("balance", BALANCE)
    if part is None:
        return None
    step = part.text("step") or "month"
    if step not in ("month", "day"):
        part.wrong("step", step, "Write month, or day.")
    rain = column(part, "rain", RAIN, most=MOST_MM, longest=MOST_STEPS, needed="Write rain of each step.")
    count = None if rain is None else len(rain)
    columns = {
        stem: read
        for stem, (sizes, most) in COLUMNS.items()
        if (read := column(part, stem, sizes, most=most, longest=MOST_STEPS, count=count)) is not None
    }
    start = measure(part, "start", CUBIC, least=0.0, most=MOST_M3)
    names = part.raw.get("names")
    if names is not None and not (isinstance(names, list) and all(isinstance(one, str) for one in names)):
        part.wrong("names", names, 'Write a list of texts: names = ["Jan", "Feb"].')
        names = None
    if rain is None:
        return None
    if names is not None and len(names) != count:
        part.wrong("names", f"{len(names)} of them", f"Write as many as there are of rain: {count}.")
    told = names if names is not None else [f"{step} {place}" for place in range(1, len(rain) + 1)]
    return Through(step == "day", tuple(told), rain, start or 0.0, columns)
