"""What compost gives and how much of it is too much: rows of `tables/use.csv`."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True)
class UseFigure:
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


@cache
def use_figures() -> Mapping[str, UseFigure]:
    """The table, by key. ValueError, naming the key, for a row outside its own range or twice there."""
    text = files("turnrow.handbook").joinpath("tables", "use.csv").read_text("utf-8")
    found: dict[str, UseFigure] = {}
    for row in csv.DictReader(text.splitlines()):
        value, low, high = (float(row[name]) for name in ("value", "low", "high"))
        if not low <= value <= high or row["key"] in found:
            raise ValueError(f"use.csv: {row['key']} stands twice, or {value} is outside {low} to {high}")
        found[row["key"]] = UseFigure(
            row["key"], row["quantity"], value, low, high, row["unit"], row["basis"], row["source"],
            row["read"], row["note"],
        )  # fmt: skip
    return found
