"""Simulate one heap: hour by hour, from a plain file."""

from pathlib import Path
from typing import Annotated

import typer

from turnrow.cli import desk_file, speak
from turnrow.cli.desk_file import Example, Found
from turnrow.cli.speak import Json

EXAMPLE = """\
# An invented row: dairy manure with sawdust, 40 m long, turned five times, joined by another.
days = 60
depths_cm = [30, 60, 90]

[heap]
base_m = 4.2          # width of the foot
height_m = 1.7
length_m = 40
moisture_pct = 62     # wet basis
cn = 27               # mass of carbon over nitrogen
organic_pct = 82      # of the dry matter
temp_c = 15           # of the material when built; below 0 it is frozen
# covered = true      # under a fleece from the start
# blown_m3_h = 400    # air from a blower, whole heap

# [parameters]        # any row of the handbook's heap table, in its unit
# pore_size = 2.5

[air]                 # the same day again and again; or file = "weather.csv", hourly, with the columns
                      # air_c and any of humidity_pct, sun_w_m2, wind_m_s, rain_mm
temp_c = 12
swing_c = 7
humidity_pct = 70
sun_w_m2 = 500        # at noon
wind_m_s = 2
rain_mm_day = 1.5

[[event]]
at_day = 4.33
kind = "turn"

[[event]]
at_day = 9.33
kind = "turn"

[[event]]
at_day = 16.33
kind = "turn"
water_m3 = 2.8        # whole heap, given while turning
water_c = 12

[[event]]
at_day = 23.33
kind = "turn"
water_m3 = 3.2

[[event]]
at_day = 31.33
kind = "turn"
water_m3 = 3.2

[[event]]
at_day = 42.33
kind = "cover"        # also: uncover and water; split with keep_pct; screen with it and keep_inert_pct

[[event]]
at_day = 50
kind = "merge"        # another row laid along this one; turn after it to mix them
age_days = 40         # it has stood so long by then, in the same air, untouched

[event.heap]          # as it was built; what is not said is as in [heap] above
length_m = 20
cn = 35
"""


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("heat")(heat)


def heat(
    heap: Annotated[str, typer.Argument(help="TOML: the heap, its air, what is done to it.")] = "",
    example: Example = False,
    as_json: Json = False,
) -> None:
    """Simulate one heap by the hour: temperature by depth, water, oxygen, losses, and how it balances."""
    desk_file.answer(lambda: _found(heap), _people, as_json, EXAMPLE if example else "")


def _found(heap: str) -> Found:
    from turnrow.api.simulating import simulate

    data, name = desk_file.opened(heap, "HEAP")
    return simulate(data, folder=Path(heap).parent, name=name).answer


def _people(found: Found) -> None:
    by_depth = found["temp_c_by_depth_cm"]
    headings = ["day", *(f"°C at {d} cm" for d in by_depth), "moisture %", "core O2 %", "m3", "C:N"]
    rows = []
    for hour in range(0, len(found["hours"]), 24):
        core = found["oxygen_pct_by_zone"]["core"][hour]
        cells = [f"{series[hour]:.1f}" for series in by_depth.values()]
        tail = (f"{core:.1f}", f"{found['volume_m3'][hour]:.1f}", f"{found['cn'][hour]:.1f}")
        rows.append((hour // 24, *cells, f"{found['moisture_pct'][hour]:.1f}", *tail))
    speak.table(headings, rows)
    closed = ", ".join(f"{key} {value:.0e}" for key, value in found["closure"].items())
    speak.say(f"balances miss, as shares: {closed}")
    for text in found["warnings"]:
        speak.say(text)
    speak.say(found["caution"])
