"""A file of temperatures as readings: a logger's log, or a table typed by hand."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import polars as pl
from numpy.typing import NDArray

from turnrow.gate import mapping as maps
from turnrow.gate.codes import Codes, depth_codes, name_codes, unit_codes
from turnrow.gate.happenings import Happening, read_happenings
from turnrow.gate.mapping import DESK, DESK_MAY, DESK_NEEDS, Mapped, ReadingColumn, TimeColumns
from turnrow.gate.moments import Moments, read_moments
from turnrow.gate.names import name_wrong
from turnrow.gate.numbers_in import NO_UNIT, decimal_sign, read_values
from turnrow.gate.suggest import suggestion
from turnrow.gate.tables import Table, read_table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.gate.zones import clock_named
from turnrow.yard import days, readings
from turnrow.yard.readings import Readings
from turnrow.yard.wrongs import refuse

MOST_READINGS = 20_000_000
MOST_SHOWN = 5  # rows of one notice


@dataclass(frozen=True, eq=False)
class Intake:
    """What a file says, nothing yet written anywhere.

    rows        readings by row; under "" where neither file nor caller names one. `line` is 0 and
                `item` the row of the file as a spreadsheet shows it
    happenings  turns, waterings and remarks of an event column, in the order of the file
    notices     what was passed over or taken for granted, one sentence each
    """

    name: str
    hash: str
    rows: dict[str, Readings]
    happenings: tuple[Happening, ...]
    notices: tuple[str, ...]


def read_temperatures(
    data: bytes, name: str, *, zone: ZoneInfo, mapping: Mapping[str, Any] | None = None, row: str = ""
) -> Intake:
    """The readings in a file.

    zone     the yard's; times without a zone are on its clock, unless the mapping names another
    mapping  how to read a file whose columns are not the desk's (see `turnrow take --example`)
    row      the row all of it belongs to, where the file does not say
    Raises Refused with everything that is wrong.
    """
    mapped = maps.mapped(mapping)
    table = read_table(data, name, mapped)
    if mapping is None:
        mapped = _desk(table)
    wrongs, notices = WrongsList(name), list[str]()
    _check_columns(table, mapped, row, wrongs)
    wrongs.raise_any()
    _passed_over(table, mapped, notices)
    rows = _rows(table, mapped, row, wrongs)
    parts = _Parts(table, mapped, zone, rows, wrongs, notices)
    found = parts.read()
    happenings = read_happenings(table, mapped, parts.moments, rows, wrongs) if mapped.event else ()
    wrongs.raise_any()
    _count(parts, notices)
    if not any(len(one) for one in found.values()) and not happenings:
        raise refuse(name, "no reading", "Every cell of the value columns is empty.")
    return Intake(name, hashlib.sha256(data).hexdigest(), found, happenings, tuple(notices))


def _desk(table: Table) -> Mapped:
    """The desk's own columns, whatever their case; Refused with the mapping to write otherwise."""
    folded = [heading.casefold() for heading in table.headings]
    if not set(DESK_NEEDS) <= set(folded):
        raise refuse(
            f"{table.name}, row {table.first - 1}",
            ", ".join(table.headings),
            "Name the columns at, station, depth_cm, value, unit. `turnrow take` reads other headings too, "
            "rows of loads, turns and the like with --kind; temperatures with --map and this in a file, "
            f"what is left open filled in:\n\n{suggestion(table)}",
        )

    def own(name: str) -> str:
        return table.headings[folded.index(name)] if name in folded else ""

    value = ReadingColumn(
        own("value"), station_column=own("station"), depth_column=own("depth_cm"), unit_column=own("unit")
    )
    return Mapped(time=TimeColumns(column=own("at")), reading=[value], row_column=own("row"))


def _used(mapped: Mapped) -> list[str]:
    time = mapped.time.column or mapped.time.day_column
    used = [*(time if isinstance(time, list) else [time]), mapped.row_column]
    for one in mapped.reading:
        used += [one.column, one.station_column, one.depth_column, one.unit_column]
    used.append(mapped.event.column if mapped.event else "")
    return [name for name in dict.fromkeys(used) if name]


def _check_columns(table: Table, mapped: Mapped, row: str, wrongs: WrongsList) -> None:
    where = f"{table.name}, row {table.first - 1}"
    for name in _used(mapped):
        times = table.headings.count(name)
        if times == 0:
            wrongs.add(where, f"no column {name}", f"It has {', '.join(table.headings[:30])}.")
        elif times > 1:
            wrongs.add(where, f"{times} columns named {name}", "Give each column its own name.")
    columns = [one.column for one in mapped.reading]
    for name in {name for name in columns if columns.count(name) > 1}:
        wrongs.add("the mapping", f"column {name} twice", "Name each column of temperatures once.")
    if row and mapped.row and mapped.row != row:
        wrongs.add("--row", f"{row}, and the mapping says {mapped.row}", "Keep one of the two.")
    for name in (row, mapped.row):
        if name and name_wrong(name):
            wrongs.add("the row's name", name, name_wrong(name))


def _passed_over(table: Table, mapped: Mapped, notices: list[str]) -> None:
    used = _used(mapped)
    others = [heading for heading in table.headings if heading and heading not in used]
    if others:
        shown = ", ".join(others[:10]) + (f" and {len(others) - 10} more" if len(others) > 10 else "")
        notices.append(f"passed over: {shown}.")


def _rows(table: Table, mapped: Mapped, row: str, wrongs: WrongsList) -> Codes:
    """Which row each line of the file is of."""
    if not mapped.row_column:
        return Codes.all_one(row or mapped.row, len(table))
    codes = name_codes(table.column(mapped.row_column), mapped.row_column, table.first, wrongs)
    others = [name for name in codes.names if name and name != row]
    if row and others:
        wrongs.add("--row", row, f"The file itself names {', '.join(others[:5])}; leave --row away.")
    return codes.named_instead("", row) if row else codes


class _Parts:
    """The reading columns of one file, one after the other."""

    def __init__(
        self,
        table: Table,
        mapped: Mapped,
        zone: ZoneInfo,
        rows: Codes,
        wrongs: WrongsList,
        notices: list[str],
    ) -> None:
        self._table, self._mapped, self._zone, self._rows = table, mapped, zone, rows
        self._wrongs, self._notices = wrongs, notices
        self.empty = self.cut = 0
        self.empty_rows: set[int] = set()
        self.moments: Moments

    def read(self) -> dict[str, Readings]:
        missing = self._mapped.missing
        cells = {one.column: self._cells(one.column, missing) for one in self._mapped.reading}
        placed = [self._place(one) for one in self._mapped.reading]
        self.moments = self._times(placed[0])
        sign = decimal_sign(cells, self._mapped.decimal, self._table.first, self._wrongs, self._notices)
        if not sign:  # refused already; read on to tell what else is wrong
            cells = {name: column.str.replace(",", ".", literal=True) for name, column in cells.items()}
        comma = sign == ","
        parts = [
            self._part(one, cells[one.column], stations, depths, comma)
            for one, (stations, depths) in zip(self._mapped.reading, placed, strict=True)
        ]
        if self._wrongs:
            return {}
        return self._by_row([part for part in parts if len(part[0].at)])

    def _cells(self, column: str, missing: list[str]) -> pl.Series:
        cells = self._table.column(column)
        return cells.set(cells.is_in(missing).fill_null(False), None) if missing else cells

    def _place(self, one: ReadingColumn) -> tuple[Codes, NDArray[np.int32]]:
        """Station and depth of each line of the file, for one reading column."""
        first, n = self._table.first, len(self._table)
        if one.station_column:
            column = self._table.column(one.station_column)
            stations = name_codes(column, one.station_column, first, self._wrongs).named_instead("", "1")
        else:
            name = one.station or "1"
            if name_wrong(name):
                self._wrongs.add("the mapping, station", name, name_wrong(name))
            stations = Codes.all_one(name, n)
        if one.depth_column:
            depths = depth_codes(self._table.column(one.depth_column), one.depth_column, first, self._wrongs)
        else:
            same = pl.Series([str(one.depth_cm) or None], dtype=pl.String)
            depths = np.repeat(depth_codes(same, "depth_cm of the mapping", 1, self._wrongs), n)
        return stations, depths

    def _times(self, placed: tuple[Codes, NDArray[np.int32]]) -> Moments:
        time, table = self._mapped.time, self._table
        names = time.column or time.day_column
        if isinstance(names, list):
            columns = [table.column(name) for name in names]
            cells = (columns[0] + " " + columns[1]).alias("at")
            for lacking in (~columns[1].is_null() & columns[0].is_null()).arg_true():
                self._wrongs.add(
                    f"row {table.first + lacking}, column {names[0]}", "nothing", "Write the date."
                )
            cells = cells.set(cells.is_null() & columns[0].is_not_null(), None)
            column = f"{names[0]} and {names[1]}"
        else:
            cells, column = table.column(names), names
        stations, depths = placed
        series = (self._rows.code.astype(np.int64) * len(stations.names) + stations.code) * 100_000 + depths
        return read_moments(
            cells,
            column,
            time,
            clock=clock_named(self._mapped.zone, self._zone),
            yard_zone=self._zone,
            series=series,
            first=table.first,
            workbook=table.workbook,
            wrongs=self._wrongs,
            notices=self._notices,
        )

    def _part(
        self, one: ReadingColumn, cells: pl.Series, stations: Codes, depths: NDArray[np.int32], comma: bool
    ) -> tuple[Readings, NDArray[np.int32]]:
        """The readings of one column, and the row each is of."""
        first, wrongs = self._table.first, self._wrongs
        values = read_values(
            cells, one.column, comma=comma, decimals=self._mapped.decimals, first=first, wrongs=wrongs
        )
        unit = self._units(one, cells, values.unit)
        filled = cells.is_not_null().to_numpy()
        untold = self._untold()
        empty = np.flatnonzero(~filled & ~untold)
        self.empty += len(empty)
        self.empty_rows.update((first + empty[:MOST_SHOWN]).tolist())
        self.cut += values.cut
        lost = np.flatnonzero(filled & untold)
        wrongs.add_rows(first + lost, self._time_column(), "nothing", "Write when it was read.")
        self._lacking(one, filled)
        good = values.good & self.moments.good & (unit != NO_UNIT)
        at = self.moments.at[good]
        return Readings(
            at=at,
            day=days.days_of(at, self._zone),
            station=stations.code[good],
            depth=depths[good],
            value=values.value[good],
            unit=unit[good],
            timed=self.moments.timed[good],
            line=np.zeros(len(at), dtype=np.int32),
            item=(first + np.flatnonzero(good)).astype(np.int32),
            stations=stations.names,
        ), self._rows.code[good]

    def _lacking(self, one: ReadingColumn, filled: NDArray[np.bool_]) -> None:
        """Readings without the station or depth that other rows have: of which place they are is not told."""
        first = self._table.first
        for name in (one.station_column, one.depth_column):
            empty = self._table.column(name).is_null().to_numpy() if name else np.ones(0, dtype=np.bool_)
            if empty.all():
                continue
            rows = first + np.flatnonzero(filled & empty)
            if name == one.station_column:
                self._wrongs.add_rows(rows, name, "nothing", "Write the station, as in the other rows.")
            elif len(rows):
                self._notices.append(f"no {name} in {_rows_said(rows[:MOST_SHOWN].tolist(), len(rows))}.")

    def _untold(self) -> NDArray[np.bool_]:
        """(n,) lines of the file whose time cell is empty."""
        names = self._mapped.time.column or self._mapped.time.day_column
        columns = [self._table.column(n) for n in (names if isinstance(names, list) else [names])]
        empty: NDArray[np.bool_] = np.logical_or.reduce([c.is_null().to_numpy() for c in columns])
        return empty

    def _time_column(self) -> str:
        names = self._mapped.time.column or self._mapped.time.day_column
        return names if isinstance(names, str) else " and ".join(names)

    def _units(self, one: ReadingColumn, cells: pl.Series, in_cell: NDArray[np.int8]) -> NDArray[np.int8]:
        """The unit of each cell: its own, the unit column's or the mapping's; two that differ are wrong."""
        first, wrongs = self._table.first, self._wrongs
        if one.unit_column:
            said = unit_codes(self._table.column(one.unit_column), one.unit_column, first, wrongs)
        else:
            same = pl.Series([one.unit or None], dtype=pl.String)
            said = np.repeat(unit_codes(same, "unit of the mapping", 1, wrongs), len(cells))
        unit = np.where(in_cell == NO_UNIT, said, in_cell).astype(np.int8)
        other = np.flatnonzero((in_cell != NO_UNIT) & (said != NO_UNIT) & (in_cell != said))
        wrongs.add_rows(first + other, one.column, "a unit other than the column's", "Keep one of the two.")
        untold = same.is_null() if not one.unit_column else self._table.column(one.unit_column).is_null()
        lacking = np.flatnonzero(cells.is_not_null().to_numpy() & (unit == NO_UNIT) & untold.to_numpy())
        if one.unit_column or not len(lacking):
            wrongs.add_rows(first + lacking, one.unit_column or one.column, "no unit", "Write C, F or K.")
        else:
            wrongs.add(
                f"column {one.column}", "no unit", 'Write unit = "C" (or F, K) under it in the mapping.'
            )
        return unit

    def _by_row(self, parts: list[tuple[Readings, NDArray[np.int32]]]) -> dict[str, Readings]:
        names = self._rows.names
        found = {}
        for code, name in enumerate(names):
            mine = [part if (of == code).all() else part.pick(of == code) for part, of in parts]
            together = readings.together(mine)
            if len(together) > MOST_READINGS:
                raise refuse(
                    self._table.name, f"{len(together)} readings", "Split the file and take the parts."
                )
            if len(together):
                found[name] = together
        return found


def _rows_said(rows: list[int], count: int) -> str:
    """ "row 7", or "rows 7, 9 and 3 more"."""
    more = f" and {count - len(rows)} more" if count > len(rows) else ""
    return f"row{'s' if count > 1 else ''} {', '.join(str(row) for row in rows)}{more}"


def _count(parts: _Parts, notices: list[str]) -> None:
    if parts.empty:
        rows = sorted(parts.empty_rows)[:MOST_SHOWN]
        cells = "cell" if parts.empty == 1 else "cells"
        where = f"{'in' if parts.empty == len(rows) else 'first in'} {_rows_said(rows, len(rows))}"
        notices.append(f"nothing read: {parts.empty} empty {cells} of the value columns, {where}.")
    if parts.cut:
        notices.append(
            f"{parts.cut} numbers were finer than is kept; each was cut to the strict side of every limit."
        )


__all__ = ["DESK", "DESK_MAY", "Happening", "Intake", "read_temperatures"]
