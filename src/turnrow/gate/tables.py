"""A file as a table of texts: CSV in any of its habits, or the first sheet of a workbook."""

from collections.abc import Iterable
from dataclasses import dataclass

import polars as pl

from turnrow.gate.mapping import Mapped
from turnrow.gate.sheet_parts import FORMULA
from turnrow.gate.text_of import text_of
from turnrow.gate.text_rows import MOST_COLUMNS, columns_of_sheet, columns_of_text
from turnrow.gate.workbook import is_workbook, sheet
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard.wrongs import refuse

LONGEST_HEADING = 120
SEPARATORS = (",", ";", "\t")
ERROR = (
    r"^(#(DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!|SPILL!|CALC!)|Err:\d{3})$"  # as spreadsheets write them
)


@dataclass(frozen=True, eq=False)
class Table:
    """Equal-length text columns, null where a cell is empty.

    headings  as written, blanks around them cut
    first     number of the first row under the headings, as a spreadsheet shows it (from 1)
    workbook  from a workbook: its date cells come as ISO texts, midnight where only a date is known
    spoilt    places of the columns in which a spreadsheet's error or a formula without its result stands
    """

    name: str
    headings: tuple[str, ...]
    columns: tuple[pl.Series, ...]
    first: int
    workbook: bool = False
    spoilt: frozenset[int] = frozenset()

    def __len__(self) -> int:
        return len(self.columns[0])

    def column(self, heading: str) -> pl.Series:
        """Raises Refused when a spreadsheet's error stands in it, or a formula without its result."""
        return self.column_at(self.headings.index(heading))

    def column_at(self, place: int) -> pl.Series:
        """The same by its place, counted from 0."""
        if place in self.spoilt:
            self._refuse_spoilt(place)
        return self.columns[place]

    def _refuse_spoilt(self, place: int) -> None:
        wrongs = WrongsList(self.name)
        column = self.columns[place]
        for at in _spoilt(column).arg_true():
            cell = str(column[at])
            where = f"{self.name}, row {self.first + at}, column {self.headings[place]}"
            if cell.startswith(FORMULA):
                formula = "=" + cell.removeprefix(FORMULA)
                do = "The formula has no result stored: open the workbook in a spreadsheet and save it again."
                wrongs.add(where, formula, do)
            else:
                do = "Put the formula right or clear the cell, and save again. In a mapping, missing = [...] "
                wrongs.add(where, cell, f"{do}names what stands for nothing read.")
        wrongs.raise_any()


def _spoilt(column: pl.Series) -> pl.Series:
    """Null where the cell is empty."""
    return column.str.starts_with(FORMULA) | column.str.contains(ERROR)


def _holds_spoilt(column: pl.Series, missing: Iterable[str]) -> bool:
    if not (column.str.starts_with("#") | column.str.starts_with("Err:")).any():
        return False
    return bool((_spoilt(column) & ~column.is_in(list(missing))).any())


def read_table(data: bytes, name: str, mapped: Mapped, *, may_be_empty: bool = False) -> Table:
    """The table in `data`. Raises Refused when there is none, or no row under the headings where there
    must be one."""
    workbook = is_workbook(data)
    columns, first = _sheet(data, name, mapped) if workbook else _text(data, name, mapped)
    at = min((int(c.is_not_null().arg_max() or 0) for c in columns if c.null_count() < len(c)), default=None)
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
    if not may_be_empty and not any(column.is_not_null().any() for column in body):
        raise refuse(name, "headings and no row under them", "Export the readings again.")
    spoilt = frozenset(i for i, column in enumerate(body) if _holds_spoilt(column, mapped.missing))
    return Table(name, headings[: last + 1], body, first + at + 1, workbook, spoilt)


def _sheet(data: bytes, name: str, mapped: Mapped) -> tuple[list[pl.Series], int]:
    frame = sheet(data, name, mapped.sheet).slice(mapped.skip_rows)
    return columns_of_sheet(frame, name), mapped.skip_rows + 1


def _text(data: bytes, name: str, mapped: Mapped) -> tuple[list[pl.Series], int]:
    text = text_of(data, name, mapped.encoding)
    if text.startswith("sep=") and text[5:6] == "\n":  # a spreadsheet's own mark
        return _text_from(text[6:], name, 2, mapped.skip_rows, mapped.separator or text[4])
    return _text_from(text, name, 1, mapped.skip_rows, mapped.separator)


def _text_from(text: str, name: str, first: int, skipped: int, separator: str) -> tuple[list[pl.Series], int]:
    for _ in range(skipped):
        end = text.find("\n")
        text = text[end + 1 :] if end >= 0 else ""
    head = next((line for line in text[:200_000].split("\n") if line.strip()), "")
    separator = separator or max(SEPARATORS, key=lambda mark: _outside_quotes(head).count(mark))
    wide = _outside_quotes(head).count(separator) + 1
    if wide > MOST_COLUMNS:
        raise refuse(name, f"{wide} columns", f"A file may have {MOST_COLUMNS} columns.")
    return columns_of_text(text, name, first + skipped, separator, wide), first + skipped


def _outside_quotes(line: str) -> str:
    return "".join(line.split('"')[::2])
