"""A file as a table of texts: CSV in any of its habits, or the first sheet of a workbook."""

import csv
import io
from dataclasses import dataclass

import polars as pl

from turnrow.gate.mapping import Mapped
from turnrow.gate.text_of import text_of
from turnrow.gate.workbook import is_workbook, sheet
from turnrow.yard.wrongs import refuse

MOST_COLUMNS = 500
LONGEST_HEADING = 120
SEPARATORS = (",", ";", "\t")


@dataclass(frozen=True, eq=False)
class Table:
    """Equal-length text columns, null where a cell is empty.

    headings  as written, blanks around them cut
    first     number of the first row under the headings, as a spreadsheet shows it (from 1)
    workbook  from a workbook: its date cells come as ISO texts, midnight where only a date is known
    """

    name: str
    headings: tuple[str, ...]
    columns: tuple[pl.Series, ...]
    first: int
    workbook: bool = False

    def __len__(self) -> int:
        return len(self.columns[0])

    def column(self, heading: str) -> pl.Series:
        return self.columns[self.headings.index(heading)]


def read_table(data: bytes, name: str, mapped: Mapped) -> Table:
    """The table in `data`. Raises Refused when there is none, or no row under the headings."""
    workbook = is_workbook(data)
    frame, first = _sheet(data, name, mapped) if workbook else _text(data, name, mapped)
    columns = [_clean(frame.to_series(i)) for i in range(frame.width)]
    at = next((i for i in range(frame.height) if any(c[i] is not None for c in columns)), None)
    if at is None:
        raise refuse(name, "no headings", "Give the columns their names in the first row.")
    cells = [column[at] for column in columns]
    last = max(i for i, cell in enumerate(cells) if cell is not None)
    headings = tuple(str(cell or "").strip() for cell in cells)
    stray = [i for i in range(last + 1, len(columns)) if columns[i].slice(at + 1).is_not_null().any()]
    if stray:
        row = first + at + 1 + int(columns[stray[0]].slice(at + 1).is_not_null().arg_max() or 0)
        raise refuse(
            f"{name}, row {row}",
            "more cells than headings",
            "Give each column a heading, or put values that hold the separator in quotes.",
        )
    if last + 1 > MOST_COLUMNS:
        raise refuse(name, f"{last + 1} columns", f"A file may have {MOST_COLUMNS} columns.")
    too_long = next((h for h in headings if len(h) > LONGEST_HEADING), None)
    if too_long is not None:
        raise refuse(f"{name}, row {first + at}", too_long, "This is no row of headings; export CSV again.")
    body = tuple(column.slice(at + 1) for column in columns[: last + 1])
    if not any(column.is_not_null().any() for column in body):
        raise refuse(name, "headings and no row under them", "Export the readings again.")
    return Table(name, headings[: last + 1], body, first + at + 1, workbook)


def _clean(column: pl.Series) -> pl.Series:
    stripped = column.str.strip_chars()
    return stripped.set(stripped == "", None) if (stripped == "").any() else stripped


def _sheet(data: bytes, name: str, mapped: Mapped) -> tuple[pl.DataFrame, int]:
    frame = sheet(data, name, mapped.sheet)
    skipped = mapped.skip_rows
    return _some(frame.slice(skipped), name), skipped + 1


def _text(data: bytes, name: str, mapped: Mapped) -> tuple[pl.DataFrame, int]:
    text = text_of(data, name, mapped.encoding)
    if text.startswith("sep=") and text[5:6] == "\n":  # a spreadsheet's own mark
        return _text_from(text[6:], name, 2, mapped.skip_rows, mapped.separator or text[4])
    return _text_from(text, name, 1, mapped.skip_rows, mapped.separator)


def _text_from(text: str, name: str, first: int, skipped: int, separator: str) -> tuple[pl.DataFrame, int]:
    for _ in range(skipped):
        end = text.find("\n")
        text = text[end + 1 :] if end >= 0 else ""
    head = next((line for line in text[:200_000].split("\n") if line.strip()), "")
    separator = separator or max(SEPARATORS, key=lambda mark: _outside_quotes(head).count(mark))
    wide = _outside_quotes(head).count(separator) + 1
    if wide > MOST_COLUMNS:
        raise refuse(name, f"{wide} columns", f"A file may have {MOST_COLUMNS} columns.")
    frame = None if '"' in text else _fast(text, separator)
    return _some(_slow(text, name, first + skipped, separator) if frame is None else frame, name), (
        first + skipped
    )


def _outside_quotes(line: str) -> str:
    return "".join(line.split('"')[::2])


def _some(frame: pl.DataFrame, name: str) -> pl.DataFrame:
    if not frame.height or not frame.width:
        raise refuse(name, "no headings", "Give the columns their names in the first row.")
    return frame


def _fast(text: str, separator: str) -> pl.DataFrame | None:
    """None where the plain reading is not certain: then the slow one tells what is wrong."""
    lines = text.count("\n") + (not text.endswith("\n"))
    try:
        frame = pl.read_csv(
            io.BytesIO(text.encode()),
            has_header=False,
            infer_schema=False,
            quote_char=None,
            separator=separator,
        )
    except pl.exceptions.PolarsError:
        return None
    return frame if frame.height == lines else None


def _slow(text: str, name: str, first: int, separator: str) -> pl.DataFrame:
    rows: list[list[str]] = []
    reader = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
    try:
        rows.extend(reader)
    except csv.Error as wrong:
        raise refuse(
            f"{name}, row {first + len(rows)}", str(wrong), "Close every quote, and export the file again."
        ) from wrong
    wide = max((len(row) for row in rows), default=0)
    if wide > MOST_COLUMNS:
        at = next(i for i, row in enumerate(rows) if len(row) == wide)
        raise refuse(f"{name}, row {first + at}", f"{wide} cells", f"A row may have {MOST_COLUMNS} cells.")
    padded = [[*row, *[""] * (wide - len(row))] for row in rows]
    return pl.DataFrame(
        {f"c{i}": [row[i] for row in padded] for i in range(wide)},
        schema_overrides={f"c{i}": pl.String for i in range(wide)},
    )
