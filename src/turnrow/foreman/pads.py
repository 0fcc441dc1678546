"""A question about ground, answered: what a row holds, what a year's flow needs, what is free on a pad."""

from typing import Any

from turnrow.gate.measures import ACRE
from turnrow.gate.pad_file import Lying, PadFile
from turnrow.handbook.figures import Figures, pad_figures
from turnrow.pad.section import Section, capacity, row_volume
from turnrow.pad.space import Flow, Pad, free_space, free_volume, pad_for
from turnrow.yard.stock import VOLUME

# Common practice; permits, engineers and fire authorities come first.
CAUTIONS = (
    "Setbacks from wells, water, lines and neighbours, the slope, the floor and the drains of a pad follow "
    "the local permit; a licensed engineer designs them.",
    "Keep lanes wide enough for machines to pass and for a fire engine; ask the fire service how wide, and "
    "how large one pile may be.",
    "Rows run down the slope, never across it, so that water leaves between them.",
)


def answered(asked: PadFile) -> dict[str, Any]:
    """The answer's keys; units stand in their names."""
    book = pad_figures()
    said = _section_doubts(asked.section, book)
    volume = row_volume(asked.section, asked.longest, sloped=asked.sloped)
    found: dict[str, Any] = {
        "section": _section(asked.section, asked.lanes.lane),
        "row": {"length_m": _rounded(asked.longest), "m3": _rounded(volume), "t": _tonnes(asked, volume)},
    }
    if asked.flow is not None:
        needed = pad_for(asked.flow.standing, asked.section, asked.longest, asked.lanes, sloped=asked.sloped)
        found |= _flow(asked, asked.flow, needed)
        said += _flow_doubts(asked, found, book)
    if asked.sides is not None:
        found |= _pad(asked, asked.sides)
        said += _pad_doubts(found)
        run = asked.sides[0] - 2.0 * asked.lanes.headland
        if run < asked.longest:
            said.append(
                f"Rows of {asked.longest:g} m are longer than the pad's {max(0.0, run):g} m for them."
            )
    sources = sorted({one.source for one in book.values()})
    return found | {"warnings": said, "cautions": list(CAUTIONS), "sources": sources}


def _section(section: Section, lane: float) -> dict[str, Any]:
    held = capacity(section, lane)
    return {
        "shape": section.shape,
        "base_m": _rounded(section.base),
        "height_m": _rounded(section.height),
        "area_m2": _rounded(section.area),
        "surface_m2_m": None if section.arc is None else _rounded(section.arc),
        "side_degrees": _rounded(section.side_degrees),
        "capacity_m3_m2": _rounded(held),
        "capacity_yd3_ac": _rounded(held * ACRE / VOLUME["yd3"]),
    }


def _flow(asked: PadFile, flow: Flow, needed: Pad) -> dict[str, Any]:
    piles = {"curing": asked.curing, "storage": asked.storage}
    lying = {name: _lying(asked, flow.daily, one) for name, one in piles.items() if one is not None}
    areas = [needed.area, *(one["area_m2"] for one in lying.values())]
    return {
        "flow": {
            "m3_year": _rounded(flow.volume),
            "t_year": None if asked.tonnes is None else _rounded(asked.tonnes),
            "m3_day": _rounded(flow.daily),
            "peak": flow.peak,
        },
        "active": {
            "m3": _rounded(needed.volume),
            "row_m": _rounded(needed.length),
            "rows": needed.rows,
            "width_m": _rounded(needed.wide),
            "length_m": _rounded(needed.long),
            "area_m2": _rounded(needed.area),
            "area_ac": _rounded(needed.area / ACRE),
            "t_year_m2": None if asked.tonnes is None else _rounded(asked.tonnes / needed.area),
        },
        **lying,
        "area_m2": _rounded(sum(areas)),
        "area_ac": _rounded(sum(areas) / ACRE),
    }


def _lying(asked: PadFile, daily: float, pile: Lying) -> dict[str, Any]:
    volume = daily * pile.days * pile.left
    if pile.section is None:
        ground = volume / (pile.depth or 1.0)
        return {"m3": _rounded(volume), "ground_m2": _rounded(ground), "area_m2": _rounded(ground)}
    pad = pad_for(volume, pile.section, pile.longest or asked.longest, asked.lanes, sloped=asked.sloped)
    return {
        "m3": _rounded(volume),
        "row_m": _rounded(pad.length),
        "rows": pad.rows,
        "ground_m2": _rounded(pad.length * pile.section.base),
        "area_m2": _rounded(pad.area),
    }


def _pad(asked: PadFile, sides: tuple[float, float]) -> dict[str, Any]:
    long, wide = sides
    lanes, section = asked.lanes, asked.section
    run = long - 2.0 * lanes.headland
    empty = free_space(long, wide, (), section.base, lanes)
    free = free_space(long, wide, asked.there, section.base, lanes, asked.gap)
    whole, room = (free_volume(one, run, section, sloped=asked.sloped) for one in (empty, free))
    carries = None if asked.flow is None else asked.flow.volume * whole / asked.flow.standing
    return {
        "pad": {
            "area_m2": _rounded(long * wide),
            "rows": empty.strips,
            "m3": _rounded(whole),
            "carries_m3_year": None if carries is None else _rounded(carries),
            "carries_t_year": None
            if carries is None or asked.density is None
            else _rounded(carries * asked.density),
        },
        "free": {
            "strips": free.strips,
            "row_m": _rounded(free.metres),
            "beside_m": {str(strip): _rounded(metres) for strip, metres in free.beside.items()},
            "over_m": {str(strip): _rounded(metres) for strip, metres in free.over.items()},
            "width_m": _rounded(free.wide),
            "m3": _rounded(room),
            "t": _tonnes(asked, room),
        },
    }


def _section_doubts(section: Section, book: Figures) -> list[str]:
    said = []
    steep, usual = book["side_angle"], book["fitted_factor"]
    if section.side_degrees > steep.high:
        said.append(
            f"Sides of {section.side_degrees:.0f} degrees: moist compost stands at {steep.low:g} to "
            f"{steep.high:g} ({steep.known}). Measure the row again."
        )
    if section.shape == "fitted" and not usual.low <= section.factor <= usual.high:
        said.append(
            f"A factor of {section.factor:g} lies outside {usual.low:g} to {usual.high:g} ({usual.known})."
        )
    return said


def _flow_doubts(asked: PadFile, found: dict[str, Any], book: Figures) -> list[str]:
    said = []
    peak, support, benchmark = book["peak"], book["support_share"], book["area_per_flow"]
    if not asked.peak_told:
        said.append(
            f"The flow is taken as even; barns cleaned by season bring {peak.low:g} to {peak.high:g} times "
            f"the mean in their weeks ({peak.known}): write peak."
        )
    if asked.flow is not None and asked.flow.left < 1.0:
        left = asked.flow.left
        said.append(
            f"It shrinks: {100 * left:g} % of the volume laid is taken to be left after the active days, so "
            f"{50 * (1 + left):g} % of it is reckoned to stand there on the mean. left_pct says otherwise."
        )
    said.append(
        f"Receiving, screening, roads, pond and buffer are not in it: on sites they take {support.low:g} to "
        f"{support.high:g} % of the land ({support.known})."
    )
    if asked.tonnes is not None:
        said.append(
            f"That is {found['area_m2'] / asked.tonnes:.2f} m2 for a yearly t; two published yards of 1200 t "
            f"came to {benchmark.low:g} and {benchmark.high:g} ({benchmark.known})."
        )
    return said


def _pad_doubts(found: dict[str, Any]) -> list[str]:
    said = []
    free = found["free"]
    if free["width_m"] < 0.0:
        said.append(f"The rows there want {-free['width_m']:.1f} m more width than the pad has.")
    for strip, metres in free["over_m"].items():
        said.append(f"Strip {strip}: its rows are {metres:.1f} m longer than the pad between its headlands.")
    wanted, rows = found.get("active", {}).get("rows", 0), found["pad"]["rows"]
    if wanted > rows:
        said.append(f"The flow wants {wanted} rows; {rows} fit on the pad.")
    if rows == 0:
        said.append("No row with its lanes fits on the pad.")
    return said


def _tonnes(asked: PadFile, volume: float) -> float | None:
    return None if asked.density is None else _rounded(volume * asked.density)


def _rounded(value: float) -> float:
    return float(f"{value:.6g}") + 0.0
