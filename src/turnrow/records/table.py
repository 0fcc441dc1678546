"""One table of the diary: its columns, and the rows that an entry makes."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from turnrow.yard import entries
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount

Cell = str | int | bool | Amount | None
Rows = Callable[[Any, Diary], Iterable[tuple[Cell, ...]]]
COMMON = (
    ("line", "whole number", "the line of the diary"),
    ("happened", "text", "when it happened, ISO 8601 with the offset of the clock"),
    ("day_only", "yes or no", "only the day of it is known"),
    ("who", "text", "who wrote it"),
    ("struck", "yes or no", "the line was withdrawn later and does not count"),
)


@dataclass(frozen=True)
class Table:
    """One table. `columns`: (name, holds, words); holds "amount" makes two columns, number and unit.

    rows  what an entry says, and the diary it stands in -> its rows, each as long as `columns`
    """

    name: str
    words: str
    kind: type[entries.Kind]
    columns: tuple[tuple[str, str, str], ...]
    rows: Rows

    @property
    def head(self) -> tuple[tuple[str, str, str], ...]:
        """Every column of the file: (name, holds, words)."""
        own: list[tuple[str, str, str]] = []
        for name, holds, words in self.columns:
            if holds == "amount":
                own += [(name, "number", words), (f"{name}_unit", "text", f"the unit {name} was typed in")]
            else:
                own.append((name, holds, words))
        return (*COMMON, *own)


def one_row(*names: str) -> Rows:
    """A row an entry, of its own fields; several names in one are joined with a semicolon."""

    def rows(what: Any, diary: Diary) -> Iterator[tuple[Cell, ...]]:
        yield tuple(_plain(getattr(what, name)) for name in names)

    return rows


def _plain(cell: Any) -> Cell:
    if cell is None or isinstance(cell, str | int | bool | Amount):
        return cell
    if isinstance(cell, tuple):
        return "; ".join(map(str, cell))
    if isinstance(cell, dict):
        return "; ".join(f"{name}: {value}" for name, value in cell.items())
    return str(cell)


T, A, W, Y = "text", "amount", "whole number", "yes or no"
ROW, LOT = ("row", T, "the row's name"), ("lot", T, "the lot's name")
MOIST = ("moisture", A, "percent of wet mass")
