"""A heap as its yard would describe it for an outlook: size, blend and moisture, each optional."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from turnrow.gate.toml_file import toml_of
from turnrow.heap.known import Blend, Section, Told
from turnrow.yard import days
from turnrow.yard.wrongs import Refusal, Refused, shown

SIZE = {"length_m": (0.2, 1000.0), "base_m": (0.3, 30.0), "height_m": (0.3, 12.0), "volume_m3": (0.05, 1e5)}
BLEND = {  # key -> low, high, factor to the model's unit, one standard deviation where none is given
    "moisture_pct": (5.0, 90.0, 0.01, 4.0),
    "cn": (5.0, 400.0, 1.0, 4.0),
    "density_kg_m3": (50.0, 1500.0, 1.0, 80.0),
    "organic_pct": (5.0, 99.0, 0.01, 6.0),
    "temp_c": (-40.0, 70.0, 1.0, 3.0),
}
TABLES = ("heap", "material")
OTHERS = ("built", "covered", "name")
DO = "Write TOML: a line for each thing, such as base_m = 4.2 or built = 2026-05-03."


@dataclass(frozen=True)
class Described:
    """What a file says of a heap; known: whether its size is among it; built: seconds UTC, of a date its
    first."""

    section: Section
    blend: Blend
    covered: bool
    known: bool
    built: int | None
    notices: tuple[str, ...]


def read_described(data: bytes, name: str, zone: ZoneInfo) -> Described:
    """The description in a TOML file, at its top, under [heap] or [material]; what is measured may have
    KEY_sd beside it. A `built` without a zone is on the clock of `zone`.

    Raises Refused with every number that is none or out of reach and every key told twice; other keys are
    passed over and told.
    """
    said, wrongs = _said(toml_of(data, name, DO))
    size = {key: _number(said, key, limits, wrongs) for key, limits in SIZE.items()}
    told_of = {key: _told(said, key, *about, wrongs) for key, about in BLEND.items()}
    covered = said.get("covered", False)
    if not isinstance(covered, bool):
        wrongs.append(Refusal("covered", shown(covered), "Write true or false."))
    built = _built(said.get("built"), zone, wrongs)
    if wrongs:
        raise Refused(wrongs)
    organic = told_of["organic_pct"]
    blend = Blend(
        moisture=told_of["moisture_pct"],
        cn=told_of["cn"],
        wet_density=told_of["density_kg_m3"],
        ash=None if organic is None else Told(1.0 - organic.value, organic.sd),
        temp_c=told_of["temp_c"],
    )
    used = {*SIZE, *BLEND, *OTHERS, *(f"{key}_sd" for key in BLEND)}
    unused = sorted(set(said) - used)
    notices = (f"{name}: passed over: {', '.join(unused[:10])}.",) if unused else ()
    section = Section(size["length_m"], size["base_m"], size["height_m"], size["volume_m3"])
    known = size["base_m"] is not None or size["volume_m3"] is not None
    return Described(section, blend, bool(covered), known, built, notices)


def _built(built: object, zone: ZoneInfo, wrongs: list[Refusal]) -> int | None:
    found = _moment(built.strip()) if isinstance(built, str) else built
    if isinstance(found, datetime):
        return days.seconds(found if found.tzinfo else found.replace(tzinfo=zone))
    if isinstance(found, date):
        return days.seconds(datetime(found.year, found.month, found.day, tzinfo=zone))
    if built is not None:
        wrongs.append(Refusal("built", shown(built), "Write a date or time: 2026-05-03 or 2026-05-03T07:40."))
    return None


def _moment(text: str) -> date | datetime | None:
    try:
        return date.fromisoformat(text) if len(text) == len("2026-05-03") else datetime.fromisoformat(text)
    except ValueError:
        return None


def _said(given: dict[str, Any]) -> tuple[dict[str, Any], list[Refusal]]:
    """What the file says at its top and in its tables, as one; a key told twice is wrong."""
    said = {key: value for key, value in given.items() if key not in TABLES or not isinstance(value, dict)}
    wrongs: list[Refusal] = []
    for table in TABLES:
        inner = given.get(table)
        if not isinstance(inner, dict):
            continue
        for key, value in inner.items():
            if key in said:
                wrongs.append(Refusal(f"{table}.{key}", shown(value), f"{key} stands twice: keep one."))
            said.setdefault(key, value)
    return said, wrongs


def _number(
    said: dict[str, Any], key: str, limits: tuple[float, float], wrongs: list[Refusal]
) -> float | None:
    if key not in said:
        return None
    value = said[key]
    if isinstance(value, bool) or not isinstance(value, int | float) or not limits[0] <= value <= limits[1]:
        wrongs.append(Refusal(key, shown(value), f"Give a number from {limits[0]:g} to {limits[1]:g}."))
        return None
    return float(value)


def _told(
    said: dict[str, Any],
    key: str,
    low: float,
    high: float,
    factor: float,
    usual: float,
    wrongs: list[Refusal],
) -> Told | None:
    value = _number(said, key, (low, high), wrongs)
    sd = _number(said, f"{key}_sd", (1e-3, high), wrongs)
    return None if value is None else Told(value * factor, (usual if sd is None else sd) * factor)
