"""A heap as its yard would describe it for an outlook: size, blend and moisture, each optional."""

import tomllib
from dataclasses import dataclass
from typing import Any

from turnrow.heap.known import Blend, Section, Told
from turnrow.yard.wrongs import Refusal, Refused, refuse, shown

SIZE = {"length_m": (0.2, 1000.0), "base_m": (0.3, 30.0), "height_m": (0.3, 12.0), "volume_m3": (0.05, 1e5)}
BLEND = {  # key -> low, high, factor to the model's unit, one standard deviation where none is given
    "moisture_pct": (5.0, 90.0, 0.01, 4.0),
    "cn": (5.0, 400.0, 1.0, 4.0),
    "density_kg_m3": (50.0, 1500.0, 1.0, 80.0),
    "organic_pct": (5.0, 99.0, 0.01, 6.0),
    "temp_c": (-40.0, 70.0, 1.0, 3.0),
}
OTHERS = ("built", "covered", "kind", "material", "name")


@dataclass(frozen=True)
class Described:
    """What a file says of a heap; known: whether its size is among it."""

    section: Section
    blend: Blend
    covered: bool
    known: bool
    notices: tuple[str, ...]


def read_described(data: bytes, name: str) -> Described:
    """The description in a TOML file, at its top or under [heap]; what is measured may have KEY_sd beside it.

    Raises Refused with every number that is none or out of reach; other keys are passed over and told.
    """
    try:
        given = tomllib.loads(data.decode())
    except (ValueError, RecursionError) as told:
        raise refuse(name, str(told), "Write TOML.") from told
    inner = given.get("heap", {})
    said: dict[str, Any] = {**given, **inner} if isinstance(inner, dict) else dict(given)
    said.pop("heap", None)
    wrongs: list[Refusal] = []
    size = {key: _number(said, key, limits, wrongs) for key, limits in SIZE.items()}
    told_of = {key: _told(said, key, *about, wrongs) for key, about in BLEND.items()}
    covered = said.get("covered", False)
    if not isinstance(covered, bool):
        wrongs.append(Refusal("covered", shown(covered), "Write true or false."))
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
    return Described(section, blend, bool(covered), known, notices)


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
