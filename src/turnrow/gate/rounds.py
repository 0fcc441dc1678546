"""A round as typed: one text for all stations, or one field a station."""

import re
from collections.abc import Iterator

from turnrow.gate.amounts import DEGREES, amount
from turnrow.gate.codes import depth_mm
from turnrow.gate.fields import Fields
from turnrow.gate.names import name_wrong
from turnrow.gate.numbers_in import unit_code
from turnrow.yard.entries import Reading
from turnrow.yard.readings import NO_DEPTH
from turnrow.yard.temperature import UNITS, Unit

_READING = re.compile(r"([^@:=]+)(?:@\s*([^:=]+))?\s*[:=]\s*(.+)")
_HOLDS = 'stations with what was read: "1@90:54.9, 2@90:61.5" (station, depth in cm, value)'
MOST = 400


def readings_of(fields: Fields) -> tuple[Unit, tuple[Reading, ...]]:
    """The readings of a round and their unit; a station left blank is one not read.

    Fields: `readings`, or `station.NAME` and `station.NAME@DEPTH`; `depth_cm` where a reading says
    none; `unit` where no reading says one.
    """
    text = fields.text("readings", _HOLDS, longest=20_000)
    own = fields.own("station", "one station's reading; the name may end in @ and the depth in cm")
    depth = _depth(fields, "depth_cm", fields.text("depth_cm", "depth in cm where a reading says none"))
    said = fields.text("unit", "C, F or K, where no reading says one")
    given = [*_in_text(fields, text), *_in_fields(own)]
    default = _default_unit(fields, said, [value for _, _, _, value in given])
    found: list[Reading] = []
    units: dict[str, str] = {}
    for where, station, at, value in given:
        if name_wrong(station):
            fields.wrong(where, station, name_wrong(station))
            continue
        read = amount(value, DEGREES, default)
        if isinstance(read, str):
            ask = "Write the unit: unit=C, F or K." if _bare(value) and not default else read
            fields.wrong(where, value, ask)
            continue
        units.setdefault(read.unit, where)
        found.append(Reading(station, _depth(fields, where, at) if at else depth, read.value))
    if not text and not own and not fields.has("skipped"):
        fields.wrong("readings", "nothing", "Write what was read, or the stations skipped.")
    _whole(fields, found, units)
    unit = next(iter(units), "C")
    return UNITS[UNITS.index(unit)] if unit in UNITS else "C", tuple(found)


def _default_unit(fields: Fields, said: str, values: list[str]) -> str:
    """The round's unit where a reading has none: the field's, or the only one any reading has."""
    if said:
        code = unit_code(said)
        if code is None:
            fields.wrong("unit", said, "Write C, F or K.")
        return "" if code is None else UNITS[code]
    read = [amount(value, DEGREES) for value in values]
    units = {one.unit for one in read if not isinstance(one, str)}
    return next(iter(units)) if len(units) == 1 else ""


def _bare(value: str) -> bool:
    return bool(re.fullmatch(r"[+\-\u2212]?[0-9.,]+", value.strip()))


def _depth(fields: Fields, where: str, text: str) -> int:
    if not text:
        return NO_DEPTH
    found = depth_mm(re.sub(r"\s*cm$", "", text.strip()))
    if isinstance(found, str):
        fields.wrong(where, text, found)
        return NO_DEPTH
    return found


def _in_text(fields: Fields, text: str) -> Iterator[tuple[str, str, str, str]]:
    mark = ";" if ";" in text else ","
    for one in filter(None, (part.strip() for part in text.split(mark))):
        found = _READING.fullmatch(one)
        if found:
            yield "readings", found[1].strip(), (found[2] or "").strip(), found[3].strip()
        else:
            fields.wrong("readings", one, f"Write {_HOLDS}; part them with ; when you write 54,9.")


def _in_fields(own: dict[str, str]) -> Iterator[tuple[str, str, str, str]]:
    for name, value in own.items():
        station, _, depth = name.partition("@")
        yield f"station.{name}", station.strip(), depth.strip(), value


def _whole(fields: Fields, found: list[Reading], units: dict[str, str]) -> None:
    if len(units) > 1:
        fields.wrong("unit", " and ".join(units), "One round has one unit; write two rounds.")
    if len(found) > MOST:
        fields.wrong("readings", f"{len(found)} readings", f"A round may have {MOST}.")
    places = [(one.station, one.depth_mm) for one in found]
    twice = sorted({station for (station, depth) in places if places.count((station, depth)) > 1})
    if twice and len(found) <= MOST:
        fields.wrong("readings", ", ".join(twice), "Read each station once in a round at one depth.")
