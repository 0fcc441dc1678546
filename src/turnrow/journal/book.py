"""The yard's book: lines are added, struck by later lines, and never changed."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from types import MappingProxyType, TracebackType

from msgspec import Struct

from turnrow.journal import adding, seal, upgrade, verify
from turnrow.journal.check import MOST, Fault
from turnrow.journal.store import Row, Store
from turnrow.yard import blocks
from turnrow.yard.entries import Entry, Line
from turnrow.yard.wrongs import DamagedJournal, refuse

__all__ = ["Book", "Fault", "Head", "Receipt"]

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
            plan = adding.plan(offered, blobs, self.store)
            last = self.store.last()
            for name, data in plan.blobs.items():
                self.store.add_blob(name, data)
            self.store.add(adding.rows(plan.fresh, last, now_us, lines))
        behind_us = max(0, last.written_us - now_us) if last else 0
        return Receipt(tuple(lines), plan.known, behind_us / 1e6)

    def lines(self, after: int = 0) -> Iterator[Line]:
        """Lines by number from the one after `after`, a few at a time.

        Raises DamagedJournal at the first that does not read, Refused at one of a newer format.
        """
        try:
            for row in self.store.rows(after):
                if row.number != after + 1:
                    raise DamagedJournal(after + 1, f"missing; the next in the file is line {row.number}")
                yield _line(row)
                after = row.number
        except DamagedJournal as wrong:
            if wrong.line:
                raise
            raise DamagedJournal(after + 1, wrong.what) from wrong

    def line(self, number: int) -> Line:
        row = self.store.row(number)
        if row is None:
            raise refuse("line", number, f"The book's last line is {self.head().line}.")
        return _line(row)

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


def sound(row: Row) -> Row:
    if not row.sound:
        raise DamagedJournal(row.number, "a column does not hold what it should")
    return row


def _line(row: Row) -> Line:
    sound(row)
    try:
        entry = upgrade.entry_of(row.raw, row.number)
        return Line(row.number, seal.moment(row.written_us), row.seal.hex(), entry)
    except (ValueError, OverflowError) as wrong:
        raise DamagedJournal(row.number, f"its bytes do not read: {wrong}") from wrong
