"""The yard's book: lines are added, struck by later lines, and never changed."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from types import MappingProxyType, TracebackType

from msgspec import Struct

from turnrow.journal import adding, kept_head, seal, upgrade, verify
from turnrow.journal.check import MOST, Fault
from turnrow.journal.store import Row, Store
from turnrow.yard import blocks
from turnrow.yard.entries import Entry, Line
from turnrow.yard.wrongs import DamagedJournal, refuse

__all__ = ["Book", "Fault", "Head", "Receipt"]

BROKEN = "its seal does not follow from the line before and its bytes: it was changed after it was written"
REWRITTEN = "it has another seal than when it was read before: the book was written anew"
NO_BLOBS: Mapping[str, bytes] = MappingProxyType({})


class Head(Struct, frozen=True):
    """The last line and its seal, as printed on every paper; line 0 and the first seal when empty."""

    line: int
    seal: str


class Receipt(Struct, frozen=True):
    """What an append did, once it is on the disk.

    lines           the new lines
    known           numbers of lines that held an entry already
    clock_behind_s  how far the clock stood before the last line written; 0 when it did not
    """

    lines: tuple[Line, ...]
    known: tuple[int, ...]
    clock_behind_s: float = 0.0


class Book:
    """One yard's book in one file. Close it, or use it in a `with`."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._followed = (0, seal.GENESIS)  # how far the chain was followed from line 1, and its seal there
        self._changes = store.changes()  # of other programs, when the whole chain was last followed

    @classmethod
    def create(cls, where: str) -> "Book":
        """A new, empty book at the path `where`; Refused when something is there."""
        return cls(Store.create(where))

    @classmethod
    def open(cls, where: str) -> "Book":
        """The book at the path `where`. Cheap: it looks at the file's head, not at every line."""
        return cls(Store.open(where))

    def __enter__(self) -> "Book":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, wrong: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        self.store.close()

    def append(
        self, entries: Sequence[Entry], blobs: Mapping[str, bytes] = NO_BLOBS, *, written: datetime
    ) -> Receipt:
        """Write all `entries` with the blobs they name, or none; on the disk when it returns.

        An entry whose id is there with the same bytes is known and not written again. Refused, with
        every reason: an id there with other bytes, a blob missing or not its name's, a strike of
        no line, of a struck one or of a strike. `written` earlier than the last line's counts as that.
        """
        offered = adding.offers(entries)
        now_us = seal.microseconds(written)
        lines: list[Line] = []
        with self.store.writing():
            self._seal_of(self._followed[0])
            plan = adding.plan(offered, blobs, self.store)
            last = self.store.last()
            for name, data in plan.blobs.items():
                self.store.add_blob(name, data)
            self.store.add(adding.rows(plan.fresh, last, now_us, lines))
        if lines:
            kept_head.keep(self.store)
        behind_us = max(0, last.written_us - now_us) if last else 0
        return Receipt(tuple(lines), plan.known, behind_us / 1e6)

    def lines(self, after: int = 0) -> Iterator[Line]:
        """Lines by number from the one after `after`, a few at a time; each follows from the one before.

        Raises DamagedJournal at the first that does not read or does not follow, Refused at one of a newer
        format. What was followed from line 1 must be there the same the next time.
        """
        try:
            before = self._seal_of(after)
            for row in self.store.rows(after):
                if row.number != after + 1:
                    raise DamagedJournal(after + 1, f"missing; the next in the file is line {row.number}")
                line = _line(row, before)
                self._follow(row)
                yield line
                after, before = row.number, row.seal
        except DamagedJournal as wrong:
            if wrong.line:
                raise
            raise DamagedJournal(after + 1, wrong.what) from wrong

    def line(self, number: int) -> Line:
        row = self.store.row(number)
        if row is None:
            raise refuse("line", number, f"The book's last line is {self.head().line}.")
        return _line(row, self._seal_of(number - 1))

    def check(self) -> None:
        """Before a paper or a release: DamagedJournal where the chain does not hold.

        Lines read by this book were followed as they were read. The whole is followed again only where
        another program wrote since, as it may have changed what was read before.
        """
        changes = self.store.changes()
        if changes != self._changes:
            self.follow()
            self._changes = changes

    def follow(self) -> None:
        """Follow the whole chain, bytes and seals only; DamagedJournal at the first that does not hold."""
        number, before = 0, seal.GENESIS
        for row in self.store.rows():
            if row.number != number + 1:
                raise DamagedJournal(number + 1, f"missing; the next in the file is line {row.number}")
            _follows(row, before)
            self._follow(row)
            number, before = row.number, row.seal
        self._seal_of(self._followed[0])

    def _seal_of(self, number: int) -> bytes:
        """The seal a line has; DamagedJournal where it was followed before and is not as it was."""
        if not number:
            return seal.GENESIS
        row = self.store.row(number)
        followed, there = self._followed
        if number <= followed and row is None:
            raise DamagedJournal(number, f"missing; the book was read up to line {followed} before")
        if row is None:
            return b""  # beyond the end: nothing follows
        if number == followed and row.seal != there:
            raise DamagedJournal(number, REWRITTEN)
        return sound(row).seal

    def _follow(self, row: Row) -> None:
        followed, there = self._followed
        if row.number == followed + 1:
            self._followed = (row.number, row.seal)
        elif row.number == followed and row.seal != there:
            raise DamagedJournal(row.number, REWRITTEN)

    def blob(self, name: str) -> bytes:
        """The bytes named `name`, checked against it."""
        data = self.store.blob(name)
        if data is None:
            raise DamagedJournal(0, f"the blob {name} is missing")
        if blocks.name_of(data) != name:
            raise DamagedJournal(0, f"the blob {name} has changed")
        return data

    def head(self) -> Head:
        row = self.store.last()
        if row is None:
            return Head(0, seal.GENESIS.hex())
        return Head(row.number, sound(row).seal.hex())

    def verify(self, expect_head: str = "", most: int = MOST) -> tuple[Fault, ...]:
        """Read everything over; see `journal/verify.py`."""
        return verify.verify(self.store, expect_head, most)

    def kept_head(self) -> Head | None:
        """The head kept beside the book, with which `verify` compares; None where there is none."""
        found = kept_head.kept(self.store)
        return Head(found.line, found.seal) if found else None


def sound(row: Row) -> Row:
    if not row.sound:
        raise DamagedJournal(row.number, "a column does not hold what it should")
    return row


def _follows(row: Row, before: bytes) -> None:
    sound(row)
    if seal.seal(before, row.number, row.written_us, row.raw) != row.seal:
        raise DamagedJournal(row.number, BROKEN)


def _line(row: Row, before: bytes) -> Line:
    _follows(row, before)
    try:
        entry = upgrade.entry_of(row.raw, row.number)
        return Line(row.number, seal.moment(row.written_us), row.seal.hex(), entry)
    except (ValueError, OverflowError) as wrong:
        raise DamagedJournal(row.number, f"its bytes do not read: {wrong}") from wrong
