"""Kinds of ground by how much rain runs off them: rows of `tables/surfaces.csv`."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from turnrow.handbook.csv_rows import rows_of

SOILS = ("A", "B", "C", "D")  # hydrologic soil groups, from sand to clay
WHATS = ("cn", "coefficient")


@dataclass(frozen=True)
class Ground:
    """A kind of ground.

    numbers      curve numbers by soil group; under "" where the soil below does not matter
    coefficient  of the rational method; None where the table has none
    """

    kind: str
    numbers: dict[str, float] = field(default_factory=dict)
    coefficient: float | None = None
    sources: tuple[str, ...] = ()


@cache
def grounds() -> Mapping[str, Ground]:
    """Every kind, by name. ValueError, naming the kind, for a row that is not sound or twice there."""
    found: dict[str, Ground] = {}
    for row in rows_of("surfaces.csv"):
        kind, soil, what, value = row["kind"], row["soil"], row["what"], float(row["value"])
        old = found.get(kind, Ground(kind))
        twice = soil in old.numbers if what == "cn" else old.coefficient is not None
        most = 100.0 if what == "cn" else 1.0
        if twice or what not in WHATS or soil not in ("", *SOILS) or not 0.0 < value <= most:
            raise ValueError(f"surfaces.csv: {kind} {soil} {what} {value} stands twice or cannot be")
        found[kind] = Ground(
            kind,
            old.numbers | ({soil: value} if what == "cn" else {}),
            value if what == "coefficient" else old.coefficient,
            (*old.sources, *([row["source"]] if row["source"] not in old.sources else [])),
        )
    return found
