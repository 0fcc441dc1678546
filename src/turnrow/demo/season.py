"""Fills an empty book with the invented yard's season, day by day, as the yard would have sent it."""

from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random

from turnrow.demo import cast, logged, office, sold, work
from turnrow.demo.air import Air, season_air
from turnrow.demo.heat import Course, courses
from turnrow.demo.pen import Pen, Season
from turnrow.demo.plans import (
    CREW_AWAY,
    GALE,
    LIFTED,
    OFFLINE,
    READ_TODAY,
    SEASON_DAYS,
    SHEET_DAYS,
    STORM,
    RowPlan,
    joins,
    plans,
)
from turnrow.demo.sheets import Sheets
from turnrow.demo.walk import Walker, probe_of, walked
from turnrow.demo.work import Deed
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.yard import days, entries
from turnrow.yard.entries import Entry

MORNING, EVENING = 6.95, 17.5  # when the morning's and the day's pages reach the book
MINUTES_EACH_ROW = 2.0
STORM_MM = 46.0
WRONG_BY = 100_000_000  # millionths: 156 for 56


def build(where: str | Path | Book, *, end: date, seed: int = 7) -> None:
    """Fill an empty book with the season that ends on the morning of `end`.

    where  an empty Book, or a path at which there is nothing yet
    The same `end` and `seed` give the same entries, byte for byte (within one release).
    Raises ValueError when the book already holds lines; Refused when the path is taken.
    """
    if isinstance(where, Book):
        _fill(where, end, seed)
        return
    with Book.create(str(where)) as book:
        _fill(book, end, seed)


def last_morning(now: datetime) -> date:
    """The newest day of the invented yard whose first round is over at `now` (aware)."""
    there = now.astimezone(days.zone(cast.ZONE))
    return there.date() if there.hour >= 7 else there.date() - timedelta(days=1)


def _fill(book: Book, end: date, seed: int) -> None:
    if book.head().line:
        raise ValueError(f"book holds {book.head().line} lines, the demonstration wants 0")
    story = Story.begin(book, end, seed)
    for day in range(story.pen.season.last + 1):
        story.day(day)


@dataclass
class Story:
    """The season under way."""

    pen: Pen
    air: Air
    rows: tuple[RowPlan, ...]
    courses: dict[str, Course]
    sheets: Sheets
    walker: Walker
    chance: Random
    gone: set[str] = field(default_factory=set)
    late: list[Entry] = field(default_factory=list)
    weekend: int = 0  # the Saturday of the missed weekend
    again: list[Entry] = field(default_factory=list)  # rounds to be struck and written anew

    @classmethod
    def begin(cls, book: Book, end: date, seed: int) -> "Story":
        season = Season(end - timedelta(days=SEASON_DAYS), end, days.zone(cast.ZONE))
        pen = Pen(book, season, seed)
        chance = Random(seed)
        air = season_air(
            season.start,
            season.last + 2,
            chance,
            {season.last - STORM - 1: STORM_MM},
            {season.last - GALE: 12.4, season.last: 2.6},
        )
        rows = tuple(_alike(row, chance) for row in plans())
        heaps = {
            row.name: work.heap_of(row, season.last - row.built, _joined(row.name, season.last))
            for row in rows
        }
        known = courses(heaps, air, season.last * 24 + 12, seed)
        saturday = next(
            day for day in range(season.last - CREW_AWAY, season.last) if season.date(day).weekday() == 5
        )
        walker = Walker(chance, {})
        return cls(pen, air, rows, known, Sheets(pen, Desk(book)), walker, chance, weekend=saturday)

    def day(self, day: int) -> None:
        """Everything of one day: the walk, the sheet, the work, the office."""
        ago = self.pen.season.last - day
        if day == 0:
            self._send(office.opening(), day, 7.3)
        self._morning(day, ago)
        if ago == 0:
            return
        if ago in SHEET_DAYS:
            self.sheets.issue(day)
        self._daytime(day, ago)
        sold.write(self.sheets.desk, self.pen, day, ago)

    def _morning(self, day: int, ago: int) -> None:
        """Weather and rounds; on the days without signal the far pad's come later."""
        pen = self.pen
        page = [pen.entry(day, 5.4, cast.HAND, office.weather(self.air, day), cast.PHONE)]
        offline = OFFLINE[1] <= ago <= OFFLINE[0]
        if ago == OFFLINE[1] - 1:
            pen.send(self.late, day, 6.2)
            self.late = []
        hour = 5.5 if ago else 5.2
        for plan in self.rows:
            age = plan.built - ago
            if plan.name in self.gone or not walked(plan, age, self.pen.season.date(day).weekday()):
                continue
            if (plan.weekend and day - self.weekend in (0, 1)) or (not ago and plan.name not in READ_TODAY):
                continue
            entries_of_row = self._round(plan, age, day, hour)
            far = plan.name[1:].isdigit() and int(plan.name[1:]) % 2 == 1
            (self.late if offline and far else page).extend(entries_of_row)
            hour += MINUTES_EACH_ROW / 60
        page.sort(key=lambda entry: entry.happened)
        pen.send(page, day, MORNING)

    def _round(self, plan: RowPlan, age: int, day: int, hour: float) -> list[Entry]:
        course_of = self.courses[plan.name]
        far = plan.name[1:].isdigit() and int(plan.name[1:]) % 2 == 1
        probe = probe_of(plan, self.pen.season.date(day).weekday())
        who = cast.TRAINEE if probe is cast.FAHRENHEIT else cast.SECOND if far else cast.HAND
        device = cast.SECOND_PHONE if far else cast.PHONE
        what = self.walker.round(plan, course_of, age, day * 24 + hour, probe)
        out = [self.pen.entry(day, hour, who, what, device)]
        score = work.squeezed(plan, course_of, age, day * 24 + hour)
        if score:
            out.append(self.pen.entry(day, hour + 1 / 60, who, score, device))
        if plan.name == "R22" and (age, "2") in plan.forced:
            self.again.append(out[0])
        return out

    def _daytime(self, day: int, ago: int) -> None:
        """Work on the rows, then the office's own lines; the logger's file once a week."""
        pen = self.pen
        deeds: list[Deed] = []
        for plan in self.rows:
            if plan.built == ago:
                deeds += work.building(plan, self.chance) + office.rules(plan.name)
            elif plan.built > ago and plan.name not in self.gone:
                deeds += work.deeds(plan, self.courses[plan.name], plan.built - ago, day)
        for join in joins():
            if join.ago == ago:
                deeds.append(Deed(14.8, cast.HAND, entries.Merged(join.row, join.sources)))
                deeds += work.stacked(join.row, len(join.sources))
                self.gone |= set(join.sources) - {join.row}
        self.gone |= {row for row, lifted in LIFTED.items() if lifted == ago}
        deeds += _handled(ago)
        page = [pen.entry(day, deed.hour, deed.who, deed.what, _device(deed)) for deed in _spread(deeds)]
        page += self.sheets.ticks(day, page)
        pen.send(page, day, EVENING)
        self._put_right(day)
        self._send(office.beside(ago, day, pen), day, EVENING + 0.6)
        self._read_out(day, ago)

    def _put_right(self, day: int) -> None:
        """Strike a round with a wrong number and write it anew, the same evening."""
        for wrong in self.again:
            if not isinstance(wrong.what, entries.Round):
                continue
            line = self.pen.line_of[wrong.id]
            readings = tuple(_meant(reading) for reading in wrong.what.readings)
            struck = entries.Struck(line, "156 typed for 56; the probe showed 56")
            anew = entries.Round(wrong.what.row, wrong.what.unit, readings, probe=wrong.what.probe)
            first = self.pen.entry(day, 17.5, cast.HAND, struck, cast.PHONE)
            second = self.pen.anew(wrong, anew)
            self.pen.send([first, second], day, EVENING + 0.1)
        self.again = []

    def _read_out(self, day: int, ago: int) -> None:
        for plan in self.rows:
            age = plan.built - ago
            if plan.logger and age > 0 and (age % 7 == 0 or ago == 1):
                first = day - (7 if age % 7 == 0 else age % 7)
                entry, blobs = logged.block(plan, self.courses[plan.name], first, day, self.pen, self.chance)
                self.pen.send([entry], day, EVENING + 0.8, blobs)

    def _send(self, deeds: list[Deed], day: int, hour: float) -> None:
        page = [self.pen.entry(day, deed.hour, deed.who, deed.what, _device(deed)) for deed in deeds]
        self.pen.send(page, day, hour)


def _meant(reading: entries.Reading) -> entries.Reading:
    """A number with a 1 too many in front, as it was meant."""
    wrong = reading.value > WRONG_BY
    return entries.Reading(reading.station, reading.depth_mm, reading.value - WRONG_BY) if wrong else reading


def _spread(deeds: list[Deed]) -> list[Deed]:
    """In the order of the day."""
    return sorted(deeds, key=lambda deed: deed.hour)


def _device(deed: Deed) -> str:
    return cast.DESK if deed.who in (cast.MANAGER, cast.OFFICE) else cast.PHONE


def _alike(plan: RowPlan, chance: Random) -> RowPlan:
    """No two rows of the same make are the same."""
    if plan.process != "turned":
        return plan
    return replace(
        plan,
        peak=plan.peak + chance.uniform(-0.8, 0.8),
        moisture=plan.moisture + chance.uniform(-0.02, 0.02),
    )


def _joined(row: str, last: int) -> tuple[float, ...]:
    """Hours at which rows were pushed into `row`."""
    return tuple((last - join.ago) * 24 + 15.0 for join in joins() if join.row == row)


def _handled(ago: int) -> list[Deed]:
    """What was done about the 72 °C in R20, on the day it was read."""
    if ago != 89:
        return []
    hot = entries.Incident(
        "72 °C at station 2, dry in the core",
        "R20",
        "turned and watered at once, watched until evening, 58 °C at six",
    )
    return [
        Deed(9.2, cast.HAND, entries.Watered("R20", cast.amount(1800, "L"))),
        Deed(9.6, cast.MANAGER, hot),
    ]
