"""The whole diary in memory: lines filed by row, folded into a history when a row is asked for.

Adding a line forgets only what that line touches, so a new reading on one row leaves the
histories of the others as they are.
"""

from collections.abc import Iterable
from zoneinfo import ZoneInfo

from turnrow.yard import blocks, days, entries
from turnrow.yard import history as fold
from turnrow.yard.entries import Line, row_of
from turnrow.yard.history import Event, History, Thing
from turnrow.yard.known_units import unit_faults
from turnrow.yard.readings import Readings

UTC = days.zone("UTC")
LAYING = (entries.YardLaidOut, entries.Struck)  # what may change the calendar


class Diary:
    """Lines so far, oldest first; `blob` gives the bytes named by a hash."""

    def __init__(self, blob: fold.Blob, lines: Iterable[Line] = ()) -> None:
        self._blob = blob
        self._by_row: dict[str, list[Line]] = {}
        self._lines: list[Line] = []
        self._own: list[Line] = []  # lines that speak of no row
        self._kinds: dict[type[entries.Kind], list[Line]] = {}
        self._loads: dict[str, list[Line]] = {}  # by the name of the load that came in
        self._struck: set[int] = set()
        self._out: set[int] = set()  # lines that do not count: struck, or with a unit nobody knows
        self._unknown: dict[int, tuple[str, ...]] = {}
        self._filed: dict[int, tuple[str, ...]] = {}  # line -> rows, to find what a strike touches
        self._histories: dict[str, History] = {}
        self._zone = UTC
        self.head = 0
        self.add(lines)

    def add(self, lines: Iterable[Line]) -> None:
        """File `lines`, which follow those already here."""
        for line in lines:
            if line.number != self.head + 1:
                raise ValueError(f"line {line.number} after line {self.head}, want {self.head + 1}")
            self.head = line.number
            self._lines.append(line)
            what = line.entry.what
            if wrong := unit_faults(what):
                self._unknown[line.number] = wrong
                self._out.add(line.number)
            self._kinds.setdefault(type(what), []).append(line)
            if isinstance(what, entries.LoadIn):
                self._loads.setdefault(what.load, []).append(line)
            rows = row_of(what)
            if isinstance(what, entries.Struck):
                self._struck.add(what.line)
                self._out.add(what.line)
                rows = self._filed.get(what.line, ())
                if not rows:
                    self._own.append(line)
            elif not rows:
                self._own.append(line)
            if isinstance(what, LAYING) and isinstance(self._spoken_of(what), entries.YardLaidOut):
                self._histories.clear()  # the calendar may have changed
                self._zone = days.zone(self.yard.zone)
            if rows:
                self._filed[line.number] = rows
            for row in rows:
                self._by_row.setdefault(row, []).append(line)
                self._histories.pop(row, None)

    def _spoken_of(self, what: entries.What) -> entries.What:
        """What a strike withdraws; anything else itself."""
        if isinstance(what, entries.Struck) and 1 <= what.line <= self.head:
            return self._lines[what.line - 1].entry.what
        return what

    @property
    def rows(self) -> tuple[str, ...]:
        """Every row the diary speaks of, in order of first mention."""
        return tuple(self._by_row)

    def history(self, row: str) -> History:
        """The row's history; the same object until a line touches the row. KeyError if unknown."""
        if row not in self._histories:
            lines = self._by_row[row]
            zone = self.zone
            self._histories[row] = History(
                row=row,
                zone=zone,
                events=fold.in_order(fold.all_events([x for x in lines if x.number not in self._out], zone)),
                struck=tuple(x for x in lines if x.number in self._struck),
                blob=self._blob,
            )
        return self._histories[row]

    @property
    def yard(self) -> entries.YardLaidOut:
        """The yard as last laid out; a nameless one on UTC before that."""
        laid = self.own(entries.YardLaidOut)
        return laid[-1][1] if laid else entries.YardLaidOut(name="", zone="UTC")

    @property
    def zone(self) -> ZoneInfo:
        return self._zone

    def own(self, kind: type[Thing]) -> list[tuple[Line, Thing]]:
        """The yard's own lines of one kind in force (those that speak of no row), by line."""
        return [
            (line, line.entry.what)
            for line in self._kinds.get(kind, ())
            if isinstance(line.entry.what, kind) and not self._filed.get(line.number)
            if line.number not in self._out
        ]

    def taken_in(self, load: str) -> Line | None:
        """The first line in force that took in a load of that name; None where there is none."""
        return next((line for line in self._loads.get(load, ()) if line.number not in self._out), None)

    def all(self, kind: type[Thing]) -> list[tuple[Line, Thing]]:
        """Every line of one kind in force, of the yard or of rows, by line."""
        return [
            (line, line.entry.what)
            for line in self._kinds.get(kind, ())
            if isinstance(line.entry.what, kind) and line.number not in self._out
        ]

    def every(self, kind: type[Thing]) -> list[tuple[Line, Thing]]:
        """As `own`, struck ones too."""
        return [(line, line.entry.what) for line in self._own if isinstance(line.entry.what, kind)]

    def own_events(self, kind: type[Thing]) -> list[tuple[Event, Thing]]:
        """As `own`, in the order they happened."""
        zone = self.zone
        found = [(fold.event(line, zone), what) for line, what in self.own(kind)]
        return sorted(found, key=lambda pair: (pair[0].at, pair[0].line.number))

    def each(self, kind: type[Thing]) -> list[tuple[Line, Thing]]:
        """As `all`, struck ones too."""
        return [(x, x.entry.what) for x in self._kinds.get(kind, ()) if isinstance(x.entry.what, kind)]

    def all_events(self, kind: type[Thing]) -> list[tuple[Event, Thing]]:
        """As `all`, in the order they happened."""
        zone = self.zone
        found = [(fold.event(line, zone), what) for line, what in self.all(kind)]
        return sorted(found, key=lambda pair: (pair[0].at, pair[0].line.number))

    def line(self, number: int) -> Line:
        """The line of that number; KeyError when the diary holds none."""
        if not 1 <= number <= len(self._lines):
            raise KeyError(number)
        return self._lines[number - 1]

    def counts(self, line: int) -> bool:
        """Whether a line is in force: not struck, and with no unit that nobody knows."""
        return line not in self._out

    def block(self, what: entries.LoggerBlock) -> Readings:
        """The readings of a logger's file."""
        return blocks.unpack(self._blob(what.blob), 0, self.zone)

    def is_struck(self, line: int) -> bool:
        return line in self._struck

    @property
    def unknown_units(self) -> tuple[tuple[int, str], ...]:
        """Lines that do not count for a unit their field cannot have, and why; until they are struck."""
        return tuple(
            (number, "; ".join(said)) for number, said in self._unknown.items() if number not in self._struck
        )

    def sheets(self) -> list[tuple[Line, entries.SheetIssued]]:
        """Day sheets issued, oldest first."""
        return self.own(entries.SheetIssued)
