"""Temperatures of a file or a data frame, read as every door of the project reads them."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import polars as pl

from turnrow.api.given import Source, table_bytes
from turnrow.api.shown import html
from turnrow.gate.clock import clock
from turnrow.gate.files import read_temperatures
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import NO_DEPTH
from turnrow.yard.readings import Readings as Columns
from turnrow.yard.temperature import NINTH, UNITS
from turnrow.yard.wrongs import Refused, refuse


@dataclass(frozen=True, eq=False)
class Readings:
    """Temperatures of one row or heap, sorted by moment, exact as they were typed.

    columns  the readings in columns, on the exact scale that rules compare on
    zone     the calendar their days are counted on
    row      its name; "" where the file named none
    notices  what was passed over or taken for granted, one sentence each
    """

    columns: Columns
    zone: ZoneInfo
    row: str = ""
    notices: tuple[str, ...] = ()

    def __len__(self) -> int:
        return len(self.columns)

    @property
    def frame(self) -> pl.DataFrame:
        """A polars frame: at (in `zone`), day, station, depth_cm (null: not said), value and unit as typed,
        celsius. Other libraries take it, or
        the readings themselves, by Arrow's C stream."""
        return frame_of(self.columns, self.zone)

    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object:
        return self.frame.__arrow_c_stream__(requested_schema)

    def _repr_html_(self) -> str:
        return html(f"{len(self)} readings", self.notices) + self.frame._repr_html_()


def frame_of(columns: Columns, zone: ZoneInfo) -> pl.DataFrame:
    """The readings as a polars frame, see `Readings.frame`."""
    depth = columns.depth / 10.0
    return pl.DataFrame(
        {
            "at": pl.Series(columns.at).cast(pl.Int64) * 1_000_000,
            "day": columns.day.astype(np.int32) - _EPOCH,
            "station": [columns.stations[code] for code in columns.station.tolist()],
            "depth_cm": pl.Series(depth).set(pl.Series(columns.depth == NO_DEPTH), None),
            "value": columns.value / MICRO,
            "unit": [UNITS[code] for code in columns.unit.tolist()],
            "celsius": columns.heat / NINTH,
        },
        schema_overrides={"station": pl.String, "unit": pl.String, "depth_cm": pl.Float64},
    ).with_columns(
        pl.col("at").cast(pl.Datetime("us", "UTC")).dt.convert_time_zone(zone.key),
        pl.col("day").cast(pl.Date),
    )


_EPOCH = 719_163  # the ordinal of 1970-01-01


class Rows(dict[str, Readings]):
    """Readings by the row's name, of a file that names several."""

    def _repr_html_(self) -> str:
        return html("Readings by row", (), ((name, len(one)) for name, one in self.items()))


def read_rows(source: Source, *, zone: str = "") -> Rows:
    """The readings of every row that a file names; under "" where it names none.

    source  a CSV, TSV or workbook with columns at, value, unit and any of station, depth_cm, row; or the
            same as bytes or a data frame
    zone    IANA name of the calendar days are counted on; left out: the offset of the first time, else UTC
    Raises Refused with everything that is wrong: where, what was got, what to do.
    """
    data, name = table_bytes(source, "readings")
    wrong: list[Any] = []
    place, _, remarks = clock(zone, data, wrong)
    if place is None:
        raise Refused(wrong)
    intake = read_temperatures(data, name, zone=place)
    notices = (*remarks, *intake.notices)
    return Rows({row: Readings(found, place, row, notices) for row, found in intake.rows.items()})


def read_readings(source: Source, *, zone: str = "", row: str = "") -> Readings:
    """The readings of one row or heap, see `read_rows`; `row` says which where the file names several.

    >>> import turnrow as tr
    >>> found = tr.read_readings(b"at,station,value,unit\\n2026-05-01T07:10,1,140,F\\n2026-05-02,1,55,C\\n")
    >>> found.frame.select("celsius").to_series().to_list()
    [60.0, 55.0]

    Raises Refused as `read_rows`, and where the row is not said or not there.
    """
    rows = read_rows(source, zone=zone)
    return _one(rows, row)


def _one(rows: Rows, row: str) -> Readings:
    if row:
        if row not in rows:
            raise refuse("row", row, f"The file has {', '.join(_named(rows)) or 'no rows'}.")
        return rows[row]
    if len(rows) > 1:
        raise refuse("row", "nothing", f"Say which of its rows: {', '.join(_named(rows))}.")
    return next(iter(rows.values()))


def _named(rows: Rows) -> Iterator[str]:
    return (name for name in rows if name)
