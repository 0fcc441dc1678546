"""Plain tables of the handbook: one figure a row, by key, with its range and its source."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from turnrow.handbook.csv_rows import rows_of


@dataclass(frozen=True)
class Figure:
    """One figure; `known` says READ, MEMORY or OWN, `source` is a key of sources.toml."""

    key: str
    quantity: str
    value: float
    low: float
    high: float
    unit: str
    basis: str
    source: str
    known: str
    note: str


Figures = Mapping[str, Figure]


@cache
def use_figures() -> Figures:
    """What compost gives and how much of it is too much: `tables/use.csv`."""
    return _figures("use.csv")


@cache
def cost_figures() -> Figures:
    """What machines use up: `tables/costs.csv`."""
    return _figures("costs.csv")


@cache
def sales_figures() -> Figures:
    """What promises to buyers are drawn with: `tables/sales.csv`."""
    return _figures("sales.csv")


@cache
def pad_figures() -> Figures:
    """How rows lie, shrink and take up ground: `tables/pad.csv`."""
    return _figures("pad.csv")


@cache
def pond_figures() -> Figures:
    """What rain and ponds are reckoned with: `tables/pond.csv`."""
    return _figures("pond.csv")


def _figures(name: str) -> Figures:
    """A table, by key. ValueError, naming the key, for a row outside its own range or twice there."""
    found: dict[str, Figure] = {}
    for row in rows_of(name):
        value, low, high = (float(row[column]) for column in ("value", "low", "high"))
        if not low <= value <= high or row["key"] in found:
            raise ValueError(f"{name}: {row['key']} stands twice, or {value} is outside {low} to {high}")
        found[row["key"]] = Figure(
            row["key"], row["quantity"], value, low, high, row["unit"], row["basis"], row["source"],
            row["read"], row["note"],
        )  # fmt: skip
    return found
