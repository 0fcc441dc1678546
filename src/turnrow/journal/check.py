"""Following the chain line by line: every check a line must pass, named."""

from collections.abc import Callable

import msgspec

from turnrow.journal import seal, upgrade
from turnrow.journal.store import Row
from turnrow.yard import blocks, days
from turnrow.yard.entries import FORMAT, Entry, LoggerBlock, Struck
from turnrow.yard.known_units import unit_faults
from turnrow.yard.wrongs import Refused

MOST = 100  # faults listed; after that only counted
UTC = days.zone("UTC")


class Fault(msgspec.Struct, frozen=True):
    """What does not hold.

    line   the line it stands on; 0: the whole file
    check  number, written, seal, entry, format, canonical, id, strike, unit, blob, block, head, structure
    what   one sentence
    """

    line: int
    check: str
    what: str


class Walk:
    """A chain as far as it was followed; lines are given in order, from the first.

    blob   gives the bytes named, None where there are none; asked once for each name
    """

    def __init__(self, blob: Callable[[str], bytes | None], most: int = MOST) -> None:
        self.number = 0
        self.seal = seal.GENESIS
        self.faults: list[Fault] = []
        self.more = 0  # faults beyond `most`
        self.named: set[str] = set()
        self._written_us = 0
        self._ids: dict[str, int] = {}
        self._strikes: dict[int, int] = {}  # line struck -> line that strikes it
        self._struck_by: set[int] = set()  # lines that are strikes
        self._blob = blob
        self._counts: dict[str, int | None] = {}  # blob -> readings in it, None: no block
        self._most = most
        self._units: dict[int, tuple[str, ...]] = {}  # line -> amounts whose unit is not known

    def fault(self, line: int, check: str, what: str) -> None:
        if len(self.faults) < self._most:
            self.faults.append(Fault(line, check, what))
        else:
            self.more += 1

    def step(self, row: Row) -> None:
        """The next line; notes every check it does not pass."""
        if not row.sound:
            self.fault(self.number + 1, "structure", "a column does not hold what it should")
            return
        number = row.number
        if number <= self.number:
            self.fault(number, "number", f"line {number} stands again after line {self.number}")
        elif number != self.number + 1:
            gap = (
                f"line {self.number + 1}"
                if number == self.number + 2
                else f"lines {self.number + 1}–{number - 1}"
            )
            self.fault(self.number + 1, "number", f"{gap} missing; the next in the file is {number}")
        if seal.seal(self.seal, number, row.written_us, row.raw) != row.seal:
            self.fault(number, "seal", "the seal does not follow from the line before and the bytes")
        if row.written_us < self._written_us:
            self.fault(number, "written", "written before the line before it")
        self.number, self.seal, self._written_us = number, row.seal, row.written_us
        entry = self._entry(row)
        if entry is not None:
            self._id(row, entry)
            self._strike(row, entry)
            if wrong := unit_faults(entry.what):
                self._units[number] = wrong
            self._blobs(number, entry)

    def end(self) -> None:
        """After the last line: name units that are not known, but for lines that were struck since."""
        for line, wrong in self._units.items():
            if line not in self._strikes:
                for what in wrong:
                    self.fault(line, "unit", what)

    def take_blob(self, name: str, data: bytes) -> str:
        """Note a blob's bytes; says what is wrong with them, nothing when they are sound."""
        self._counts[name] = _count(data)
        return "" if blocks.name_of(data) == name else "its bytes are not those its name was made from"

    def _entry(self, row: Row) -> Entry | None:
        try:
            entry = upgrade.entry_of(row.raw, row.number)
            old = upgrade.format_of(row.raw) != FORMAT
        except Refused as wrong:
            self.fault(row.number, "format", wrong.refusals[0].sentence())
            return None
        except ValueError as wrong:
            self.fault(row.number, "entry", str(wrong))
            return None
        plain = msgspec.json.decode(row.raw) if old else entry
        if seal.canonical(plain) != row.raw:
            self.fault(row.number, "canonical", "the bytes are not the one spelling of the entry")
        return entry

    def _id(self, row: Row, entry: Entry) -> None:
        if entry.id != row.id:
            self.fault(row.number, "id", f"filed under another id than the entry's own, {entry.id!r}")
        first = self._ids.setdefault(entry.id, row.number)
        if first != row.number:
            self.fault(row.number, "id", f"the id {entry.id!r} stands on line {first} already")

    def _strike(self, row: Row, entry: Entry) -> None:
        line = entry.what.line if isinstance(entry.what, Struck) else None
        if row.strikes != line:
            self.fault(row.number, "strike", f"filed as striking {row.strikes}, the entry says {line}")
        if line is None:
            return
        if not 1 <= line < row.number:
            self.fault(row.number, "strike", f"strikes line {line}, which is not before it")
        elif line in self._struck_by:
            self.fault(row.number, "strike", f"strikes line {line}, which is a strike itself")
        elif line in self._strikes:
            self.fault(row.number, "strike", f"line {line} is struck by line {self._strikes[line]} already")
        self._strikes.setdefault(line, row.number)
        self._struck_by.add(row.number)

    def _blobs(self, number: int, entry: Entry) -> None:
        self.named.update(seal.spare_blobs_of(entry))
        for name in seal.blobs_of(entry):
            self.named.add(name)
            if name not in self._counts:
                data = self._blob(name)
                if data is None:
                    self.fault(number, "blob", f"the blob {name} is missing")
                    continue
                wrong = self.take_blob(name, data)
                if wrong:
                    self.fault(number, "blob", f"the blob {name}: {wrong}")
            what = entry.what
            if isinstance(what, LoggerBlock) and self._counts[name] != what.count:
                self.fault(
                    number, "block", f"says {what.count} readings, its block holds {self._counts[name]}"
                )


def _count(data: bytes) -> int | None:
    """Readings in a block; None when the bytes are no block."""
    if not data.startswith(blocks.MAGIC):
        return None
    try:
        return len(blocks.unpack(data, 0, UTC))
    except ValueError:
        return None
