"""Simulate one heap: hour by hour, from a plain file."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnrow.cli import compiled, desk_file, speak
from turnrow.cli.desk_file import Example, Found
from turnrow.cli.speak import Json

if TYPE_CHECKING:
    from turnrow.gate.heap_file import HeapFile
    from turnrow.heap.run import Course

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
CAUTION = (
    "A picture of a typical heap, not a measurement: probe before anyone acts on it. Hot heaps steam, settle "
    "and can burn; follow local fire and safety rules, and leave their judgement to those licensed for it."
)


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("heat")(heat)


def heat(
    heap: Annotated[str, typer.Argument(help="TOML: the heap, its air, what is done to it.")] = "",
    example: Example = False,
    as_json: Json = False,
) -> None:
    """Simulate one heap by the hour: temperature by depth, water, oxygen, losses, and how it balances."""
    desk_file.answer(lambda: _found(*_run(heap)), _people, as_json, EXAMPLE if example else "")


def _run(name: str) -> "tuple[Course, HeapFile]":
    from dataclasses import replace

    import turnrow
    from turnrow.cli.file_bytes import file_bytes
    from turnrow.yard.wrongs import Refusal, Refused

    data, _ = desk_file.opened(name, "HEAP")
    path = Path(name)
    made: list[Any] = []

    def first() -> None:
        from turnrow.gate.heap_file import read_heap, read_weather
        from turnrow.heap.run import simulate

        asked = read_heap(data, path.name)
        if asked.weather is None:
            file = path.parent / asked.weather_file
            asked = replace(
                asked, weather=read_weather(file_bytes(file, file.name), file.name, asked.days * 24)
            )
        assert asked.weather is not None
        deepest = max(asked.depths_cm) / 100.0
        if deepest > asked.heap.height_m:
            do = f"Give depths within the heap's height, {asked.heap.height_m:g} m."
            raise Refused([Refusal("depths_cm", f"{deepest * 100:g}", do)])
        made.extend((simulate(asked.heap, asked.weather, asked.done), asked))

    compiled.ready(first, Path(turnrow.__file__).parent / "heap")
    return made[0], made[1]


def _found(course: "Course", asked: "HeapFile") -> Found:
    import numpy as np

    from turnrow.heap import kernel as k
    from turnrow.heap import material as mat
    from turnrow.heap import report

    c, length = course.cells, asked.heap.length_m
    dry, water = mat.dry_matter(c).sum(axis=0), mat.zones(c, k.W).sum(axis=0)
    ammonia = c[k.NL] - c[k.NL, 0]
    moisture, oxygen = report.moisture(c), report.oxygen_pct(c)
    air_space = (mat.free_air(c) * mat.SHARE[:, None]).sum(axis=0)

    def whole(values: Any, digits: int = 3) -> list[float]:
        return [round(float(v), digits) for v in values]

    names = ("shell", "outer", "middle", "core")
    temps = {f"{d:g}": report.at_depth(c, d / 100.0, course.air_c) for d in asked.depths_cm}
    found: Found = {
        "unit": "C",
        "length_m": length,
        "hours": whole(course.hours, 1),
        "air_c": whole(course.air_c, 2),
        "temp_c_by_depth_cm": {key: whole(values, 2) for key, values in temps.items()},
        "temp_c_by_zone": {n: whole(v, 2) for n, v in zip(names, mat.temperature(c), strict=True)},
        "moisture_pct": whole(100.0 * water / (water + dry), 2),
        "moisture_pct_by_zone": {n: whole(100.0 * v, 2) for n, v in zip(names, moisture, strict=True)},
        "oxygen_pct_by_zone": {n: whole(v, 2) for n, v in zip(names, oxygen, strict=True)},
        "ice_share_by_zone": {n: whole(v) for n, v in zip(names, report.ice(c), strict=True)},
        "dry_t": whole(dry * length / 1000.0, 4),
        "water_t": whole(water * length / 1000.0, 4),
        "volume_m3": whole(mat.area(c) * length),
        "height_m": whole(report.height(c)),
        "fas_pct": whole(100.0 * air_space, 2),
        "cn": whole(report.carbon_nitrogen(c), 2),
        "lost": {
            "organic_t": whole((c[k.LO] - c[k.LO, 0]) * length / 1000.0, 4),
            "nitrogen_kg_as_ammonia": whole(ammonia * length),
            "water_t_as_vapour": whole((c[k.EV] - c[k.EV, 0]) * length / 1000.0, 4),
            "leachate_t": whole((c[k.LE] - c[k.LE, 0]) * length / 1000.0, 4),
        },
        "in_events_per_m": {key: round(v, 4) for key, v in course.crossed.items()},
        "closure": {
            key: float(getattr(course.closure, key)[0])
            for key in ("dry", "water", "nitrogen", "oxygen", "energy", "tie")
        },
        "steps_an_hour": course.per_hour,
        "caution": CAUTION,
    }
    hottest = max(float(np.max(v)) for v in temps.values())
    found["warnings"] = _warnings(hottest, found)
    return found


def _warnings(hottest: float, found: Found) -> list[str]:
    from turnrow.handbook.book import handbook

    settings = handbook().settings
    names = ("fire_act", "moisture_low", "moisture_high")
    act, low, high = (settings[name].amount.value / 1e6 for name in names)
    driest, wettest = min(found["moisture_pct"]), max(found["moisture_pct"])
    said = []
    if hottest >= act:
        said.append(f"It reaches {hottest:.1f} °C; from {act:g} °C a row is cooled and watched.")
    if driest < low:
        said.append(f"It dries to {driest:.0f} %, below {low:g} %.")
    if wettest > high:
        said.append(f"It is as wet as {wettest:.0f} %, above {high:g} %.")
    if max(abs(v) for v in found["closure"].values()) > 1e-9:
        said.append("A balance does not close to 1e-9: do not use this run.")
    return said


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
