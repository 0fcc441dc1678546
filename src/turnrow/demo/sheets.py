"""Day sheets of the invented season: issued from the real desk, ticked with what was done that day."""

from collections.abc import Iterable
from dataclasses import dataclass

from turnrow.demo import cast
from turnrow.demo.pen import Pen
from turnrow.foreman.desk import Desk
from turnrow.foreman.ticking import WRITES
from turnrow.yard import entries
from turnrow.yard.entries import Advice, Entry, row_of

SHEET_HOUR = 7.9
PUT_OFF = "hay down and rain coming; first thing tomorrow"


@dataclass
class Sheets:
    """Issues sheets into the book through `pen`; keeps the day's one to tick."""

    pen: Pen
    desk: Desk
    number: int = 0
    advice: tuple[Advice, ...] = ()

    def issue(self, day: int) -> None:
        """The day's sheet, as the desk says it, into the book."""
        self.desk.refresh()
        said = self.desk.today(self.pen.season.at(day, SHEET_HOUR))
        sheet = entries.SheetIssued(
            day=self.pen.season.date(day),
            advice=said.advice,
            upto=self.pen.head,
            edition=self.desk.handbook.edition,
        )
        page = [self.pen.entry(day, SHEET_HOUR, cast.MANAGER, sheet, cast.DESK)]
        lines = self.pen.send(page, day, SHEET_HOUR)
        self.number, self.advice = lines[0].number, said.advice

    def ticks(self, day: int, done: Iterable[Entry]) -> list[Entry]:
        """A tick for each job the day's entries did; the first turn left undone is put off in words."""
        made = [(row, entry) for entry in done for row in row_of(entry.what)]
        out: list[Entry] = []
        put_off = False
        for job in self.advice:
            _, kinds = WRITES.get(job.job, ("", ()))
            ids = tuple(e.id for row, e in made if row == job.row and isinstance(e.what, kinds))
            if ids and job.job != "wait":
                what = entries.JobDone(job.key, self.number, entries=ids)
                out.append(self.pen.entry(day, 16.0, cast.HAND, what, cast.PHONE))
            elif job.job == "turn" and not put_off:
                put_off = True
                what = entries.JobDone(job.key, self.number, done=False, reason=PUT_OFF)
                out.append(self.pen.entry(day, 16.1, cast.MANAGER, what, cast.DESK))
        self.advice = ()
        return out
