"""A file of turns: one column `at`, each row a pass over the heap."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.gate.mapping import Mapped, TimeColumns
from turnrow.gate.moments import read_moments
from turnrow.gate.tables import read_table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.gate.zones import Clock
from turnrow.yard import days

AT = "at"


@dataclass(frozen=True, eq=False)
class TurnFile:
    """Moments of turns in order: at (n,) seconds UTC (local noon for a bare date), day (n,) date
    ordinals, timed (n,); what was passed over."""

    at: NDArray[np.int64]
    day: NDArray[np.int32]
    timed: NDArray[np.bool_]
    notices: tuple[str, ...]


def read_turns(data: bytes, name: str, *, zone: ZoneInfo) -> TurnFile:
    """The turns in a file. Raises Refused with everything that is wrong."""
    table = read_table(data, name, Mapped())
    wrongs, notices = WrongsList(name), list[str]()
    folded = [heading.casefold() for heading in table.headings]
    if folded.count(AT) != 1:
        wrongs.add(
            f"{name}, row {table.first - 1}",
            ", ".join(table.headings[:5]),
            f"Head one column of moments with the word {AT}; the first row is that of headings.",
        )
    wrongs.raise_any()
    others = [h for h in table.headings if h and h.casefold() != AT]
    if others:
        notices.append(f"{name}: passed over: {', '.join(others[:10])}.")
    cells = table.columns[folded.index(AT)]
    moments = read_moments(
        cells,
        AT,
        TimeColumns(column=AT),
        clock=Clock(zone),
        yard_zone=zone,
        series=np.zeros(len(cells), dtype=np.int64),
        first=table.first,
        workbook=table.workbook,
        wrongs=wrongs,
        notices=notices,
    )
    wrongs.raise_any()
    at, timed = moments.at[moments.good], moments.timed[moments.good]
    order = np.argsort(at, kind="stable")
    at, timed = at[order], timed[order]
    return TurnFile(at, days.days_of(at, zone), timed, tuple(notices))
