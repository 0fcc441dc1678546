"""How long records are to be kept, by whose text: rows of `tables/keeping.csv`."""

from dataclasses import dataclass
from functools import cache

from turnrow.handbook.csv_rows import rows_of

OWN = "own"  # the row of the yard's own rule


@dataclass(frozen=True)
class Keeping:
    """A duty: rules whose id begins with `begins`, the years, the text, and how it is known."""

    begins: str
    years: int
    text: str
    known: str


@cache
def duties() -> tuple[Keeping, ...]:
    """Every duty, the yard's own last. ValueError where that one is missing."""
    found = tuple(
        Keeping(row["begins"], int(row["years"]), row["text"], row["read"]) for row in rows_of("keeping.csv")
    )
    if not found or found[-1].begins != OWN:
        raise ValueError("keeping.csv: the last row is the yard's own rule")
    return found


def duty_of(rule: str) -> Keeping | None:
    """The duty a rule brings; None where the handbook knows none."""
    return next((one for one in duties()[:-1] if rule.startswith(one.begins)), None)


def own_years() -> int:
    return duties()[-1].years
