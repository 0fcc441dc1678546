"""The quick way into a plain file of readings, for the millions: typed columns, streamed.

Takes only what needs no judgement: comma-separated, no quotes, the desk's own columns, whole ISO
times of one shape on an unchanging clock, plain numbers with at most six decimals. A file with
anything else is not refused here: None, and `gate/files.py` reads it or says what is wrong.
"""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import polars as pl
from numpy.typing import NDArray

from turnrow.gate.codes import depth_mm
from turnrow.gate.mapping import DESK_NEEDS
from turnrow.gate.names import name_wrong
from turnrow.gate.numbers_in import PLAIN, unit_code
from turnrow.yard.days import DAY_S, EPOCH_DAY
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import NO_DEPTH, Readings

COLUMNS = ("row", "at", "station", "depth_cm", "value", "unit")
SHAPES = {10: "%Y-%m-%d", 16: "%Y-%m-%dT%H:%M", 19: "%Y-%m-%dT%H:%M:%S"}
FROM_S, TO_S = ((date(year, 1, 1).toordinal() - EPOCH_DAY) * DAY_S for year in (1990, 2200))
HEAD = 4096


def read_plain(path: Path) -> Iterator[tuple[str, Readings]] | None:
    """Row by row ("" where the file names none), times on a clock that is UTC; None where the file is
    not plain. Held at once: the whole file's columns, and one row's readings."""
    with path.open("rb") as file:
        head = file.read(HEAD)
    lines = head.split(b"\n")
    names = lines[0].rstrip(b"\r").decode("ascii", errors="replace").split(",")
    first = lines[1].rstrip(b"\r").decode("ascii", errors="replace").split(",") if len(lines) > 2 else []
    fits = set(DESK_NEEDS) <= set(names) <= set(COLUMNS) and len(set(names)) == len(names) == len(first)
    shape = SHAPES.get(len(first[names.index("at")])) if fits else None
    if shape is None or b"\r" in head:
        return None
    try:
        frame = _frame(path, names, shape)
    except pl.exceptions.PolarsError:
        return None
    if frame is None or not frame.height:
        return None
    return _rows(frame, timed=shape != SHAPES[10])


def _frame(path: Path, names: list[str], shape: str) -> pl.DataFrame | None:
    """The columns as whole numbers and categories; None where any cell is not plain."""
    at = pl.col("at")
    moment = (
        at.str.to_datetime(shape, strict=False, time_unit="us")
        if shape != SHAPES[10]
        else at.str.to_date(shape, strict=False).cast(pl.Datetime("us")) + pl.duration(hours=12)
    )
    value = pl.col("value")
    number = (value.cast(pl.Float64, strict=False) * MICRO).round().cast(pl.Int64, strict=False)
    wanted = [
        moment.dt.epoch("s").alias("at"),
        pl.when(value.str.contains(PLAIN)).then(number).alias("value"),
        *(pl.col(n) for n in names if n not in ("at", "value")),
    ]
    kinds = {n: pl.String if n in ("at", "value") else pl.Categorical for n in names}
    scan = pl.scan_csv(path, schema_overrides=kinds, quote_char=None)
    frame = scan.select(wanted).collect(engine="streaming")
    if any(frame[n].null_count() for n in frame.columns):
        return None
    return frame if frame["at"].is_between(FROM_S, TO_S, closed="left").all() else None


def _codes(column: pl.Series) -> tuple[NDArray[np.int32], list[str]]:
    """Each cell's place among the column's texts."""
    texts = column.unique()
    texts = texts[np.argsort(texts.to_physical().to_numpy())]
    used = texts.to_physical().to_numpy()
    if used[-1] == len(used) - 1:  # already numbered from 0 without holes
        return column.to_physical().to_numpy().view(np.int32), texts.cast(pl.String).to_list()
    place = np.zeros(int(used.max()) + 1, dtype=np.int32)
    place[used] = np.arange(len(used), dtype=np.int32)
    return place[column.to_physical().to_numpy()], texts.cast(pl.String).to_list()


def _rows(frame: pl.DataFrame, *, timed: bool) -> Iterator[tuple[str, Readings]] | None:
    """Readings of each row of the file in turn; None where a name, unit or depth is not plain."""
    n = frame.height
    given = set(frame.columns)
    unit, units = _codes(frame["unit"])
    unit_of = [unit_code(text) for text in units]
    station, stations = _codes(frame["station"]) if "station" in given else (None, ["1"])
    depth, depths = _codes(frame["depth_cm"]) if "depth_cm" in given else (None, [""])
    depth_of = [depth_mm(text) if text else NO_DEPTH for text in depths]
    row, rows = _codes(frame["row"]) if "row" in given else (np.zeros(n, np.int32), [""])
    if any(code is None for code in unit_of) or any(isinstance(d, str) for d in depth_of):
        return None
    if any(name_wrong(text) for text in (*stations, *filter(None, rows))):
        return None
    at = frame["at"].to_numpy()
    value = frame["value"].to_numpy()
    unit_codes = np.array(unit_of, dtype=np.int8)
    depth_codes = np.array(depth_of, dtype=np.int32)
    order = None if np.all(row[1:] >= row[:-1]) else np.argsort(row.astype(np.int16), kind="stable")
    sorted_row = row if order is None else row[order]
    edges = np.searchsorted(sorted_row, np.arange(len(rows) + 1))

    def each() -> Iterator[tuple[str, Readings]]:
        for code, name in enumerate(rows):
            span = slice(int(edges[code]), int(edges[code + 1]))
            mine = np.arange(span.start, span.stop) if order is None else order[span]
            moments = at[mine]
            if np.any(moments[1:] < moments[:-1]):
                mine = mine[np.argsort(moments, kind="stable")]
                moments = at[mine]
            m = len(mine)
            yield (
                name,
                Readings(
                    at=moments,
                    day=(moments // DAY_S + EPOCH_DAY).astype(np.int32),
                    station=np.zeros(m, np.int32) if station is None else station[mine],
                    depth=np.full(m, depth_codes[0], np.int32) if depth is None else depth_codes[depth[mine]],
                    value=value[mine],
                    unit=unit_codes[unit[mine]],
                    timed=np.full(m, timed),
                    line=np.zeros(m, np.int32),
                    item=(mine + 2).astype(np.int32),
                    stations=tuple(stations),
                ),
            )

    return each()
