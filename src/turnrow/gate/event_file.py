"""A file of what was done to a heap: columns `at` and `kind`, further ones passed over."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.gate.mapping import Mapped, TimeColumns
from turnrow.gate.moments import read_moments
from turnrow.gate.tables import read_table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.gate.zones import Clock

COLUMNS = ("at", "kind")
KINDS = ("turned", "watered", "covered")


@dataclass(frozen=True, eq=False)
class EventFile:
    """In order of time: at (n,) seconds UTC (local noon for a bare date), kind (n) one of KINDS; what was
    passed over."""

    at: NDArray[np.int64]
    kind: tuple[str, ...]
    notices: tuple[str, ...]

    def of(self, kind: str) -> NDArray[np.int64]:
        return self.at[np.array([one == kind for one in self.kind], dtype=np.bool_)]


def read_events(data: bytes, name: str, *, zone: ZoneInfo) -> EventFile:
    """The events in a file. Raises Refused with everything that is wrong."""
    table = read_table(data, name, Mapped())
    wrongs, notices = WrongsList(name), list[str]()
    folded = [heading.casefold() for heading in table.headings]
    for column in COLUMNS:
        if folded.count(column) != 1:
            wrongs.add(
                f"{name}, row {table.first - 1}",
                ", ".join(table.headings[:5]),
                f"Head one column with the word {column}; the first row is that of headings.",
            )
    wrongs.raise_any()
    others = [h for h in table.headings if h and h.casefold() not in (*COLUMNS, "amount_t")]
    if others:
        notices.append(f"{name}: passed over: {', '.join(others[:10])}.")
    cells, kinds = (table.columns[folded.index(column)] for column in COLUMNS)
    moments = read_moments(
        cells,
        "at",
        TimeColumns(column="at"),
        clock=Clock(zone),
        yard_zone=zone,
        series=np.zeros(len(cells), dtype=np.int64),
        first=table.first,
        workbook=table.workbook,
        wrongs=wrongs,
        notices=notices,
    )
    said = [str(kind or "").strip().casefold() for kind in kinds.to_list()]
    filled = (cells.is_not_null() | kinds.is_not_null()).to_numpy()
    for place in np.flatnonzero(filled):
        if said[place] not in KINDS:
            got = str(kinds[int(place)] or "nothing")
            wrongs.add(f"row {table.first + place}, column kind", got, f"Write one of {', '.join(KINDS)}.")
        elif cells[int(place)] is None:
            wrongs.add(f"row {table.first + place}, column at", "nothing", "Write when it was done.")
    wrongs.raise_any()
    good = np.flatnonzero(moments.good)
    order = good[np.argsort(moments.at[good], kind="stable")]
    return EventFile(moments.at[order], tuple(said[i] for i in order), tuple(notices))
