"""A heap described in a TOML file, and hourly weather in a CSV: checked whole, every refusal at once."""

import csv
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from turnrow.gate.toml_file import toml_of
from turnrow.handbook.heap import heap_parameters
from turnrow.heap.material import Heap
from turnrow.heap.run import KINDS, Happening
from turnrow.heap.weather import Weather, steady
from turnrow.yard.wrongs import Refusal, Refused, shown

LARGEST_DAYS = 1000
SHAPE = {  # key -> low, high, default
    "base_m": (0.3, 30.0, 4.2),
    "height_m": (0.3, 12.0, 1.7),
    "length_m": (0.3, 1000.0, 1.0),
    "moisture_pct": (5.0, 90.0, 62.0),
    "cn": (5.0, 400.0, 27.0),
    "organic_pct": (5.0, 99.0, 82.0),
    "temp_c": (-40.0, 70.0, 15.0),
    "blown_m3_h": (0.0, 500.0, 0.0),
}
AIR = {
    "temp_c": (-50.0, 50.0, 12.0),
    "swing_c": (0.0, 30.0, 0.0),
    "humidity_pct": (0.0, 100.0, 70.0),
    "sun_w_m2": (0.0, 1200.0, 0.0),
    "wind_m_s": (0.0, 40.0, 2.0),
    "rain_mm_day": (0.0, 300.0, 0.0),
}
EVENT = {
    "at_day": (0.0, float(LARGEST_DAYS), None),
    "water_m3": (0.0, 10000.0, 0.0),
    "water_c": (0.0, 90.0, 12.0),
    "keep_pct": (1.0, 99.0, 50.0),
    "keep_inert_pct": (1.0, 99.0, 50.0),
    "age_days": (0.0, float(LARGEST_DAYS), 0.0),
}
COLUMNS = {"air_c": AIR["temp_c"], **{key: AIR[key] for key in ("humidity_pct", "sun_w_m2", "wind_m_s")}}
COLUMNS["rain_mm"] = (0.0, 200.0, 0.0)
Limits = Mapping[str, tuple[float, float, float | None]]


@dataclass(frozen=True)
class HeapFile:
    """What a file asks: the heap, its days, its weather or the file that holds it, what is done."""

    heap: Heap
    days: int
    weather: Weather | None
    weather_file: str
    done: tuple[Happening, ...]
    depths_cm: tuple[float, ...]


def read_heap(data: bytes, name: str) -> HeapFile:
    """The heap in a TOML file. Raises Refused with everything that is wrong."""
    given = toml_of(data, name, "Give a TOML file; --example prints one.")
    wrongs: list[Refusal] = []
    _unknown(given, ("days", "depths_cm", "heap", "parameters", "air", "event"), "", wrongs)
    days = round(_number(given, "days", (1.0, LARGEST_DAYS, 60.0), "", wrongs))
    own = _parameters(_table(given, "parameters", wrongs), wrongs)
    heap = _heap(_table(given, "heap", wrongs), own, "heap.", wrongs)
    file, weather = _weather(_table(given, "air", wrongs), days, wrongs)
    done = _events(given.get("event", []), days, heap, wrongs)
    depths = _depths(given.get("depths_cm", [30, 60, 90]), wrongs)
    if wrongs:
        raise Refused(wrongs)
    return HeapFile(heap, days, weather, file, done, depths)


def _heap(shape: Mapping[str, Any], own: Mapping[str, float], where: str, wrongs: list[Refusal]) -> Heap:
    """A heap as built, from its table; what is wrong is added to `wrongs`."""
    _unknown(shape, (*SHAPE, "covered"), where, wrongs)
    n = {key: _number(shape, key, limits, where, wrongs) for key, limits in SHAPE.items()}
    covered = shape.get("covered", False)
    if not isinstance(covered, bool):
        wrongs.append(Refusal(f"{where}covered", shown(covered), "Write true or false."))
    if n["height_m"] > n["base_m"]:
        do = "Give a height not above base_m: a heap slides."
        wrongs.append(Refusal(f"{where}height_m", shown(n["height_m"]), do))
    return Heap(
        base_m=n["base_m"],
        height_m=n["height_m"],
        length_m=n["length_m"],
        moisture=n["moisture_pct"] / 100.0,
        cn=n["cn"],
        organic=n["organic_pct"] / 100.0,
        temp_c=n["temp_c"],
        blown_kg_s=n["blown_m3_h"] * 1.2 / 3600.0 / n["length_m"],
        covered=bool(covered),
        own=own,
    )


def read_weather(data: bytes, name: str, hours: int) -> Weather:
    """Hourly weather: columns air_c and any of humidity_pct, sun_w_m2, wind_m_s, rain_mm; hour 0 first.

    Needs hours + 1 rows; more are passed over. Rain is what fell in the hour that begins with its row.
    Raises Refused with everything that is wrong.
    """
    try:
        rows = list(csv.DictReader(data.decode("utf-8-sig").splitlines()))
    except (UnicodeDecodeError, csv.Error) as wrong:
        raise Refused([Refusal(name, shown(str(wrong)), "Give a CSV file in UTF-8.")]) from None
    wrongs: list[Refusal] = []
    if not rows or "air_c" not in rows[0]:
        headings = ", ".join(str(one) for one in rows[0] if one) if rows else ""
        raise Refused([Refusal(name, shown(headings), "Head a column with air_c.")])
    if len(rows) <= hours:
        wrongs.append(Refusal(name, f"{len(rows)} rows", f"Give {hours + 1}: one an hour, one at the end."))
    found = {}
    for key, (low, high, default) in COLUMNS.items():
        if key not in rows[0]:
            found[key] = np.full(hours + 1, default)
            continue
        cells = [(row[key] or "").strip() for row in rows[: hours + 1]]
        values = [_parsed(cell) for cell in cells]
        bad = [n for n, v in enumerate(values) if v is None or not low <= v <= high]
        for n in bad[:5]:
            do = f"Give a number from {low:g} to {high:g}."
            wrongs.append(Refusal(f"{name}, row {n + 2}, column {key}", shown(cells[n]), do))
        if len(bad) > 5:
            wrongs.append(Refusal(f"{name}, column {key}", f"{len(bad) - 5} more like it", "See to these."))
        found[key] = np.array([0.0 if v is None else v for v in values])
    if wrongs:
        raise Refused(wrongs)
    return Weather(
        air_c=found["air_c"],
        humid=found["humidity_pct"] / 100.0,
        sun=found["sun_w_m2"],
        wind=found["wind_m_s"],
        rain_mm=found["rain_mm"][:hours],
    )


def _weather(air: Mapping[str, Any], days: int, wrongs: list[Refusal]) -> tuple[str, Weather | None]:
    file = air.get("file", "")
    if file:
        _unknown(air, ("file",), "air.", wrongs)
        if not isinstance(file, str):
            wrongs.append(Refusal("air.file", shown(file), "Give the name of a CSV file."))
        return str(file), None
    _unknown(air, (*AIR, "file"), "air.", wrongs)
    a = {key: _number(air, key, limits, "air.", wrongs) for key, limits in AIR.items()}
    return "", steady(
        days * 24,
        air_c=a["temp_c"],
        swing_c=a["swing_c"],
        humid=a["humidity_pct"] / 100.0,
        sun=a["sun_w_m2"],
        wind=a["wind_m_s"],
        rain_mm_day=a["rain_mm_day"],
    )


def _events(given: object, days: int, heap: Heap, wrongs: list[Refusal]) -> tuple[Happening, ...]:
    if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
        wrongs.append(Refusal("event", shown(given), "Write each event under its own [[event]]."))
        return ()
    done = []
    for number, one in enumerate(given, start=1):
        where = f"event {number}, "
        kind = one.get("kind", "")
        _unknown(one, (*EVENT, "kind", *(("heap",) if kind == "merge" else ())), where, wrongs)
        limits = {**EVENT, "at_day": (0.0, days - 1e-6, None)}
        n = {key: _number(one, key, limit, where, wrongs) for key, limit in limits.items()}
        if kind not in KINDS:
            wrongs.append(Refusal(f"{where}kind", shown(kind), f"Give one of {', '.join(KINDS)}."))
        if kind == "water" and not n["water_m3"]:
            wrongs.append(Refusal(f"{where}water_m3", "nothing", "Say how much water."))
        kg, share = n["water_m3"] * 1000.0 / heap.length_m, n["keep_pct"] / 100.0
        made = Happening(n["at_day"] * 24.0, str(kind), kg, n["water_c"], share, n["keep_inert_pct"] / 100.0)
        made = replace(made, at_h=round(made.at_h, 6), age_h=round(n["age_days"] * 24.0))
        if kind == "merge":
            made = replace(made, other=_other(one, heap, where, wrongs))
            if made.age_h > int(made.at_h):
                do = "Give no more days than have gone by: the weather before is not known."
                wrongs.append(Refusal(f"{where}age_days", shown(n["age_days"]), do))
        done.append(made)
    return tuple(done)


def _other(event: Mapping[str, Any], heap: Heap, where: str, wrongs: list[Refusal]) -> Heap | None:
    """The heap that is laid to `heap`; where it says nothing it was built like that one."""
    if "heap" not in event:
        do = "Describe the other heap under [event.heap], as [heap] does; length_m = 20 alone is enough."
        wrongs.append(Refusal(f"{where}heap", "nothing", do))
        return None
    like = {
        "base_m": heap.base_m,
        "height_m": heap.height_m,
        "length_m": heap.length_m,
        "moisture_pct": heap.moisture * 100.0,
        "cn": heap.cn,
        "organic_pct": heap.organic * 100.0,
        "temp_c": heap.temp_c,
        "covered": heap.covered,
    }
    return _heap({**like, **_table(event, "heap", wrongs)}, heap.own, f"{where}heap.", wrongs)


def _parameters(given: Mapping[str, Any], wrongs: list[Refusal]) -> dict[str, float]:
    """Own parameters: known to the handbook, and no further from its range than four times its width."""
    known, own = heap_parameters(), {}
    _unknown(given, tuple(known), "parameters.", wrongs)
    for key in set(given) & set(known):
        row = known[key]
        slack = 0.0 if row.high <= 1.0 and row.unit == "1" else 4.0 * (row.high - row.low)
        low = row.low / 5.0 if row.low >= 0.0 else row.low - slack
        own[key] = _number(given, key, (low, row.high + slack, row.value), "parameters.", wrongs)
    shares = sum(own.get(key, known[key].value) for key in ("ready", "slow", "shielded"))
    if shares > 1.0:
        do = "Give ready, slow and shielded so that they come to 1 at most."
        wrongs.append(Refusal("parameters", f"shares of {shares:g} in all", do))
    return own


def _depths(given: object, wrongs: list[Refusal]) -> tuple[float, ...]:
    good = isinstance(given, list) and 0 < len(given) <= 20
    if not good or not all(_is_number(d) and 0 <= d <= 600 for d in given):  # type: ignore[attr-defined]
        wrongs.append(Refusal("depths_cm", shown(given), "Give up to 20 depths from 0 to 600 cm."))
        return ()
    return tuple(float(d) for d in given)  # type: ignore[attr-defined]


def _number(
    given: Mapping[str, Any],
    key: str,
    limits: tuple[float, float, float | None],
    where: str,
    wrongs: list[Refusal],
) -> float:
    low, high, default = limits
    value = given.get(key, default)
    if not _is_number(value) or not low <= value <= high:
        got = "nothing" if value is None else shown(value)
        wrongs.append(Refusal(f"{where}{key}", got, f"Give a number from {low:g} to {high:g}."))
        return low if default is None else default
    return float(value)


def _table(given: Mapping[str, Any], key: str, wrongs: list[Refusal]) -> Mapping[str, Any]:
    found = given.get(key, {})
    if not isinstance(found, dict):
        wrongs.append(Refusal(key, shown(found), f"Write it as a table, under [{key}]."))
        return {}
    return found


def _unknown(given: Mapping[str, Any], known: tuple[str, ...], where: str, wrongs: list[Refusal]) -> None:
    for key in sorted(set(given) - set(known)):
        wrongs.append(
            Refusal(
                f"{where}{key}" or "a key without a name",
                shown(given[key]),
                f"Leave it out; known are {', '.join(known)}.",
            )
        )


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return isinstance(value, int) or math.isfinite(value)


def _parsed(cell: str) -> float | None:
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
