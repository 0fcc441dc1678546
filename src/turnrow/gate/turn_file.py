"""A file of turns: one column `at`, each row a pass over the heap."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.gate.at_column import AT, columns_of, moments_at
from turnrow.gate.mapping import Mapped
from turnrow.gate.tables import read_table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard import days


@dataclass(frozen=True, eq=False)
class TurnFile:
    """Moments of turns in order: at (n,) seconds UTC (local noon for a bare date), day (n,) date
    ordinals, timed (n,); what was passed over."""

    at: NDArray[np.int64]
    day: NDArray[np.int32]
    timed: NDArray[np.bool_]
    notices: tuple[str, ...]


def read_turns(data: bytes, name: str, *, zone: ZoneInfo) -> TurnFile:
    """The turns in a file; headings alone say that there were none.

    Raises Refused with everything that is wrong.
    """
    table = read_table(data, name, Mapped(), may_be_empty=True)
    wrongs, notices = WrongsList(name), list[str]()
    (cells,) = columns_of(table, name, (AT,), (), wrongs, notices)
    moments = moments_at(cells, AT, table, zone, wrongs, notices)
    wrongs.raise_any()
    at, timed = moments.at[moments.good], moments.timed[moments.good]
    order = np.argsort(at, kind="stable")
    at, timed = at[order], timed[order]
    return TurnFile(at, days.days_of(at, zone), timed, tuple(notices))
