"""A file of what was done to a heap: columns `at` and `kind`, further ones passed over."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.gate.at_column import AT, columns_of, moments_at
from turnrow.gate.mapping import Mapped
from turnrow.gate.tables import read_table
from turnrow.gate.wrongs_list import WrongsList

COLUMNS = (AT, "kind")
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
    """The events in a file; headings alone say that there were none.

    Raises Refused with everything that is wrong.
    """
    table = read_table(data, name, Mapped(), may_be_empty=True)
    wrongs, notices = WrongsList(name), list[str]()
    cells, kinds = columns_of(table, name, COLUMNS, ("amount_t",), wrongs, notices)
    moments = moments_at(cells, AT, table, zone, wrongs, notices)
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
