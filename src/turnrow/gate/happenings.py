"""An event column: what was done to the row between readings."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.gate.amounts import VOLUMES, amount
from turnrow.gate.codes import Codes
from turnrow.gate.mapping import Mapped
from turnrow.gate.moments import Moments
from turnrow.gate.tables import Table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard.entries import Amount

MOST = 5_000  # happenings in one file
_WATERED = re.compile(r"watered\s+(.+)")
_MEANINGS = 'Write "turned", "watered 10 L", "note" or "pass over".'


@dataclass(frozen=True)
class Happening:
    """One thing a file says was done; `text` as the file writes it, `item` its row there."""

    row: str
    at: int
    timed: bool
    kind: str  # turned, watered, note
    text: str
    item: int
    water: Amount | None = None


def read_happenings(
    table: Table, mapped: Mapped, moments: Moments, rows: Codes, wrongs: WrongsList
) -> tuple[Happening, ...]:
    """What the event column says, in the order of the file; what no meaning explains is wrong."""
    if mapped.event is None:
        return ()
    column = mapped.event.column
    cells = table.column(column)
    cells = cells.set(cells.is_in(mapped.missing).fill_null(False), None) if mapped.missing else cells
    meanings = {text: _meaning(text, said, wrongs) for text, said in mapped.event.means.items()}
    found: list[Happening] = []
    unknown: set[str] = set()
    for place in cells.is_not_null().arg_true():
        text = str(cells[place])
        if text not in meanings:
            if text not in unknown:
                where = f"row {table.first + place}, column {column}"
                wrongs.add(where, text, f"Say under [event.means] what it means. {_MEANINGS}")
            unknown.add(text)
            continue
        if not moments.good[place]:
            wrongs.add(f"row {table.first + place}, column {column}", text, "Write when it was done.")
            continue
        for kind, water in meanings[text]:
            found.append(
                Happening(
                    rows.names[int(rows.code[place])],
                    int(moments.at[place]),
                    bool(moments.timed[place]),
                    kind,
                    text,
                    table.first + place,
                    water,
                )
            )
        if len(found) > MOST:
            wrongs.add(f"column {column}", f"more than {MOST} remarks", "Is this the event column?")
            break
    return tuple(found)


def _meaning(text: str, said: str | Sequence[str], wrongs: WrongsList) -> list[tuple[str, Amount | None]]:
    meant: list[tuple[str, Amount | None]] = []
    for one in [said] if isinstance(said, str) else said:
        words = one.strip().casefold()
        watered = _WATERED.fullmatch(one.strip())
        if words in ("turned", "note"):
            meant.append((words, None))
        elif watered:
            found = amount(watered[1], VOLUMES)
            if isinstance(found, str):
                wrongs.add(f"the mapping, [event.means] {text}", one, found)
            else:
                meant.append(("watered", found))
        elif words != "pass over":
            wrongs.add(f"the mapping, [event.means] {text}", one, _MEANINGS)
    return meant
