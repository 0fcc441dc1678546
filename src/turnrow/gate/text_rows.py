"""The rows of a text table in columns, a piece of the text at a time.

What is held is counted before it is made: a column costs 16 bytes a cell, filled or not, and a few
megabytes of short rows under many headings may ask for thousands. A column's empty stretches are one
stretch, shared.
"""

import csv
import io
from collections.abc import Iterator

import polars as pl

from turnrow.yard.wrongs import refuse

MOST_COLUMNS = 500
MOST_CELLS = 20_000_000
ALWAYS_CELLS = 2_000_000  # however small the file
EMPTY_FOR_ONE = 3  # cells asked for, for each that a file of this size may hold
PIECE_CELLS = 500_000  # read at once
PIECE_CHARS = 1_000_000
ROW_COSTS = 8  # a row without cells, in cells
_SLIM = "Leave out the empty rows and columns, or split the file and take the parts."


class Columns:
    """Columns of texts that grow by pieces; blanks around a cell are cut, and an empty one is null."""

    def __init__(self, name: str, size: int) -> None:
        self._name = name
        self._most = min(MOST_CELLS, max(ALWAYS_CELLS, size))
        self._pieces: list[list[pl.Series | int]] = []  # of each column; a number is of empty cells
        self._held = self._rows = self._asked = 0
        self._none: dict[int, pl.Series] = {}

    def add(self, piece: pl.DataFrame) -> None:
        """Raises Refused when more is held than the file may ask for."""
        for _ in range(len(self._pieces), piece.width):
            self._pieces.append([self._rows] if self._rows else [])
        for pieces, column in zip(self._pieces, piece.iter_columns(), strict=False):
            cells = column if column.null_count() == len(column) else _clean(column)
            if cells.null_count() < len(cells):
                self._held += len(cells)
                pieces.append(cells)
            else:
                _add_empty(pieces, len(cells))
        for pieces in self._pieces[piece.width :]:
            _add_empty(pieces, piece.height)
        self._rows += piece.height
        self._asked += piece.height * piece.width
        if self._held + self._rows > self._most or self._asked > EMPTY_FOR_ONE * self._most:
            got = f"more than {self._rows:,} rows of {len(self._pieces)} columns"
            raise refuse(self._name, got, _SLIM)

    def made(self) -> list[pl.Series]:
        """The columns, all of one length."""
        return [
            pl.concat([self._empty(one) if isinstance(one, int) else one for one in pieces], rechunk=False)
            for pieces in self._pieces
            if pieces
        ]

    def _empty(self, count: int) -> pl.Series:
        if count not in self._none:
            self._none[count] = pl.repeat(None, count, dtype=pl.String, eager=True).alias("")
        return self._none[count]


def _add_empty(pieces: list[pl.Series | int], count: int) -> None:
    if pieces and isinstance(pieces[-1], int):
        pieces[-1] += count
    elif count:
        pieces.append(count)


def _clean(column: pl.Series) -> pl.Series:
    stripped = column.str.strip_chars().alias("")
    return stripped.set(stripped == "", None) if (stripped == "").any() else stripped


def columns_of_sheet(frame: pl.DataFrame, name: str) -> list[pl.Series]:
    """The same of cells that are there already."""
    found = Columns(name, frame.height * frame.width)
    step = max(1, PIECE_CELLS // max(1, frame.width))
    for start in range(0, frame.height, step):
        found.add(frame.slice(start, step))
    return found.made()


def columns_of_text(text: str, name: str, first: int, separator: str, wide: int) -> list[pl.Series]:
    """The cells of `text`, whose first row has `wide` of them and is row `first` of the file.

    Raises Refused for a quote left open, a row of too many cells, or more cells than the file may have.
    """
    if '"' not in text:
        found = _quick(text, name, separator, wide)
        if found is not None:
            return found
    return _careful(text, name, first, separator)


def _quick(text: str, name: str, separator: str, wide: int) -> list[pl.Series] | None:
    """None where the plain reading is not certain: then the careful one tells what is wrong."""
    found = Columns(name, len(text))
    widest = separator * (wide - 1) + "\n"  # before each piece, so that all are read as this wide
    for piece, lines in _pieces(text, wide):
        try:
            frame = pl.read_csv(
                io.BytesIO((widest + piece).encode()),
                has_header=False,
                infer_schema=False,
                quote_char=None,
                separator=separator,
            )
        except pl.exceptions.PolarsError:
            return None
        if frame.height != lines + 1:
            return None
        found.add(frame.slice(1))
    return found.made()


def _pieces(text: str, wide: int) -> Iterator[tuple[str, int]]:
    """Whole lines and how many they are, of few enough cells at a time."""
    start, chars = 0, PIECE_CHARS
    while start < len(text):
        end = text.find("\n", min(start + chars, len(text)) - 1) + 1 or len(text)
        lines = text.count("\n", start, end) + (text[end - 1] != "\n")
        if lines * wide > PIECE_CELLS and lines > 1 and chars > 1:
            chars //= 2
            continue
        yield text[start:end], lines
        start, chars = end, min(PIECE_CHARS, chars * 2)


def _careful(text: str, name: str, first: int, separator: str) -> list[pl.Series]:
    found = Columns(name, len(text))
    rows: list[list[str]] = []
    item, wide = first, 0
    reader = csv.reader(_lines(text), delimiter=separator, strict=True)
    try:
        for row in reader:
            if len(row) > MOST_COLUMNS:
                got = f"{len(row)} cells"
                raise refuse(f"{name}, row {item}", got, f"A row may have {MOST_COLUMNS} cells.")
            rows.append(row)
            item, wide = item + 1, max(wide, len(row))
            if (wide + ROW_COSTS) * len(rows) > PIECE_CELLS:
                found.add(_frame(rows, wide))
                rows, wide = [], 0
    except csv.Error as wrong:
        raise refuse(
            f"{name}, row {item}", str(wrong), "Close every quote, and export the file again."
        ) from wrong
    found.add(_frame(rows, wide))
    return found.made()


def _lines(text: str) -> Iterator[str]:
    start = 0
    while start < len(text):
        end = text.find("\n", start) + 1 or len(text)
        yield text[start:end]
        start = end


def _frame(rows: list[list[str]], wide: int) -> pl.DataFrame:
    return (
        pl.DataFrame(
            [
                pl.Series(f"c{i}", [row[i] if i < len(row) else None for row in rows], dtype=pl.String)
                for i in range(wide)
            ]
        )
        if wide
        else pl.DataFrame({"c0": pl.repeat(None, len(rows), dtype=pl.String, eager=True)})
    )
