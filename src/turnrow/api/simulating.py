"""One heap simulated by the hour, from a described heap and its weather."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

import turnrow
from turnrow.api import compiled
from turnrow.api.given import Source, text_bytes
from turnrow.api.shown import html
from turnrow.gate.file_bytes import file_bytes
from turnrow.yard.wrongs import refuse

if TYPE_CHECKING:
    from turnrow.gate.heap_file import HeapFile
    from turnrow.heap.run import Course

CAUTION = (
    "A picture of a typical heap, not a measurement: probe before anyone acts on it. Hot heaps steam, settle "
    "and can burn; follow local fire and safety rules, and leave their judgement to those licensed for it."
)


@dataclass(frozen=True, eq=False)
class Simulation:
    """A heap's course. answer: all of it as plain keys, as `turnrow heat --json` prints it."""

    answer: dict[str, Any] = field(repr=False)

    @property
    def frame(self) -> pl.DataFrame:
        """A polars frame, an hour a row: hour, air_c, at_30_cm and so on [°C], moisture_pct (wet basis),
        core_oxygen_pct (of the air in it), dry_t, water_t, volume_m3, height_m, fas_pct, cn."""
        found = self.answer
        depths = {f"at_{depth}_cm": series for depth, series in found["temp_c_by_depth_cm"].items()}
        same = ("moisture_pct", "dry_t", "water_t", "volume_m3", "height_m", "fas_pct", "cn")
        core = {"core_oxygen_pct": found["oxygen_pct_by_zone"]["core"]}
        return pl.DataFrame(
            {"hour": found["hours"], "air_c": found["air_c"], **depths, **core, **{n: found[n] for n in same}}
        )

    def _repr_html_(self) -> str:
        days = len(self.answer["hours"]) // 24
        said = [*self.answer["warnings"], self.answer["caution"]]
        return html(f"A heap over {days} days", said) + self.frame.gather_every(24)._repr_html_()


def simulate(heap: Source, *, folder: Path | str = ".", name: str = "") -> Simulation:
    """Simulate one heap, as `turnrow heat` does; `turnrow heat --example` prints a description that runs.

    heap    a TOML file, or its text: the heap, its air, what is done to it
    folder  where a weather file that it names lies
    Raises Refused with everything that is wrong.
    """
    data, own = text_bytes(heap, "heap")
    course, asked = _course(data, name or own, Path(folder))
    return Simulation(_keys(course, asked))


def _course(data: bytes, name: str, folder: Path) -> "tuple[Course, HeapFile]":
    made: list[Any] = []

    def first() -> None:
        from turnrow.gate.heap_file import read_heap, read_weather
        from turnrow.heap import run

        asked = read_heap(data, name)
        weather = asked.weather
        if weather is None:
            file = folder / asked.weather_file
            weather = read_weather(file_bytes(file, file.name), file.name, asked.days * 24)
            asked = replace(asked, weather=weather)
        deepest = max(asked.depths_cm) / 100.0
        if deepest > asked.heap.height_m:
            do = f"Give depths within the heap's height, {asked.heap.height_m:g} m."
            raise refuse("depths_cm", f"{deepest * 100:g}", do)
        made.extend((run.simulate(asked.heap, weather, asked.done), asked))

    compiled.ready(first, Path(turnrow.__file__).parent / "heap")
    return made[0], made[1]


def _keys(course: "Course", asked: "HeapFile") -> dict[str, Any]:
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
    found: dict[str, Any] = {
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


def _warnings(hottest: float, found: Mapping[str, Any]) -> list[str]:
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
