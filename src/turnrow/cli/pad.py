"""The ground of a yard: `pad` sizes it and says what is free, `pond` what rain runs off and must be held."""

from typing import Annotated, Any

import typer

from turnrow.cli import desk_file, speak
from turnrow.cli.desk_file import Example, Found
from turnrow.cli.speak import Json

POND = """\
# Invented: the pads of Quillmarsh Fold and their pond. Run it: turnrow pond THIS.toml
# Every measure carries its unit in its key, and any of the usual ones will do: area_m2, area_ha, area_ac,
# area_ft2; rain_mm or rain_in; depth_m or depth_ft; m3, yd3, gal or ac_ft.
ground = "average"              # before the storm: dry, average or wet
# abstraction = 0.05            # 0.2 is usual

[storm]                         # of the permit: often 24 hours, once in 25 years
rain_mm = 110
# intensity_mm_h = 45           # for a peak flow; every surface then needs a coefficient

[[surface]]
name = "row pad"
area_m2 = 3970
kind = "unpaved lot"            # of the handbook, or cn = 91, or coefficient = 0.65 alone
# runs_off_pct = 60             # share of a month's rain; all of it where nothing is said

[[surface]]
name = "roof and apron"
area_m2 = 900
kind = "concrete"

[[surface]]
name = "grass above"
area_ha = 0.6
kind = "pasture"
soil = "C"                      # A (sand) to D (clay)
runs_off_pct = 20

[pond]                          # the pond itself is no surface: rain on it is counted by its rim
shape = "rectangle"             # or "circle" with bottom_diameter_m
bottom_width_m = 14
bottom_length_m = 40
side_slope = 3                  # metres out for each metre up
depth_m = 3                     # to the rim; left out, the least depth is found
# freeboard_m = 0.3

[storage]                       # while it is not emptied
rain_mm = 210
evaporation_mm = 60
solids_m3 = 25
# runoff_m3 = 900               # else each surface's share of the rain

[balance]
step = "month"                  # or "day": runoff of each day by curve number
names = ["Oct", "Nov", "Dec", "Jan", "Feb", "Mar"]
rain_mm = [95, 100, 90, 85, 70, 65]
evaporation_mm = [35, 15, 8, 8, 15, 35]
taken_m3 = [150, 150, 150, 150, 400, 500]
start_m3 = 200

# [climate]                     # in place of evaporation_mm: worked out of the weather of each step
# latitude = 51.5               # degrees, below 0 in the south
# elevation_m = 80
# day_of_year = [289, 319, 349, 15, 46, 75]
# days = [31, 30, 31, 31, 28, 31]
# t_max_c = [14, 10, 8, 7, 8, 11]
# t_min_c = [8, 4, 2, 1, 1, 3]
# rh_pct = [84, 87, 88, 87, 84, 80]
# wind_m_s = [3.1, 3.2, 3.4, 3.5, 3.3, 3.4]
# sun_h = [3.4, 2.2, 1.6, 1.8, 2.6, 3.7]    # or solar_mj_m2
"""

PAD = """\
# Invented: a pad for what Quillmarsh Fold takes in. Run it: turnrow pad THIS.toml
# Lengths in m or ft, flows in t, short_ton, m3 or yd3: the unit stands in the key.
[row]                           # as the machine leaves it
shape = "parabola"              # triangle, trapezoid (top_m), half ellipse, half circle, fitted (factor)
base_m = 4.3
height_m = 1.8
length_m = 80                   # of the longest row
# ends = "sloped"               # they fall like the sides; else they stand

[lanes]
by = "straddle"                 # a lane beside each row; "loader": rows in pairs
lane_m = 4.5
headland_m = 10

[flow]
year_t = 5000                   # or year_m3
bulk_density_kg_m3 = 550
active_days = 70
# left_pct = 50                 # of its volume at the end; or material = "dense manure", "strawy bedding"
# peak = 1.5                    # busiest weeks over the mean

[curing]
days = 60
base_m = 6
height_m = 2.5

[storage]
days = 150
mean_depth_m = 2.2

[pad]                           # one that is there
length_m = 100
width_m = 48

[[there]]                       # rows that lie on it; section as above where none is said
name = "R4"
length_m = 78
strip = 1                       # counted from one side; rows of one strip lie end to end

[[there]]
name = "R5"
length_m = 45
strip = 2
"""


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("pad")(pad)
    app.command("pond")(pond)


def pad(
    file: Annotated[
        str, typer.Argument(help="TOML: a row, lanes, a yearly flow, a pad; --example shows one.")
    ] = "",
    example: Example = False,
    as_json: Json = False,
) -> None:
    """How much ground rows and a yearly flow need, and what is still free on a pad."""
    desk_file.answer(lambda: _pad(file), _pad_people, as_json, PAD if example else "")


def pond(
    file: Annotated[
        str, typer.Argument(help="TOML: surfaces, a storm, a pond, months; --example shows one.")
    ] = "",
    example: Example = False,
    as_json: Json = False,
) -> None:
    """What a storm or a year runs off, what a pond must hold, and how deep it must be at least."""
    desk_file.answer(lambda: _pond(file), _pond_people, as_json, POND if example else "")


def _pad(file: str) -> Found:
    from turnrow.foreman.pads import answered
    from turnrow.gate.pad_file import read_pad
    from turnrow.handbook.figures import pad_figures

    return answered(read_pad(*desk_file.opened(file), pad_figures()))


def _pond(file: str) -> Found:
    from turnrow.foreman.ponds import answered
    from turnrow.gate.pond_file import read_pond
    from turnrow.handbook.figures import pond_figures
    from turnrow.handbook.ground import grounds

    return answered(read_pond(*desk_file.opened(file), pond_figures(), grounds()))


def _pond_people(found: Found) -> None:
    if "surfaces" in found:
        feet = f"{found['runoff_ac_ft']:.3g} acre-feet"
        speak.say(f"{found['rain_mm']:g} mm of rain: {found['runoff_m3']:.1f} m3 run off ({feet})")
        rows = [
            (one["name"], f"{one['area_m2']:.0f}", _number_of(one), *_runoff(one))
            for one in found["surfaces"]
        ]
        whole = ("in all", f"{found['area_m2']:.0f}", "", *_runoff(found))
        speak.table(("surface", "m2", "cn", "mm", "m3"), [*rows, whole])
        if found["peak_m3_s"] is not None:
            speak.say(f"peak flow: {found['peak_m3_s']:g} m3/s")
    if "storage" in found:
        held = found["storage"]
        speak.say()
        parts = [(name, f"{value:.0f}") for name, value in held["parts_m3"].items()]
        speak.table(("to be held", "m3"), [*parts, ("in all", f"{held['needed_m3']:.0f}")])
        speak.say(
            f"least depth: {held['water_depth_m']:.2f} m of water and {held['freeboard_m']:g} m free, "
            f"{held['least_depth_m']:.2f} m ({held['least_depth_ft']:.1f} ft)"
        )
        if held["deep_enough"]:
            speak.say(f"The pond is {held['depth_m']:g} m deep: enough.")
    if "balance" in found:
        speak.say()
        columns = dict(_BALANCE)
        steps = found["balance"]["steps"]
        if not any(one["seepage_m3"] for one in steps):
            del columns["seepage_m3"]
        rows = [
            (one["name"], *(f"{one[key]:.0f}" for key in columns), f"{one['depth_m']:.2f}") for one in steps
        ]
        speak.table(("m3", *columns.values(), "m deep"), rows)
        speak.say(f"full at {found['balance']['full_m3']:.0f} m3")
    _doubts(found)


_BALANCE = {
    "inflow_m3": "in", "rain_m3": "rain on it", "evaporation_m3": "evaporates", "seepage_m3": "seeps",
    "taken_m3": "taken", "short_m3": "short", "spill_m3": "spills", "volume_m3": "held",
}  # fmt: skip


def _runoff(one: dict[str, Any]) -> tuple[str, str]:
    return f"{one['runoff_mm']:.1f}", f"{one['runoff_m3']:.1f}"


def _number_of(one: dict[str, Any]) -> str:
    return f"{one['cn_used']:.3g}" if one["cn"] is not None else f"C {one['coefficient']:g}"


def _pad_people(found: Found) -> None:
    section, row = found["section"], found["row"]
    speak.say(
        f"a section of {section['area_m2']:.2f} m2; {row['length_m']:g} m of it hold {row['m3']:.0f} m3"
    )
    speak.say(f"with a lane to each row the ground holds {section['capacity_m3_m2']:.3f} m3/m2")
    if "flow" in found:
        active = found["active"]
        rows = [
            (
                "active",
                f"{active['m3']:.0f}",
                f"{active['row_m']:.0f}",
                active["rows"],
                f"{active['area_m2']:.0f}",
            )
        ]
        for name in ("curing", "storage"):
            if name in found:
                one = found[name]
                metres = f"{one['row_m']:.0f}" if "row_m" in one else ""
                rows.append((name, f"{one['m3']:.0f}", metres, one.get("rows", ""), f"{one['area_m2']:.0f}"))
        rows.append(("in all", "", "", "", f"{found['area_m2']:.0f}"))
        speak.say()
        speak.table(("", "m3", "m of row", "rows", "m2"), rows)
        speak.say(f"the active pad: {active['width_m']:g} m wide and {active['length_m']:g} m long")
    if "pad" in found:
        pad_there, free = found["pad"], found["free"]
        speak.say()
        speak.say(f"the pad takes {pad_there['rows']} rows, {pad_there['m3']:.0f} m3")
        if pad_there["carries_m3_year"] is not None:
            speak.say(f"which carries {pad_there['carries_m3_year']:.0f} m3 a year")
        beside = sum(free["beside_m"].values())
        speak.say(
            f"free: {free['strips']} whole strips and {beside:g} m behind rows there, {free['m3']:.0f} m3"
        )
    _doubts(found)


def _doubts(found: Found) -> None:
    speak.say()
    for text in (*found["warnings"], *found["cautions"]):
        speak.say(text)
