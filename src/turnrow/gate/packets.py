"""What a file says as entries: one block of readings a row, and what was done between them.

Nothing already in the diary is written again: a reading is known by station, depth, moment and
value, so a log that has grown adds only its new end. A line's id is made from its content, so the
same file gives the same ids. What was struck stays struck unless it is asked for again.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np
import polars as pl

from turnrow.gate.files import Intake
from turnrow.gate.handed import Handed
from turnrow.gate.happenings import Happening
from turnrow.gate.names import near
from turnrow.gate.unit_ask import unit_doubts
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard import blocks, days, readings
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, LoggerBlock, Note, Turned, Watered, What
from turnrow.yard.history import History
from turnrow.yard.readings import Readings

AHEAD_S = days.DAY_S  # how far before its time a reading may come: clocks differ by a day at most
KEY = ("station", "depth", "at")


@dataclass(frozen=True)
class Packet:
    """All that one file adds; written together or not at all."""

    entries: tuple[Entry, ...]
    blobs: Mapping[str, bytes]
    readings: int  # new ones
    known: int  # readings of the file that the diary holds already
    notices: tuple[str, ...]


def packet(intake: Intake, diary: Diary, handed: Handed) -> Packet:
    """The entries of a file's readings, rows in the order of the file.

    Raises Refused: a file without a row, a row the diary does not know, a time after its `now`.
    """
    wrongs = WrongsList(intake.name)
    _check_rows(intake, diary, wrongs)
    _check_times(intake, days.seconds(handed.now) + AHEAD_S, wrongs)
    wrongs.raise_any()
    made = _Making(intake, diary, handed)
    for row, found in intake.rows.items():
        made.block(row, found)
    made.asked.raise_any()
    for one in intake.happenings:
        made.happening(one)
    return Packet(
        tuple(made.entries.values()), made.blobs, made.fresh, made.known, (*intake.notices, *made.notices)
    )


def _check_rows(intake: Intake, diary: Diary, wrongs: WrongsList) -> None:
    named = dict.fromkeys([*intake.rows, *(one.row for one in intake.happenings)])
    for row in named:
        if not row:
            wrongs.add(
                intake.name, "readings of no row", "Say which row: --row R7, or a column row in the file."
            )
        elif row not in diary.rows:
            wrongs.add(
                f"{intake.name}, row",
                row,
                f"{near(row, diary.rows)} A new row is written first: turnrow write row-built row=...",
            )


def _check_times(intake: Intake, latest: int, wrongs: WrongsList) -> None:
    for row, found in intake.rows.items():
        late = np.flatnonzero(found.at > latest)
        for place in late:
            when = datetime.fromordinal(int(found.day[place])).date().isoformat()
            wrongs.add(
                f"row {int(found.item[place])}, reading of {row or 'no row'}",
                when,
                "This is more than a day ahead. Set the logger's clock, or give the format in a mapping.",
            )
    for one in intake.happenings:
        if one.at > latest:
            wrongs.add(f"row {one.item}", one.text, "This is more than a day ahead.")


class _Making:
    def __init__(self, intake: Intake, diary: Diary, handed: Handed) -> None:
        self._intake, self._diary, self._handed = intake, diary, handed
        self.entries: dict[str, Entry] = {}
        self.blobs: dict[str, bytes] = {}
        self.notices: list[str] = []
        self.asked = WrongsList(intake.name)
        self.fresh = self.known = 0

    def block(self, row: str, found: Readings) -> None:
        history = self._diary.history(row)
        found, twice = _once(found)
        if twice:
            stands = "reading stands" if twice == 1 else "readings stand"
            self.notices.append(f"{row}: {twice} {stands} twice in the file, taken once.")
        fresh = self._new(row, found, history)
        self.known += len(found) - len(fresh)
        if not len(fresh):
            return
        if not self._handed.as_written:
            self._ask_unit(row, fresh, history)
        _tell_two_values(row, fresh, history.readings, self.notices)
        blob = blocks.pack(fresh)
        name = blocks.name_of(blob)
        self._tell_elsewhere(row, name)
        zone = self._diary.zone
        first, last = (days.moment(int(at), zone) for at in (fresh.at[0], fresh.at[-1]))
        what = LoggerBlock(
            row=row,
            blob=name,
            count=len(fresh),
            first=first,
            last=last,
            file=self._intake.name[-120:],
            file_hash=self._intake.hash,
            probe=self._handed.probe,
        )
        if self._add(row, f"{row}\n{name}", what, last, not bool(fresh.timed[-1]), history):
            self.blobs[name] = blob
            self.fresh += len(fresh)

    def _ask_unit(self, row: str, fresh: Readings, history: History) -> None:
        doubts = unit_doubts(fresh, history)
        if doubts:
            one, count = doubts[0], len(doubts)
            got = f"°{one.unit}, on {count} day{'s' if count > 1 else ''}"
            do = (
                f"{one.sentence} Write the unit {one.likely}, or take it with --as-written where it is right."
            )
            self.asked.add(f"{self._intake.name}, readings of {row or 'no row'}", got, do)

    def _tell_elsewhere(self, row: str, blob: str) -> None:
        """A log taken for the wrong row: another row holds the very readings, or the very file."""
        for other in self._diary.rows:
            if other == row:
                continue
            for event, what in self._diary.history(other).of(LoggerBlock):
                if what.blob == blob or (
                    what.file_hash == self._intake.hash and other not in self._intake.rows
                ):
                    self.notices.append(
                        f"{row}: row {other} holds these readings already (line {event.line.number}). "
                        "One probe stands in one row: strike the line that is wrong."
                    )
                    break

    def _new(self, row: str, found: Readings, history: History) -> Readings:
        fresh = _without(found, history.readings)
        struck = [line for line in history.struck if isinstance(line.entry.what, LoggerBlock)]
        if self._handed.again or not struck:
            return fresh
        withdrawn = readings.together(
            [
                blocks.unpack(history.blob(line.entry.what.blob), line.number, self._diary.zone)
                for line in struck
                if isinstance(line.entry.what, LoggerBlock)
            ]
        )
        left = _without(fresh, withdrawn)
        if len(left) < len(fresh):
            numbers = ", ".join(str(line.number) for line in struck)
            self.notices.append(
                f"{row}: {len(fresh) - len(left)} readings stay withdrawn with the struck line {numbers}; "
                "take the file with --again to bring them back."
            )
        return left

    def happening(self, one: Happening) -> None:
        history = self._diary.history(one.row)
        when = days.moment(one.at, self._diary.zone)
        what: What
        if one.kind == "turned":
            what = Turned(row=one.row)
        elif one.kind == "watered" and one.water is not None:
            what = Watered(row=one.row, water=one.water)
        else:
            what = Note(text=one.text, row=one.row)
        same = [
            e.line.number
            for e in history.events
            if e.at == one.at and not isinstance(what, Note) and type(e.line.entry.what) is type(what)
        ]
        if not same:
            self._add(
                one.row, f"{one.row}\n{one.at}\n{one.kind}\n{one.text}", what, when, not one.timed, history
            )

    def _add(
        self, row: str, content: str, what: What, when: datetime, day_only: bool, history: History
    ) -> bool:
        """Adds an entry unless the diary holds its id; says so when it was struck."""
        lines = {line.entry.id: line for line in history.lines}
        key, turn = _id(content), 0
        while key in lines:
            line = lines[key]
            if not self._diary.is_struck(line.number):
                return False
            if not self._handed.again:
                said = f"{row}: line {line.number} says the same and is struck; --again writes it anew."
                self.notices.append(said)
                return False
            turn += 1
            key = _id(f"{content}\nagain {turn}")
        self.entries[key] = Entry(
            id=key,
            happened=when,
            who=self._handed.who,
            what=what,
            device=self._handed.device,
            day_only=day_only,
        )
        return True


def _id(content: str) -> str:
    return "file-" + hashlib.sha256(content.encode()).hexdigest()[:32]


def _once(found: Readings) -> tuple[Readings, int]:
    """Without the readings that stand twice; the first is kept."""
    if len(found) < 2:
        return found, 0
    order = np.lexsort((found.station, found.at))
    same = (np.diff(found.at[order]) == 0) & (np.diff(found.station[order]) == 0)
    if not same.any():
        return found, 0
    first = _frame(found).with_row_index("i").unique((*KEY, "heat"), keep="first", maintain_order=True)["i"]
    kept = found.pick(first.to_numpy().astype(np.intp))
    return kept, len(found) - len(kept)


def _frame(found: Readings, names: Mapping[str, int] | None = None) -> pl.DataFrame:
    """Station, depth, moment and heat; stations numbered by `names` where given."""
    station = found.station
    if names is not None:
        station = np.array([names[name] for name in found.stations], dtype=np.int32)[station]
    return pl.DataFrame({"station": station, "depth": found.depth, "at": found.at, "heat": found.heat})


def _names(*both: Readings) -> dict[str, int]:
    return {name: code for code, name in enumerate(dict.fromkeys(n for one in both for n in one.stations))}


def _without(found: Readings, held: Readings) -> Readings:
    """Those of `found` that `held` does not hold, by station, depth, moment and heat."""
    overlap = _between(held, found)
    if not len(overlap) or not len(found):
        return found
    names = _names(found, overlap)
    left = _frame(found, names).with_row_index("i")
    kept = left.join(_frame(overlap, names).unique(), on=[*KEY, "heat"], how="anti", maintain_order="left")
    return found if kept.height == len(found) else found.pick(kept["i"].to_numpy().astype(np.intp))


def _between(held: Readings, found: Readings) -> Readings:
    """Those of `held` within the span of `found`."""
    if not len(held) or not len(found):
        return readings.none()
    low, high = np.searchsorted(held.at, found.at[0]), np.searchsorted(held.at, found.at[-1], side="right")
    return held.pick(np.arange(low, high, dtype=np.intp))


def _tell_two_values(row: str, fresh: Readings, held: Readings, notices: list[str]) -> None:
    """A station that says two things at one moment: both are kept, and it is said."""
    overlap = _between(held, fresh)
    timed = fresh.pick(fresh.timed)
    names = _names(fresh, overlap)
    inside = _frame(timed, names).group_by(KEY).len().filter(pl.col("len") > 1).height
    across = _frame(timed, names).join(_frame(overlap.pick(overlap.timed), names), on=KEY, how="semi").height
    if inside or across:
        many = inside + across
        times = "once a station has" if many == 1 else f"{many} times a station has"
        notices.append(f"{row}: {times} two values for one moment; both are kept, flagged.")
