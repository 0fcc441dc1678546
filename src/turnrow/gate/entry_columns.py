"""Which column of a file of entries is which field: by its heading, or as a mapping's [entries] says."""

import re
from collections.abc import Mapping
from typing import Any, Literal

import msgspec
from msgspec import Struct

from turnrow.gate.forms import KINDS, fields_of
from turnrow.gate.mapping import format_wrong
from turnrow.gate.names import near
from turnrow.gate.tables import Table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard.wrongs import refuse

WHEN = ("happened", "at", "date", "day", "datetime", "when")
WEATHER = {
    "temperature": "air", "temp": "air", "air_temperature": "air", "rainfall": "rain",
    "precipitation": "rain", "wind_speed": "wind", "wind_direction": "wind_from",
}  # fmt: skip
_UNIT_BESIDE = re.compile(r"(.+?)\s*[\[(]\s*([^\])]+?)\s*[\])]\s*")
NOT_IN_FILES = ("yard laid out", "round", "struck", "job done")


class Entries(Struct, frozen=True, forbid_unknown_fields=True):
    """What a mapping says of a file of entries."""

    kind: str = ""
    columns: dict[str, str] = {}  # field -> heading
    units: dict[str, str] = {}  # field -> unit of all its cells
    always: dict[str, str] = {}  # field -> what it is in every row
    means: dict[str, dict[str, str]] = {}  # field -> what is written -> what it stands for


class EntriesMapped(Struct, frozen=True, forbid_unknown_fields=True):
    """A mapping of a file of entries."""

    entries: Entries
    separator: Literal["", ",", ";", "\t"] = ""
    encoding: Literal["", "utf-8", "cp1252", "latin-1"] = ""
    sheet: str = ""
    skip_rows: int = 0
    date_format: str = ""


EXAMPLE = """\
# How to read a file with an entry a row: weather, scale tickets, a diary from a spreadsheet.
# Columns named as an entry's fields need no mapping: `turnrow take FILE --kind weather`.
[entries]
kind = "load in"
columns = { happened = "Date", load = "Ticket", material = "Goods", amount = "Net" }
units = { amount = "kg" }
always = { how = "weighed" }
means.material = { "FYM" = "cattle farmyard manure" }
# date_format = "%d/%m/%Y"   # above [entries]; empty: ISO, or a date whose order some row settles
"""


def is_entry_file(headings: tuple[str, ...], mapping: Mapping[str, Any] | None, kind: str) -> bool:
    """Whether a file of these headings has an entry a row: by mapping, kind, or as weather."""
    if mapping is not None or kind:
        return bool(kind) or "entries" in (mapping or {})
    names = {_split(one)[0] for one in headings}
    dated = names & set(WHEN)
    return bool(dated and ("kind" in names or _weather(names)))


def entries_mapping(mapping: Mapping[str, Any] | None) -> EntriesMapped:
    if mapping is None:
        return EntriesMapped(Entries())
    try:
        found = msgspec.convert(dict(mapping), EntriesMapped)
    except (msgspec.ValidationError, RecursionError) as wrong:
        raise refuse(
            "the mapping", str(wrong), "Write it as `turnrow take --example` prints it, with [entries]."
        ) from wrong
    if found.date_format and format_wrong(found.date_format):
        raise refuse("the mapping, date_format", found.date_format, format_wrong(found.date_format))
    if not 0 <= found.skip_rows <= 10_000:
        raise refuse("the mapping, skip_rows", found.skip_rows, "Write how many rows to pass over.")
    return found


def _split(heading: str) -> tuple[str, str]:
    """A heading as a field's name and the unit beside it: "Rain (mm)" is rain, mm."""
    beside = _UNIT_BESIDE.fullmatch(heading)
    name, unit = (beside[1], beside[2]) if beside else (heading, "")
    return re.sub(r"[\s-]+", "_", name.strip().casefold()), unit


def _weather(names: set[str]) -> bool:
    """Whether columns of these names are weather's: air, rain or wind, and nothing of readings."""
    fields = {one.name for one in fields_of("weather")}
    found = {_as_field(WEATHER.get(name, name), fields)[0] for name in names}
    return bool(found & {"air", "rain", "wind"}) and not found & {"value", "station", "row"}


def _as_field(name: str, fields: set[str]) -> tuple[str, str]:
    """The field a heading means and the unit behind it: "amount_kg" is amount, kg."""
    if name in fields:
        return name, ""
    start, _, unit = name.rpartition("_")
    start = WEATHER.get(start, start) if "rain" in fields else start
    return (start, unit) if f"{start}_unit" in fields else (name, "")


def kinds_of(table: Table, given: str, wrongs: WrongsList) -> list[str]:
    """The kind of each row; "" where it is none, which goes to `wrongs`, or where the row is empty."""
    heading = next((one for one in table.headings if _split(one)[0] == "kind"), "")
    if given or not heading:
        wanted = given or ("weather" if _weather({_split(one)[0] for one in table.headings}) else "")
        return [_kind(table.name, wanted, wrongs)] * len(table)
    cells = [str(cell or "") for cell in table.column(heading)]
    empty = [all(column[i] is None for column in table.columns) for i in range(len(table))]
    return [
        "" if empty[place] else _kind(f"row {table.first + place}, column {heading}", cell, wrongs)
        for place, cell in enumerate(cells)
    ]


def _kind(where: str, written: str, wrongs: WrongsList) -> str:
    kind = written.strip().casefold().replace("-", " ")
    if kind.replace(" ", "-") in KINDS and kind not in NOT_IN_FILES:
        return kind
    do = f"{near(written, KINDS)} Head a column kind, or give --kind: load-in, weather, turned, watered ..."
    wrongs.add(where, written or "no kind", do)
    return ""


def columns_of(
    table: Table, asked: Entries, kinds: set[str], wrongs: WrongsList
) -> tuple[dict[str, tuple[str, str]], str]:
    """Each field's heading and unit; and the headings that belong to no field, as told to a person."""
    fields = {one.name for kind in kinds for one in fields_of(kind)}
    own = tuple(one[:-1] for one in fields if one.endswith(".*"))
    for where, given in (("columns", asked.columns), ("always", asked.always), ("units", asked.units)):
        for name in given:
            if name not in fields and not name.startswith(own):
                wrongs.add(f"the mapping, {where}", name, f"Fields are {', '.join(sorted(fields))}.")
    found: dict[str, tuple[str, str]] = {}
    for name, heading in asked.columns.items():
        if heading not in table.headings:
            wrongs.add(
                f"the mapping, columns, {name}", heading, f"Headings are {', '.join(table.headings[:12])}."
            )
            continue
        found[name] = heading, asked.units.get(name, "")
    over: list[str] = []
    for heading in table.headings:
        if not heading or heading in asked.columns.values():
            continue
        name, beside = _split(heading)
        if kinds == {"weather"}:
            name = WEATHER.get(name, name)
        name = "happened" if name in WHEN else name
        field, unit = _as_field(name, fields)
        if field in found:
            wrongs.add(f"{table.name}, row {table.first - 1}", heading, f"Keep one column of {field}.")
        elif field in fields or field.startswith(own):
            found[field] = heading, beside or unit or asked.units.get(field, "")
        elif field != "kind":
            over.append(heading)
    if "happened" not in found:
        do = "Head one column with happened, or name it in a mapping."
        wrongs.add(f"{table.name}, row {table.first - 1}", ", ".join(table.headings[:8]), do)
    return found, f"passed over: {', '.join(over[:10])}." if over else ""
