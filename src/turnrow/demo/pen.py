"""Writes the invented diary: entries get ids and times from the seed, and go in a page at a time."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from datetime import time as clock
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from turnrow.journal.book import Book
from turnrow.yard.entries import Entry, Line, Reviewed, What, row_of

SPACE = UUID("6f0d7d0e-52f4-5a57-9b63-0d1f6c2c7a11")


@dataclass(frozen=True)
class Season:
    """The season's calendar: day 0 is `start`, day `last` is `end`."""

    start: date
    end: date
    zone: ZoneInfo

    @property
    def last(self) -> int:
        return (self.end - self.start).days

    def at(self, day: int, hour: float) -> datetime:
        """Local wall clock, whole minutes; `hour` may run past midnight."""
        minutes = round(hour * 60)
        when = datetime.combine(self.start + timedelta(days=day), clock(), self.zone)
        return when + timedelta(minutes=minutes)

    def date(self, day: int) -> date:
        return self.start + timedelta(days=day)


@dataclass
class Pen:
    """Keeps what is written until its page is sent; knows which line an entry became."""

    book: Book
    season: Season
    seed: int
    count: int = 0
    line_of: dict[str, int] = field(default_factory=dict)
    head: int = 0
    unread: dict[str, int] = field(default_factory=dict)  # row -> its newest line no one signed for

    def entry(
        self, day: int, hour: float, who: str, what: What, device: str, day_only: bool = False
    ) -> Entry:
        return Entry(
            id=self.new_id(),
            happened=self.season.at(day, hour),
            who=who,
            what=what,
            device=device,
            day_only=day_only,
        )

    def anew(self, wrong: Entry, what: What) -> Entry:
        """What should have been written in place of `wrong`: same moment, person and device."""
        return Entry(id=self.new_id(), happened=wrong.happened, who=wrong.who, what=what, device=wrong.device)

    def new_id(self) -> str:
        """The next id of this seed."""
        self.count += 1
        return str(uuid5(SPACE, f"{self.season.end.isoformat()} {self.seed} {self.count}"))

    def send(
        self, entries: list[Entry], day: int, hour: float, blobs: Mapping[str, bytes] | None = None
    ) -> tuple[Line, ...]:
        """Append a page, written at that hour of the server's clock."""
        if not entries:
            return ()
        lines = self.book.append(entries, blobs or {}, written=self.season.at(day, hour)).lines
        self.keep(lines)
        return lines

    def keep(self, lines: tuple[Line, ...]) -> None:
        """Note what has gone into the book."""
        for line in lines:
            self.line_of[line.entry.id] = line.number
            self.head = line.number
            for row in row_of(line.entry.what):
                if isinstance(line.entry.what, Reviewed):
                    self.unread.pop(row, None)
                else:
                    self.unread[row] = line.number
