"""What stands beside a verdict wherever it goes: lines written late, a rule changed after the readings."""

from collections.abc import Mapping

import numpy as np

from turnrow.sanitation.standing import Said, Standing
from turnrow.yard.days import DAY_S, HOUR_S, seconds
from turnrow.yard.entries import Amount, Line, LoggerBlock, Reviewed, Struck
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO

HALF_DAY_S = 12 * HOUR_S  # a line with a day alone happened at some hour of it
UNTIMED_BY_NATURE = (Struck, Reviewed)  # say something of older lines, whenever that is


def late_seconds(line: Line, settings: Mapping[str, Amount]) -> int:
    """Seconds from what a line tells of to its writing, where that is late; 0 where it is not.

    A logger's file is read out after its last reading by its nature, and has its own setting.
    """
    what = line.entry.what
    if isinstance(what, UNTIMED_BY_NATURE):
        return 0
    if isinstance(what, LoggerBlock):
        after, most = seconds(line.written) - seconds(what.last), _hours(settings, "late_file_hours")
    else:
        after = seconds(line.written) - seconds(line.entry.happened)
        most = _hours(settings, "late_hours") + (HALF_DAY_S if line.entry.day_only else 0)
    return after if after > most else 0


def late(history: History, standing: Standing, settings: Mapping[str, Amount]) -> tuple[Said, ...]:
    """How many of the readings and turns a verdict rests on were written late, and by how much; () for none.

    Readings are those of the run it counts, or all of the record where it counts none.
    """
    lines = {event.line.number: event.line for event in history.events}
    by = {number: late_seconds(lines[number], settings) for number in standing.lines if number in lines}
    by = {number: after for number, after in by.items() if after}
    if not by:
        return ()
    readings = history.readings
    rests = np.isin(readings.line, np.array(standing.lines, np.int64))
    if standing.run is not None:
        rests &= (readings.day >= standing.run[0]) & (readings.day <= standing.run[1])
    read = readings.line[rests]
    many = int(np.isin(read, np.array(list(by), np.int64)).sum())
    turns = [number for number in standing.turn_lines if number in by]
    own = tuple(sorted({*read.tolist(), *standing.turn_lines} & set(by)))
    if not own:
        return ()
    parts = [f"{many} of {len(read)} readings"] if many else []
    parts += [f"{len(turns)} of {len(standing.turn_lines)} turns"] if turns else []
    longest = max(by[number] for number in own)
    said = (
        f"{' and '.join(parts)} that it rests on were written late, up to {_long(longest)} after they were "
        "taken."
    )
    return ((said, own),)


def changed(what: str, after: int, line: int) -> Said:
    """A rule or a reading of it that was changed once readings were on record.

    what  "continuity was consecutive and is now cumulative"; after: readings on record by then
    """
    many = f"{after} reading{'' if after == 1 else 's'}"
    return f"Changed after {many} of it were on record: {what}.", (line,)


def _hours(settings: Mapping[str, Amount], name: str) -> int:
    """A setting in hours, as seconds."""
    return settings[name].value * HOUR_S // MICRO


def _long(after_s: int) -> str:
    days = after_s // DAY_S
    return f"{days} days" if days > 1 else f"{after_s // HOUR_S} hours"
