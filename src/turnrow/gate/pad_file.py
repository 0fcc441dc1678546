"""A question about ground, from a TOML file: a row, its lanes, a yearly flow, a pad and what lies on it."""

from dataclasses import dataclass

from turnrow.gate import measures
from turnrow.gate.measures import CUBIC, DENSITY, METRES, TONNES, keys, measure
from turnrow.gate.recipe_values import Values, of_toml
from turnrow.handbook.figures import Figures
from turnrow.pad.section import SHAPES, Section
from turnrow.pad.space import Flow, Lanes, There
from turnrow.yard.wrongs import Refused

TOP = ("row", "lanes", "flow", "curing", "storage", "pad", "there")
HALF_CIRCLE = "half circle"
WAYS = ("straddle", "loader")
ENDS = ("square", "sloped")
STEMS = ("base", "height", "top")
SHAPE = ("shape", "factor", *(key for stem in STEMS for key in keys(stem, METRES)))
ROW = (*SHAPE, *keys("length", METRES), "ends")
LANES = ("by", *keys("lane", METRES), *keys("headland", METRES), *keys("gap", METRES))
FLOW = (*keys("year", TONNES), *keys("year", CUBIC), *keys("bulk_density", DENSITY), "active_days",
        "left_pct", "material", "peak")  # fmt: skip
MATERIALS = {  # -> the handbook's row on what is left of its volume
    "mixed": "left_active", "dense manure": "left_active_dense", "strawy bedding": "left_active_straw",
}  # fmt: skip
LYING = ("days", "left_pct", *keys("mean_depth", METRES), *SHAPE, *keys("length", METRES))
PAD = (*keys("length", METRES), *keys("width", METRES))
THERE = ("name", "strip", *SHAPE, *keys("length", METRES))
MOST_ROWS, MOST_M, MOST_M3, MOST_T = 500, 5000.0, 1e7, 1e7
LEAST = 0.1  # m, t, m3: less is a slip, and divides into more than there is


@dataclass(frozen=True)
class Lying:
    """A pile that waits: days, share of the volume first laid, and a section, or a mean depth [m]."""

    days: float
    left: float
    section: Section | None = None
    longest: float | None = None
    depth: float | None = None


@dataclass(frozen=True)
class PadFile:
    """What a file asks. Lengths [m]; tonnes: of a year, density [t/m3]; sloped: how the rows' ends stand."""

    section: Section
    lanes: Lanes
    gap: float
    longest: float
    sloped: bool
    flow: Flow | None = None
    tonnes: float | None = None
    density: float | None = None
    peak_told: bool = False
    curing: Lying | None = None
    storage: Lying | None = None
    sides: tuple[float, float] | None = None
    there: tuple[There, ...] = ()


def read_pad(data: bytes, name: str, book: Figures) -> PadFile:
    """What a file asks. Raises Refused with everything that is wrong, where, and what to do."""
    top = of_toml(data, name, "pad")
    top.known(TOP)
    section, longest, sloped = _row(top)
    lanes, gap = _lanes(top)
    sides = _sides(top)
    if longest is None and sides is not None and lanes is not None:
        longest = sides[0] - 2.0 * lanes.headland
        if longest < LEAST:
            top.wrong("[pad], length_m", sides[0], "It leaves no row between its headlands.")
    flow, tonnes, density, peaked = _flow(top, book)
    after = 1.0 if flow is None else flow.left
    curing = _lying(top, "curing", after, after)
    cured = after if curing is None else curing.left
    kept = 1.0 if curing is None else book["left_curing"].value / 100.0
    storage = _lying(top, "storage", cured, cured * kept)
    there = _there(top, section)
    _enough(top)
    if sloped:
        piles = (("curing", curing), ("storage", storage))
        rows = [(key, one.section, one.longest or longest) for key, one in piles if one is not None]
        _as_long_as_wide(top, [("row", section, longest), *rows])
    if top.refusals or section is None or lanes is None or longest is None:
        raise Refused(top.refusals)
    return PadFile(
        section, lanes, gap, longest, sloped, flow, tonnes, density, peaked, curing, storage, sides, there
    )


def _enough(top: Values) -> None:
    """Refuse tables that stand without what they are reckoned from."""
    row = top.raw.get("row")
    without = isinstance(row, dict) and not set(keys("length", METRES)) & row.keys()
    if without and "pad" not in top.raw:
        top.wrong("[row], length_m", "nothing", "Write the longest row, or [pad] with its sides.")
    if "flow" not in top.raw and "pad" not in top.raw:
        top.wrong("flow", "nothing", "Write [flow] with what comes in a year, or [pad] with its sides.")
    if "there" in top.raw and "pad" not in top.raw:
        top.wrong("pad", "nothing", "Write [pad] with its sides: rows that lie there take room of it.")
    for key in ("curing", "storage"):
        if key in top.raw and "flow" not in top.raw:
            top.wrong("flow", "nothing", f"Write [flow]: [{key}] is reckoned from it.")


def _as_long_as_wide(top: Values, rows: list[tuple[str, Section | None, float | None]]) -> None:
    """Refuse rows with sloped ends that are shorter than wide."""
    for key, section, longest in rows:
        if section is not None and longest is not None and longest < section.base:
            do = f"With sloped ends a row is at least as long as wide, {section.base:g} m."
            top.wrong(f"[{key}], length_m", longest, do)


def _section(part: Values, usual: Section | None = None) -> Section | None:
    """The section a table tells; `usual` where it tells nothing; None where it is refused."""
    if usual is not None and not set(SHAPE) & part.raw.keys():
        return usual
    said = part.text("shape") or "parabola"
    if said not in (*SHAPES, HALF_CIRCLE):
        part.wrong("shape", said, f"Write {', '.join((*SHAPES, HALF_CIRCLE))}.")
        return None
    base = measure(part, "base", METRES, least=LEAST, most=100.0, needed="Write the width on the ground.")
    round_ = said == HALF_CIRCLE
    height = measure(
        part, "height", METRES, least=LEAST, most=30.0, needed="" if round_ else "Write how high it stands."
    )
    if round_ and measures.told(part, "height", METRES):
        part.wrong("height", height, "Leave it out: a half circle is half as high as wide.")
    top = measure(
        part, "top", METRES, least=0.0, most=100.0,
        needed="Write how wide the flat top is." if said == "trapezoid" else "",
    )  # fmt: skip
    factor = part.number("factor", least=LEAST, most=1.0)
    if said == "fitted" and "factor" not in part.raw:
        part.wrong("factor", "nothing", "Write the section over base times height, as loads have shown it.")
    if said != "fitted" and factor is not None:
        part.wrong("factor", factor, 'Leave it out, or write shape = "fitted".')
    if said != "trapezoid" and top is not None:
        part.wrong("top", top, 'Leave it out, or write shape = "trapezoid".')
    if base is not None and top is not None and top > base:
        part.wrong("top", top, f"Write at most the base, {base:g} m.")
        return None
    if base is None or (height is None and not round_):
        return None
    if said == "fitted":
        return None if factor is None else Section(said, base, height or 0.0, factor=factor)
    if round_:
        return Section("half ellipse", base, base / 2.0)
    return Section(said, base, height or 0.0, (top or 0.0) if said == "trapezoid" else 0.0)


def _row(top: Values) -> tuple[Section | None, float | None, bool]:
    part = top.table("row", ROW)
    if part is None:
        if "row" not in top.raw:
            top.wrong("row", "nothing", "Write [row] with base_m and height_m, and shape if it is known.")
        return None, None, False
    ends = part.text("ends") or "square"
    if ends not in ENDS:
        part.wrong("ends", ends, f"Write {' or '.join(ENDS)}.")
    return _section(part), measure(part, "length", METRES, least=LEAST, most=MOST_M), ends == "sloped"


def _lanes(top: Values) -> tuple[Lanes | None, float]:
    part = top.table("lanes", LANES)
    if part is None:
        if "lanes" not in top.raw:
            top.wrong("lanes", "nothing", "Write [lanes] with lane_m: what is kept clear beside a row.")
        return None, 0.0
    by = part.text("by") or WAYS[0]
    if by not in WAYS:
        part.wrong("by", by, "Write straddle (a lane beside each row), or loader (rows in pairs).")
    lane = measure(part, "lane", METRES, least=0.0, most=200.0, needed="Write how wide a lane is.")
    headland = measure(part, "headland", METRES, least=0.0, most=500.0)
    gap = measure(part, "gap", METRES, least=0.0, most=500.0)
    return None if lane is None else Lanes(lane, headland or 0.0, by == WAYS[1]), gap or 0.0


def _sides(top: Values) -> tuple[float, float] | None:
    part = top.table("pad", PAD)
    if part is None:
        return None
    long, wide = (
        measure(part, stem, METRES, least=LEAST, most=MOST_M, needed="Write it; rows lie along the length.")
        for stem in ("length", "width")
    )
    return None if long is None or wide is None else (long, wide)


def _flow(top: Values, book: Figures) -> tuple[Flow | None, float | None, float | None, bool]:
    part = top.table("flow", FLOW)
    if part is None:
        return None, None, None, False
    tonnes = measure(part, "year", TONNES, least=LEAST, most=MOST_T)
    volume = measure(part, "year", CUBIC, least=LEAST, most=MOST_M3)
    density = measure(part, "bulk_density", DENSITY, above=20.0, most=2000.0)
    weighed, measured = measures.told(part, "year", TONNES), measures.told(part, "year", CUBIC)
    if weighed == measured:
        part.wrong("year_t", "both" if weighed else "nothing", "Write year_t, or year_m3: one of them.")
    if weighed and not measures.told(part, "bulk_density", DENSITY):
        part.wrong("bulk_density_kg_m3", "nothing", "Write it: without it a mass takes no room.")
    days = _days(part, "active_days")
    left = part.number("left_pct", least=1.0, most=100.0)
    peak = part.number("peak", least=1.0, most=10.0)
    if volume is None and tonnes is not None and density is not None:
        volume = tonnes * 1000.0 / density
    material = part.text("material") or "mixed"
    if material not in MATERIALS:
        part.wrong("material", material, f"Write {', '.join(MATERIALS)}; or left_pct.")
    usual = book[MATERIALS.get(material, MATERIALS["mixed"])].value
    share = (usual if left is None else left) / 100.0
    flow = Flow(volume or 0.0, days, 1.0 if peak is None else peak, share)
    return flow, tonnes, None if density is None else density / 1000.0, peak is not None


def _days(part: Values, key: str) -> float:
    days = part.number(key, least=1.0, most=2000.0)
    if key not in part.raw:
        part.wrong(key, "nothing", "Write how many days it lies there.")
    return days or 1.0


def _lying(top: Values, key: str, before: float, usual: float) -> Lying | None:
    """`before`: share of the volume laid that is left until then; `usual`: what lies where none is said."""
    part = top.table(key, LYING)
    if part is None:
        return None
    days = _days(part, "days")
    left = part.number("left_pct", least=1.0, most=100.0)
    depth = measure(part, "mean_depth", METRES, least=LEAST, most=30.0)
    if measures.told(part, "mean_depth", METRES) == bool(set(SHAPE) & part.raw.keys()):
        part.wrong("mean_depth_m", "both or nothing", "Write mean_depth_m, or base_m and height_m of rows.")
        return None
    section = None if depth is not None or not set(SHAPE) & part.raw.keys() else _section(part)
    longest = measure(part, "length", METRES, least=LEAST, most=MOST_M)
    share = usual if left is None else left / 100.0
    if left is not None and share > before:
        part.wrong("left_pct", left, f"More than before it: {100.0 * before:g} % of what was laid is left.")
    return Lying(days, share, section, longest, depth)


def _there(top: Values, usual: Section | None) -> tuple[There, ...]:
    found = []
    for place, part in enumerate(top.each("there", THERE, MOST_ROWS), start=1):
        section = _section(part, usual)
        length = measure(part, "length", METRES, least=LEAST, most=MOST_M, needed="Write how long it is.")
        strip = part.number("strip", least=1.0, most=float(MOST_ROWS))
        if strip is not None and strip != int(strip):
            part.wrong("strip", strip, "Write a whole number, counted from one side.")
        name = part.text("name") or part.where.rsplit(", ", 1)[1]
        if section is not None and length is not None:
            found.append(There(name, section.base, length, int(strip or place), section.area))
    top.told_apart("there", [one.name for one in found])
    return tuple(found)
