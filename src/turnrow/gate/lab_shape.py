"""The two shapes of a lab sheet, a figure a row or a sample a row, read alike: one figure after another."""

from dataclasses import replace
from typing import Protocol

import polars as pl

from turnrow.gate.lab_columns import HEADINGS, LabColumns, LabMapped, columns_of, is_long
from turnrow.gate.lab_wide import Measured, measured_of, said_by
from turnrow.gate.tables import Table
from turnrow.gate.wrongs_list import WrongsList

OF_FIGURE = ("analyte", "value", "unit", "basis", "method")


class Shape(Protocol):
    """Figures by number. `row` is the table's row a figure stands in, from 0; `item` as a person counts."""

    table: Table
    columns: LabColumns

    def __len__(self) -> int: ...
    def row(self, figure: int) -> int: ...
    def item(self, figure: int) -> int: ...
    def cell(self, which: str, figure: int) -> str: ...
    def where(self, which: str, figure: int) -> str: ...
    def values(self) -> dict[str, pl.Series]: ...


class Long:
    """A figure a row; rows that have neither analyte nor value are none."""

    def __init__(self, table: Table, columns: LabColumns) -> None:
        self.table, self.columns = table, columns
        full = zip(table.column(columns.analyte), table.column(columns.value), strict=True)
        self.rows = [row for row, cells in enumerate(full) if any(cells)]

    def __len__(self) -> int:
        return len(self.rows)

    def row(self, figure: int) -> int:
        return self.rows[figure]

    def item(self, figure: int) -> int:
        return self.table.first + self.rows[figure]

    def cell(self, which: str, figure: int) -> str:
        return _cell(self.table, self.columns, which, self.rows[figure])

    def where(self, which: str, figure: int) -> str:
        return f"row {self.item(figure)}, column {getattr(self.columns, which) or which}"

    def values(self) -> dict[str, pl.Series]:
        return {self.columns.value: self.table.column(self.columns.value)}


class Wide:
    """A sample a row and an analyte a column; an empty cell is no figure."""

    def __init__(self, table: Table, columns: LabColumns, measured: list[Measured]) -> None:
        self.table, self.columns, self.measured = table, columns, measured
        self.figures = [
            (row, one)
            for row in range(len(table))
            for one in measured
            if table.column_at(one.at)[row] is not None
        ]

    def __len__(self) -> int:
        return len(self.figures)

    def row(self, figure: int) -> int:
        return self.figures[figure][0]

    def item(self, figure: int) -> int:
        return self.table.first + self.row(figure)

    def cell(self, which: str, figure: int) -> str:
        row, one = self.figures[figure]
        if which == "value":
            return str(self.table.column_at(one.at)[row])
        own = {"analyte": one.analyte.name, "unit": one.unit, "basis": one.basis, "method": one.method}
        if own.get(which):
            return own[which]
        if which == "basis" and one.analyte.group == "physical":
            return ""  # a row's basis is of its figures, not of the water in it
        return _cell(self.table, self.columns, which, row)

    def where(self, which: str, figure: int) -> str:
        own = self.figures[figure][1].heading
        heading = own if which in OF_FIGURE else getattr(self.columns, which) or which
        return f"row {self.item(figure)}, column {heading}"

    def values(self) -> dict[str, pl.Series]:
        return {one.heading: self.table.column_at(one.at) for one in self.measured}


def _cell(table: Table, columns: LabColumns, which: str, row: int) -> str:
    heading = getattr(columns, which)
    return str(table.column(heading)[row] or "") if heading else ""


def shape_of(table: Table, mapped: LabMapped, wrongs: WrongsList, notices: list[str]) -> Shape:
    """The sheet in its shape; what its headings lack goes to `wrongs`."""
    wide = bool(mapped.lab.analytes) or (
        not is_long(table.headings, mapped.lab) and any(said_by(one) for one in table.headings)
    )
    columns = columns_of(table, mapped, wrongs, notices, wide=wide)
    if not wide:
        wrongs.raise_any()
        return Long(table, columns)
    taken = {str(getattr(columns, name)) for name in HEADINGS} - {""}
    measured, start = measured_of(
        table, taken, mapped.lab.analytes, mapped.basis, bool(columns.basis), wrongs, notices
    )
    body = tuple(column.slice(start) for column in table.columns)
    return Wide(replace(table, columns=body, first=table.first + start), columns, measured)
