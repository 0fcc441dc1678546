"""A file with a row a happening: its headings looked at, its column of times read."""

from collections.abc import Sequence
from zoneinfo import ZoneInfo

import numpy as np
import polars as pl

from turnrow.gate.mapping import TimeColumns
from turnrow.gate.moments import Moments, read_moments
from turnrow.gate.tables import Table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.gate.zones import Clock

AT = "at"


def columns_of(
    table: Table,
    name: str,
    wanted: Sequence[str],
    known: Sequence[str],
    wrongs: WrongsList,
    notices: list[str],
) -> list[pl.Series]:
    """The columns headed `wanted`, each of which must be there once; those not `known` are told as passed
    over. Raises Refused where one is missing or there twice."""
    folded = [heading.casefold() for heading in table.headings]
    for column in wanted:
        if folded.count(column) != 1:
            wrongs.add(
                f"{name}, row {table.first - 1}",
                ", ".join(table.headings[:5]),
                f"Head one column with the word {column}; the first row is that of headings.",
            )
    wrongs.raise_any()
    others = [h for h in table.headings if h and h.casefold() not in (*wanted, *known)]
    if others:
        notices.append(f"{name}: passed over: {', '.join(others[:10])}.")
    return [table.column_at(folded.index(column)) for column in wanted]


def moments_at(
    cells: pl.Series,
    heading: str,
    table: Table,
    zone: ZoneInfo,
    wrongs: WrongsList,
    notices: list[str],
    form: str = "",
) -> Moments:
    """The moments of a column, on the yard's own clock where they name no zone; `form` is its format."""
    return read_moments(
        cells,
        heading,
        TimeColumns(column=heading, format=form),
        clock=Clock(zone),
        yard_zone=zone,
        series=np.zeros(len(cells), dtype=np.int64),
        first=table.first,
        workbook=table.workbook,
        wrongs=wrongs,
        notices=notices,
    )
