"""The mapping to write for a file whose columns are not the desk's, filled with its own names."""

import re

import msgspec
import polars as pl

from turnrow.gate.tables import Table

SAMPLE = 200
_TIME = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}([ T].*)?")
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}([ T]\d{2}:\d{2}.*)?")
_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?\s*(°?\s*[CFK])?")
_UNIT = re.compile(r"(?:^|[\s_(\[°-])(?:deg ?)?([CFK])[\])]?$")
_OUTSIDE = re.compile(r"outside|outdoor|ambient air|\bair\b|_air|air_|weather", re.IGNORECASE)
_ROW = ("row", "pile", "heap", "windrow", "group")
_STATION = ("station", "probe", "sensor", "replicate", "position", "point")
_EVENT = ("event", "events", "remark", "remarks", "note", "notes", "action")
_DEPTH = ("depth", "depth_cm", "depth cm")


def suggestion(table: Table) -> str:
    """TOML that reads `table`; what the file does not say stands as a comment to be filled in."""
    sample = {
        h: column.slice(0, SAMPLE).drop_nulls()
        for h, column in zip(table.headings, table.columns, strict=True)
    }
    free = [heading for heading in table.headings if heading and table.headings.count(heading) == 1]
    lines: list[str] = []
    row = _named(free, _ROW)
    if row:
        lines += [f"row_column = {_quoted(row)}", ""]
        free.remove(row)
    lines += _time(free, sample)
    event = _named(free, _EVENT)
    if event:
        free.remove(event)
    station, depth = _named(free, _STATION), _named(free, _DEPTH)
    unit = _named(free, ("unit", "units"))
    free = [heading for heading in free if heading not in (station, depth, unit)]
    lines += _readings(free, sample, station, depth, unit)
    if event:
        lines += _event(event, table.column(event))
    return "\n".join(lines)


def _named(headings: list[str], names: tuple[str, ...]) -> str:
    return next((heading for heading in headings if heading.casefold() in names), "")


def _quoted(text: str) -> str:
    return msgspec.json.encode(text).decode()  # a JSON text is a TOML basic string


def _time(free: list[str], sample: dict[str, pl.Series]) -> list[str]:
    """The [time] part; takes its columns out of `free`."""
    dated = [h for h in free if len(sample[h]) and all(_TIME.fullmatch(cell) for cell in sample[h])]
    if dated:
        column = dated[0]
        free.remove(column)
        iso = all(_ISO.fullmatch(cell) for cell in sample[column])
        clock = next((h for h in free if h.casefold() in ("time", "clock", "hour")), "")
        if clock and not any(len(cell) > 10 for cell in sample[column]):
            free.remove(clock)
            named = f"column = [{_quoted(column)}, {_quoted(clock)}]"
        else:
            named = f"column = {_quoted(column)}"
        form = 'format = "iso"' if iso else '# format = "%d/%m/%Y %H:%M"   # write the order of the date'
        return ["[time]", named, form, ""]
    counted = next((h for h in free if h.casefold() in ("day", "days", "day no")), "")
    if counted:
        free.remove(counted)
        return [
            "[time]",
            f"day_column = {_quoted(counted)}",
            "# day_one = 2026-05-03   # write the date of day 1",
            "",
        ]
    return ["[time]", '# column = "..."   # write which column tells the time', ""]


def _readings(
    free: list[str], sample: dict[str, pl.Series], station: str, depth: str, unit: str
) -> list[str]:
    lines: list[str] = []
    for heading in free:
        cells = sample[heading]
        if not len(cells) or not all(_NUMBER.fullmatch(cell) for cell in cells):
            continue
        found = _UNIT.search(heading)
        name = _UNIT.sub("", heading).strip(" _-()[]") or heading
        told = [f"column = {_quoted(heading)}"]
        told.append(
            f"station_column = {_quoted(station)}" if station else f"station = {_quoted(_name(name))}"
        )
        told += [f"depth_column = {_quoted(depth)}"] if depth else []
        if unit:
            told.append(f"unit_column = {_quoted(unit)}")
        else:
            told.append(f'unit = "{found[1]}"' if found else '# unit = "C"   # write C, F or K')
        if _OUTSIDE.search(heading):
            lines += [
                "# not taken: it reads as the air outside",
                *(f"# {one}" for one in ("[[reading]]", *told)),
                "",
            ]
        else:
            lines += ["[[reading]]", *told, ""]
    return lines or ["[[reading]]", '# column = "..."   # write which column holds the temperatures', ""]


def _name(text: str) -> str:
    kept = re.sub(r"[^\w .#/-]+", " ", text).strip(" .#/-_")
    return kept[:40] or "1"


def _event(heading: str, column: pl.Series) -> list[str]:
    values = column.drop_nulls().unique(maintain_order=True).to_list()
    lines = ["[event]", f"column = {_quoted(heading)}", "[event.means]"]
    for value in values[:40]:
        turned, watered = "turn" in value.casefold(), "water" in value.casefold()
        if turned and watered:
            lines.append(f'{_quoted(value)} = ["turned", "note"]   # or ["turned", "watered 10 L"]')
        else:
            lines.append(f'{_quoted(value)} = "{"turned" if turned else "note"}"')
    return [*lines, ""]
