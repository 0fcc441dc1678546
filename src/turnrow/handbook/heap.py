"""The heap's parameters: each a row of `tables/heap.csv` with its source and what is believed of it before
any reading."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from turnrow.handbook.csv_rows import rows_of

PRIORS = ("log", "plain", "fix")


@dataclass(frozen=True)
class HeapParameter:
    """One parameter of the heap's model.

    value     the default
    low, high the middle 90 % of what is believed before any reading
    prior     "log" (lognormal), "plain" (normal) or "fix" (not fitted; low and high are its plausible ends)
    known     READ (seen at the source or in a copy), MEMORY, OWN (a choice of ours, tuned or assumed)
    """

    key: str
    quantity: str
    value: float
    low: float
    high: float
    unit: str
    basis: str
    prior: str
    source: str
    known: str
    note: str


@cache
def heap_parameters() -> Mapping[str, HeapParameter]:
    """The table, by key. ValueError, naming the key, for a row that is not sound."""
    found: dict[str, HeapParameter] = {}
    for row in rows_of("heap.csv"):
        key = row["key"]
        value, low, high = (float(row[name]) for name in ("value", "low", "high"))
        if not low <= value <= high or (row["prior"] == "log" and low <= 0):
            raise ValueError(f"heap.csv: {key} is {value}, outside its own range {low} to {high}")
        if row["prior"] not in PRIORS or key in found:
            raise ValueError(f"heap.csv: {key} stands twice, or its prior {row['prior']!r} is unknown")
        found[key] = HeapParameter(
            key=key,
            quantity=row["quantity"],
            value=value,
            low=low,
            high=high,
            unit=row["unit"],
            basis=row["basis"],
            prior=row["prior"],
            source=row["source"],
            known=row["read"],
            note=row["note"],
        )
    return found
