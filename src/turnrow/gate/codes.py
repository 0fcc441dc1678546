"""Columns of few distinct texts (stations, rows, depths, units) as whole numbers."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from turnrow.gate.names import name_wrong
from turnrow.gate.numbers_in import NO_UNIT, unit_code
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard.numbers import MICRO, parse_micro
from turnrow.yard.readings import NO_DEPTH

MOST_NAMES = 2_000
DEEPEST_CM = 1_000


@dataclass(frozen=True, eq=False)
class Codes:
    """code (n,) int32: the place of each cell's name in `names`; "" where the cell is empty."""

    code: NDArray[np.int32]
    names: tuple[str, ...]

    @classmethod
    def all_one(cls, name: str, n: int) -> "Codes":
        return cls(np.zeros(n, dtype=np.int32), (name,))

    def named_instead(self, old: str, new: str) -> "Codes":
        """The same with one name for another; two of one name become one."""
        names = [new if name == old else name for name in self.names]
        distinct = tuple(dict.fromkeys(names))
        place = np.array([distinct.index(name) for name in names], dtype=np.int32)
        return Codes(place[self.code], distinct)


def _distinct(cells: pl.Series) -> tuple[list[str], NDArray[np.int32]]:
    """Distinct texts in order of first sight, and each cell's place among them (empty: -1)."""
    texts = cells.drop_nulls().unique(maintain_order=True)
    if not len(texts):
        return [], np.full(len(cells), -1, dtype=np.int32)
    places = cells.cast(pl.Enum(texts)).to_physical().cast(pl.Int32).fill_null(-1)
    return texts.to_list(), places.to_numpy()


def _row_of(cells: pl.Series, text: str, first: int) -> int:
    return first + int((cells == text).arg_max() or 0)


def name_codes(cells: pl.Series, column: str, first: int, wrongs: WrongsList) -> Codes:
    """Names of a column; each wrong one is told once, at the row that has it first."""
    texts, places = _distinct(cells)
    if len(texts) > MOST_NAMES:
        wrongs.add(
            f"column {column}", f"{len(texts)} names", f"A file may name {MOST_NAMES}; is this the column?"
        )
        return Codes.all_one("", len(cells))
    for text in texts:
        if name_wrong(text):
            wrongs.add(f"row {_row_of(cells, text, first)}, column {column}", text, name_wrong(text))
    if (places < 0).any():
        return Codes(np.where(places < 0, len(texts), places).astype(np.int32), (*texts, ""))
    return Codes(places, tuple(texts))


def _each(
    cells: pl.Series,
    column: str,
    first: int,
    wrongs: WrongsList,
    read: Callable[[str], int | str],
    empty: int,
) -> NDArray[np.int64]:
    """`read` on each distinct text: a number, or what to do about it."""
    texts, places = _distinct(cells)
    if len(texts) > MOST_NAMES:
        wrongs.add(f"column {column}", f"{len(texts)} different cells", "Is this the right column?")
        return np.full(len(cells), empty, dtype=np.int64)
    numbers = [empty] * (len(texts) + 1)
    for place, text in enumerate(texts):
        found = read(text)
        if isinstance(found, str):
            wrongs.add(f"row {_row_of(cells, text, first)}, column {column}", text, found)
        else:
            numbers[place] = found
    return np.array(numbers, dtype=np.int64)[places]


def depth_codes(cells: pl.Series, column: str, first: int, wrongs: WrongsList) -> NDArray[np.int32]:
    """Depths along the probe (n,) in millimetres; NO_DEPTH where empty."""
    return _each(cells, column, first, wrongs, depth_mm, NO_DEPTH).astype(np.int32)


def depth_mm(text: str) -> int | str:
    """Millimetres of a depth in centimetres, or what to do about it."""
    try:
        size = parse_micro(text, comma="," in text)
    except ValueError:
        return "Write the depth in centimetres, such as 90."
    if not 0 <= size <= DEEPEST_CM * MICRO:
        return f"Write a depth from 0 to {DEEPEST_CM} cm along the probe."
    return round(size * 10 / MICRO)  # 18 in, written 45.72 cm, is 457 mm


def unit_codes(cells: pl.Series, column: str, first: int, wrongs: WrongsList) -> NDArray[np.int8]:
    def read(text: str) -> int | str:
        code = unit_code(text)
        return "Write C, F or K." if code is None else code

    return _each(cells, column, first, wrongs, read, NO_UNIT).astype(np.int8)
