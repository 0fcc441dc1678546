"""A question about rain and a pond, answered: runoff, what must be held, how deep, month by month."""

from collections.abc import Mapping, Sequence
from typing import Any

from turnrow.gate.measures import CUBIC, FOOT
from turnrow.gate.pond_file import PondFile, Through
from turnrow.handbook.figures import Figures, pond_figures
from turnrow.handbook.ground import grounds
from turnrow.pad.balance import Month, Step, balance
from turnrow.pad.evaporation import reference
from turnrow.pad.pond import Needs, Pond, Storage, storage, usual_freeboard
from turnrow.pad.runoff import M2_HA, Shed, on_ground, peak, retention, season, shed
from turnrow.yard.wrongs import refuse

# Common practice; permits and engineers come first.
CAUTIONS = (
    "Ponds, liners, banks and any discharge are designed by licensed engineers under the local permit; "
    "these figures only prepare that talk.",
    "Pond water carries germs: it goes on rows before sanitation, never after, nor on finished compost.",
    "Fence a pond and leave a way to climb out; never enter a pit or a tank alone: its gases kill.",
)


def answered(asked: PondFile) -> dict[str, Any]:
    """The answer's keys; units stand in their names."""
    book = pond_figures()
    area = sum(one.area for one in asked.surfaces)
    freeboard = asked.freeboard if asked.freeboard is not None else usual_freeboard(area, book)
    found: dict[str, Any] = {"area_m2": _rounded(area)}
    said: list[str] = []
    storm = None
    if asked.rain is not None:
        storm = shed(asked.surfaces, asked.rain, book, ground=asked.ground, low=asked.low)
        found |= _storm(asked, storm, book)
        said += _storm_doubts(asked, storm, area, book)
    if asked.pond is not None and (storm is not None or asked.kept is not None):
        held = _storage(asked, asked.pond, storm, freeboard)
        found["storage"] = _held(asked, held, freeboard)
        said += _storage_doubts(asked, found["storage"], area, book)
    if asked.pond is not None and asked.rim is not None and asked.through is not None:
        months = _balance(asked, asked.pond, asked.rim, freeboard, asked.through, book)
        found["balance"] = _months(asked.pond, asked.rim - freeboard, asked.through, months)
        said += _balance_doubts(months)
        if asked.climate is not None:
            water = book["open_water"]
            said.append(
                f"Evaporation is {water.value:g} times that of reference grass ({water.known}); on deep "
                f"clear water it goes from {water.low:g} in spring to {water.high:g} in autumn."
            )
    said += _whole(asked, book)
    if asked.kinds:
        said.append(
            "Kinds of ground have the handbook's numbers, made for lots and roads: nobody is known to have "
            "measured a compost pad. A number measured on yours is better."
        )
    kinds = {source for kind in asked.kinds.values() for source in grounds()[kind].sources}
    used = kinds | {one.source for one in book.values()}
    return found | {"warnings": said, "cautions": list(CAUTIONS), "sources": sorted(used)}


def _storm(asked: PondFile, storm: Shed, book: Figures) -> dict[str, Any]:
    weighted = storm.weighted_total
    less = None if weighted is None else storm.total - weighted
    flow = None if asked.intensity is None else peak(asked.surfaces, asked.intensity)
    return {
        "rain_mm": _rounded(asked.rain or 0.0),
        "surfaces": [
            {
                "name": one.name,
                "area_m2": _rounded(one.area),
                "cn": one.cn,
                "cn_used": None if one.cn is None else _rounded(on_ground(one.cn, asked.ground, book)),
                "coefficient": one.coefficient if one.cn is None else None,
                "runoff_mm": _rounded(mm),
                "runoff_m3": _rounded(mm * one.area / 1000.0),
            }
            for one, mm in zip(asked.surfaces, storm.depths, strict=True)
        ],
        "runoff_mm": _rounded(storm.depth),
        "runoff_m3": _rounded(storm.total),
        "runoff_ac_ft": _rounded(storm.total / CUBIC["ac_ft"]),
        "weighted_cn": None if storm.weighted_cn is None else _rounded(storm.weighted_cn),
        "weighted_runoff_m3": None if weighted is None else _rounded(weighted),
        "weighted_less_m3": None if less is None else _rounded(less),
        "peak_m3_s": None if flow is None else _rounded(flow),
    }


def _storm_doubts(asked: PondFile, storm: Shed, area: float, book: Figures) -> list[str]:
    said = []
    spread = book["cn_spread"].value
    if storm.spread > spread and storm.weighted_total is not None and storm.weighted_cn is not None:
        less = storm.total - storm.weighted_total
        share = f" ({100.0 * abs(less) / storm.total:.0f} %)" if storm.total > 0.0 else ""
        word = "less" if less >= 0.0 else "more"
        said.append(
            f"Curve numbers differ by {storm.spread:.0f}, more than {spread:g}: one weighted number, "
            f"{storm.weighted_cn:.1f}, would say {storm.weighted_total:.0f} m3, {abs(less):.0f} m3{share} "
            f"{word} than the surfaces added up."
        )
    for one, mm in zip(asked.surfaces, storm.depths, strict=True):
        least, little = book["cn_least"], book["runoff_least"]
        if one.cn is not None and one.cn < least.value:
            said.append(
                f"{one.name}: the method is not made for curve numbers below {least.value:g} ({least.known})."
            )
        elif one.cn is not None and mm < little.value and retention(one.cn) > 0.0:
            said.append(
                f"{one.name}: {mm:.1f} mm of runoff is little; the method is unsure there ({little.known})."
            )
    most = book["rational_most"].value
    if asked.intensity is not None and area > most * M2_HA:
        said.append(f"The rational method is not recommended above {most:g} ha.")
    return said


def _storage(asked: PondFile, pond: Pond, storm: Shed | None, freeboard: float) -> Storage:
    kept = asked.kept
    runoff, solids, rain = 0.0, 0.0, 0.0
    if kept is not None:
        runoff = season(asked.surfaces, kept.rain) if kept.runoff is None else kept.runoff
        solids, rain = kept.solids, kept.rain - kept.evaporation
    needs = Needs(solids, runoff, storm.total if storm else 0.0, rain, asked.rain or 0.0)
    try:
        return storage(pond, needs, freeboard, asked.rim)
    except ValueError as wrong:
        raise refuse("[pond]", "its shape", f"Rain on it outgrows it ({wrong}); look at its sides.") from None


def _held(asked: PondFile, held: Storage, freeboard: float) -> dict[str, Any]:
    pond, rim = asked.pond, asked.rim
    room = None if rim is None or pond is None else pond.volume(max(0.0, rim - freeboard))
    return {
        "parts_m3": {name: _rounded(value) for name, value in held.parts.items()},
        "needed_m3": _rounded(held.needed),
        "needed_ac_ft": _rounded(held.needed / CUBIC["ac_ft"]),
        "water_depth_m": _rounded(held.water),
        "freeboard_m": _rounded(freeboard),
        "least_depth_m": _rounded(held.depth),
        "least_depth_ft": _rounded(held.depth / FOOT),
        "depth_m": rim,
        "room_m3": None if room is None else _rounded(room),
        "deep_enough": None if rim is None else held.depth <= rim * (1.0 + 1e-9),
    }


def _storage_doubts(asked: PondFile, held: Mapping[str, Any], area: float, book: Figures) -> list[str]:
    said = []
    usual = usual_freeboard(area, book)
    if held["freeboard_m"] < usual:
        said.append(f"A freeboard of {held['freeboard_m']:g} m is less than the usual {usual:g} m (MEMORY).")
    if held["deep_enough"] is False:
        said.append(
            f"The pond is {held['depth_m']:g} m deep and must be {held['least_depth_m']:.2f} m: it holds "
            f"{held['room_m3']:.0f} m3 below its freeboard, and {held['needed_m3']:.0f} m3 must be held."
        )
    if asked.kept is not None and asked.kept.evaporation > asked.kept.rain:
        said.append("More evaporates than rains while it stores: that is not counted as room.")
    if asked.rain is None:
        said.append("No storm is held: [storm] adds the one the permit names.")
    if asked.kept is None:
        said.append("Only the storm is held: [storage] adds solids and what comes while it is not emptied.")
    return said


def _balance(
    asked: PondFile, pond: Pond, rim: float, freeboard: float, through: Through, book: Figures
) -> tuple[Month, ...]:
    if freeboard >= rim:
        raise refuse("[pond], depth_m", f"{rim:g}", f"Write more than the freeboard of {freeboard:g} m.")
    full = pond.volume(rim - freeboard)
    if through.start > full:
        raise refuse("[balance], start_m3", f"{through.start:g}", f"The pond is full at {full:.6g} m3.")
    steps, air = [], _evaporation(asked, book)
    for place, (name, rain) in enumerate(zip(through.names, through.rain, strict=True)):
        more = {stem: amounts[place] for stem, amounts in through.columns.items()}
        if through.daily:
            comes = shed(asked.surfaces, rain, book, ground=asked.ground, low=asked.low).total
        else:
            comes = season(asked.surfaces, rain)
        if air:
            more["evaporation"] = air[place]
        steps.append(Step(name, comes + more.pop("inflow", 0.0), rain, **more))
    return balance(pond, rim - freeboard, rim, through.start, steps)


def _evaporation(asked: PondFile, book: Figures) -> list[float]:
    """Evaporation of open water in each step [mm], worked out of its weather; none without [climate]."""
    if asked.climate is None:
        return []
    water, place = book["open_water"].value, asked.climate.place
    return [water * days * reference(place, day, air) for day, days, air in asked.climate.steps]


def _months(pond: Pond, full_depth: float, through: Through, months: Sequence[Month]) -> dict[str, Any]:
    return {
        "step": "day" if through.daily else "month",
        "full_m3": _rounded(pond.volume(full_depth)),
        "start_m3": _rounded(through.start),
        "steps": [
            {
                "name": one.name,
                "inflow_m3": _rounded(one.inflow),
                "rain_m3": _rounded(one.rain),
                "evaporation_m3": _rounded(one.evaporation),
                "seepage_m3": _rounded(one.seepage),
                "taken_m3": _rounded(one.taken),
                "short_m3": _rounded(one.short),
                "spill_m3": _rounded(one.spilt),
                "volume_m3": _rounded(one.end),
                "depth_m": _rounded(one.depth),
            }
            for one in months
        ],
        "highest_m3": _rounded(max(one.end for one in months)),
        "spill_m3": _rounded(sum(one.spilt for one in months)),
        "short_m3": _rounded(sum(one.short for one in months)),
        "end_m3": _rounded(months[-1].end),
    }


def _balance_doubts(months: Sequence[Month]) -> list[str]:
    said = []
    spilt = [one.name for one in months if one.spilt > 0.0]
    short = [one.name for one in months if one.short > 0.0]
    if spilt:
        said.append(f"It spills {sum(one.spilt for one in months):.0f} m3: {_some(spilt)}.")
    if short:
        said.append(f"{sum(one.short for one in months):.0f} m3 are wanted and not there: {_some(short)}.")
    return said


def _whole(asked: PondFile, book: Figures) -> list[str]:
    """What is said where a month's or a season's rain is taken to run off whole."""
    kept = asked.kept is not None and asked.kept.runoff is None and asked.kept.rain > 0.0
    monthly = asked.through is not None and not asked.through.daily
    whole = [one.name for one in asked.surfaces if one.runs_off == 1.0]
    if not whole or not (kept or monthly):
        return []
    known = book["runs_off"]
    return [
        f"All rain of a month or season is taken to run off from {_some(whole)}, as permit files do "
        f"({known.known}); runs_off_pct says less. A curve number is of one storm and no month."
    ]


def _some(names: Sequence[str], most: int = 6) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def _rounded(value: float) -> float:
    return float(f"{value:.6g}") + 0.0
