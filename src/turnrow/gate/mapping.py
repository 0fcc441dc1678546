"""How to read one logger's file: which column is which. A TOML file, or the desk's own columns."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any, Literal

import msgspec
from msgspec import Struct

from turnrow.gate.toml_file import toml_of_text
from turnrow.yard import days
from turnrow.yard.numbers import DECIMALS
from turnrow.yard.wrongs import Refused, refuse

DIRECTIVES = frozenset("YymdHMSbBIpfz%")  # of a time's format; all are numbers or English names
_OFFSET = re.compile(r"[+-](0\d|1[0-4]):[0-5]\d")


class TimeColumns(Struct, frozen=True, forbid_unknown_fields=True):
    """When: a column (or a date and a time column), or a count of days from a first day."""

    column: str | list[str] = ""
    format: str = ""  # empty: ISO, or a date whose order some row settles; "excel": serial days
    day_column: str = ""
    day_one: date | None = None


class ReadingColumn(Struct, frozen=True, forbid_unknown_fields=True):
    """One column of temperatures, where it was read and in what unit."""

    column: str
    station: str = ""
    station_column: str = ""
    depth_cm: str | float | int = ""
    depth_column: str = ""
    unit: str = ""
    unit_column: str = ""


class EventColumn(Struct, frozen=True, forbid_unknown_fields=True):
    """A column of remarks; what each of them means."""

    column: str
    means: dict[str, str | list[str]] = {}


class Mapped(Struct, frozen=True, forbid_unknown_fields=True):
    """A mapping as read and checked."""

    time: TimeColumns = TimeColumns()
    reading: list[ReadingColumn] = []
    event: EventColumn | None = None
    row: str = ""
    row_column: str = ""
    zone: str = ""
    decimal: Literal["", "point", "comma"] = ""
    decimals: int = DECIMALS  # kept; what is finer is cut to the strict side
    separator: Literal["", ",", ";", "\t"] = ""
    encoding: Literal["", "utf-8", "cp1252", "latin-1"] = ""
    sheet: str = ""
    skip_rows: int = 0
    missing: list[str] = []


DESK = Mapped(
    time=TimeColumns(column="at"),
    reading=[ReadingColumn("value", station_column="station", depth_column="depth_cm", unit_column="unit")],
    row_column="row",
)
DESK_NEEDS = ("at", "value", "unit")
DESK_MAY = ("station", "depth_cm", "row")


def mapping_from(text: str, name: str = "the mapping") -> dict[str, Any]:
    """The mapping in a TOML file. Raises Refused when it is no TOML."""
    do = "Write TOML, as `turnrow take --example` prints it; texts stand in quotes."
    return toml_of_text(text, name, do)


def mapped(mapping: Mapping[str, Any] | None) -> Mapped:
    """The mapping checked; with none, what a table needs to be opened at all."""
    if mapping is None:
        return Mapped()
    try:
        found = msgspec.convert(dict(mapping), Mapped)
    except (msgspec.ValidationError, RecursionError) as wrong:
        raise refuse("the mapping", str(wrong), "Write it as `turnrow take --example` prints it.") from wrong
    wrongs = [*_time_wrongs(found.time), *_reading_wrongs(found), *_other_wrongs(found)]
    if wrongs:
        raise Refused(one.refusals[0] for one in wrongs)
    return found


def _time_wrongs(time: TimeColumns) -> list[Refused]:
    wrongs = []
    if bool(time.column) == bool(time.day_column):
        wrongs.append(
            refuse("the mapping, [time]", "no one way to tell the time", "Name either column or day_column.")
        )
    if time.day_column and time.day_one is None:
        wrongs.append(
            refuse("the mapping, [time] day_one", "nothing", "Write the date of day 1: day_one = 2026-05-03")
        )
    if isinstance(time.column, list) and len(time.column) != 2:
        wrongs.append(
            refuse("the mapping, [time] column", time.column, 'Name one column, or two: ["Date", "Time"].')
        )
    if time.format not in ("", "iso", "excel"):
        wrong = format_wrong(time.format)
        if wrong:
            wrongs.append(refuse("the mapping, [time] format", time.format, wrong))
    return wrongs


def format_wrong(form: str) -> str:
    """What is wrong with a time's format; empty when nothing is."""
    used = re.findall(r"%(.?)", form)
    odd = [mark for mark in used if mark not in DIRECTIVES]
    if odd:
        return f"It may use {' '.join('%' + mark for mark in sorted(DIRECTIVES - {'%'}))}."
    if len(set(used)) != len(used):
        return "Each part may stand once."
    if not set("Yy") & set(used) or not set("mbB") & set(used) or "d" not in used:
        return 'It needs year, month and day, such as "%d/%m/%Y %H:%M".'
    if ("I" in used) != ("p" in used):
        return "%I (hour to 12) and %p (AM or PM) go together."
    return ""


def _reading_wrongs(found: Mapped) -> list[Refused]:
    if not found.reading:
        return [refuse("the mapping", "no [[reading]]", "Name at least one column of temperatures.")]
    wrongs = []
    for one in found.reading:
        where = f"the mapping, [[reading]] column {one.column}".rstrip()
        if not one.column:
            wrongs.append(refuse(where, "nothing", "Name the column of temperatures as its heading says."))
        if one.unit and one.unit_column:
            wrongs.append(refuse(where, "unit and unit_column", "Keep one of the two."))
        if one.station and one.station_column:
            wrongs.append(refuse(where, "station and station_column", "Keep one of the two."))
    return wrongs


def _other_wrongs(found: Mapped) -> list[Refused]:
    wrongs = []
    if found.event and not found.event.column:
        wrongs.append(refuse("the mapping, [event] column", "nothing", "Name the column of remarks."))
    if not 0 <= found.decimals <= DECIMALS:
        wrongs.append(
            refuse("the mapping, decimals", found.decimals, f"Write a whole number from 0 to {DECIMALS}.")
        )
    if not 0 <= found.skip_rows <= 10_000:
        wrongs.append(refuse("the mapping, skip_rows", found.skip_rows, "Write how many rows to pass over."))
    if found.row and found.row_column:
        wrongs.append(refuse("the mapping", "row and row_column", "Keep one of the two."))
    if found.zone and not _OFFSET.fullmatch(found.zone):
        try:
            days.zone(found.zone)
        except ValueError as wrong:
            wrongs.append(refuse("the mapping, zone", found.zone, f"{wrong}, or an offset such as +01:00."))
    return wrongs


EXAMPLE = """\
# How to read one logger's file. Give it to `turnrow take FILE --map THIS.toml`.
# A file whose columns are at, station, depth_cm, value, unit (and row) needs no mapping.

# row = "R7"                 # the row all of it belongs to; or: row_column = "pile"
# zone = "Europe/Dublin"     # of times without an offset; the yard's own zone when left out.
#                            # A logger that never changes to summer time: zone = "+00:00"
# decimal = "comma"          # 63,4; found by itself where it is plain
# decimals = 2               # keep so many; what is finer is cut to the strict side of every limit
# separator = ";"            # found by itself
# encoding = "cp1252"        # for files of old Windows programs
# skip_rows = 2              # rows above the headings
# missing = ["---", "NA"]    # cells that mean: nothing read
# sheet = "Log"              # of a workbook; the first when left out

[time]
column = "datetime"          # or two: column = ["Date", "Time"]
format = "iso"               # or such as "%d/%m/%Y %H:%M"; "excel" for serial days
# day_column = "day"         # instead of column: whole days counted from
# day_one = 2026-05-03       # this date, which is day 1

[[reading]]                  # one for each column of temperatures that is the row's own
column = "core_C"
station = "1"                # or: station_column = "probe"
depth_cm = 60                # or: depth_column = "depth"; may be left out
unit = "C"                   # C, F or K; or: unit_column = "unit"

[event]                      # may be left out
column = "event"
[event.means]                # turned | watered with its amount | note | pass over
"turned" = "turned"
"turned + water added" = ["turned", "watered 10 L"]
"opened lid" = "note"
"""
