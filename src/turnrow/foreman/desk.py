"""The desk: the one place that joins the book to the heart. It asks and writes down; it reckons nothing."""

from collections.abc import Mapping
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from turnrow.foreman import morning
from turnrow.foreman.alarms import Alarms, alarms_of
from turnrow.foreman.left import leaving_wrongs
from turnrow.foreman.lot_jobs import lot_jobs, of_lots
from turnrow.foreman.matter import Matter
from turnrow.foreman.morning import Today
from turnrow.foreman.quality import release_wrongs
from turnrow.foreman.rows import FOR_EVER, Rows, YardChoice
from turnrow.foreman.rules import Choice, yard_choices
from turnrow.foreman.stands import Stands, held_back, stands
from turnrow.foreman.ticking import Tick, answered, entries_of
from turnrow.foreman.whole_load import whole_load
from turnrow.gate.forms import entry_from
from turnrow.handbook.book import handbook
from turnrow.journal.book import NO_BLOBS, Book, Receipt
from turnrow.lots.ledger import Ledger
from turnrow.lots.wrongs import wrongs_of
from turnrow.sanitation.probe_faults import Fault
from turnrow.sanitation.standing import RowStanding, State, Stood
from turnrow.schedule.ahead import Ahead, with_ahead
from turnrow.schedule.around import around
from turnrow.schedule.jobs import day_jobs
from turnrow.schedule.limits import Limits
from turnrow.schedule.probing import probe_checks
from turnrow.yard import days
from turnrow.yard.diary import Diary
from turnrow.yard.entries import (
    Advice,
    Amount,
    Entry,
    Line,
    ProbeChecked,
    SettingChosen,
    SheetIssued,
    Weather,
)
from turnrow.yard.wrongs import Refused

MIDDAY = time(12)
NO_FIELDS: Mapping[str, str] = {}


class Desk:
    """A yard's book and what was made of it; one person at a time (the pages keep a lock around it).

    Looking writes nothing. A line that comes in makes only the rows it touches be read anew.
    """

    def __init__(self, book: Book, upto: int = FOR_EVER) -> None:
        self.book = book
        self._upto = upto  # the last line it reads
        self.handbook = handbook()
        self.diary = Diary(book.blob)
        self._rows = Rows(self.diary, self.handbook)
        self._then = Rows(self.diary, self.handbook)  # rows at earlier moments, so that today's are kept
        self._stood: tuple[int, dict[tuple[str, int], Stood]] = (0, {})
        self._settings: tuple[int, int, dict[str, Amount]] | None = None
        self._choice: tuple[int, int, YardChoice] | None = None
        self._matter = Matter(self.diary)
        self._stands: tuple[int, int, Stands] | None = None
        self._alarms: tuple[int, int, int, Alarms] | None = None
        self.ahead: dict[str, Ahead] = {}  # outlooks made elsewhere; an old one does not speak
        self.refresh()

    def refresh(self) -> None:
        """Read the lines that were added to the book, by whomever."""
        self.diary.add(line for line in self.book.lines(self.diary.head) if line.number <= self._upto)

    def then(self, number: int) -> "Desk":
        """The desk as it stood before the line of that number was written, to look with."""
        return Desk(self.book, number - 1)

    def stands(self, now: datetime) -> Stands:
        """Releases that stand no more; kept for the day until a line comes."""
        day = now.astimezone(self.zone).toordinal()
        if self._stands is None or self._stands[:2] != (self.diary.head, day):
            self._stands = (self.diary.head, day, stands(self, now))
        return self._stands[2]

    @property
    def zone(self) -> ZoneInfo:
        return self.diary.zone

    def settings(self, upto_s: int = FOR_EVER) -> Mapping[str, Amount]:
        """Every handbook setting by name, the yard's newest own values overlaid."""
        if self._settings is None or self._settings[:2] != (self.diary.head, upto_s):
            found = {name: setting.amount for name, setting in self.handbook.settings.items()}
            for event, what in self.diary.own_events(SettingChosen):
                if event.at <= upto_s and what.name in found:
                    found[what.name] = what.amount
            self._settings = (self.diary.head, upto_s, found)
        return self._settings[2]

    @property
    def lots(self) -> Ledger:
        """The yard's matter in double entry, as of the newest line."""
        return self._matter.kept(self.settings()).ledger

    def choice(self, row: str, upto_s: int = FOR_EVER) -> Choice:
        """The rule a row works to, its policies and facts, and why that one."""
        return self._rows.choice(row, self._yard_choice(upto_s), upto_s)

    def rule_for(self, row: str) -> tuple[str, Mapping[str, str], Mapping[str, str]]:
        """Rule id ("" where none fits), policies, facts; KeyError for an unknown row."""
        chosen = self.choice(row)
        return chosen.id, chosen.policies, chosen.facts

    def standing(self, row: str, upto_s: int = FOR_EVER) -> RowStanding:
        """Where a row stands; kept until a line touches it. KeyError for an unknown row."""
        return self._rows.standing(row, self._yard_choice(upto_s), self.settings(upto_s), upto_s)

    def standing_under(self, row: str, rule: str, upto_s: int = FOR_EVER) -> RowStanding:
        """Where a row stands under another rule than its own. KeyError for an unknown row or rule."""
        return self._rows.under(self.handbook.rules[rule], row, self.settings(upto_s), upto_s)

    def wrong_probes(self) -> tuple[Fault, ...]:
        """Probes known to be off, and from when to when."""
        return self._rows.wrong_probes(self.settings())

    def stood(self, row: str, at_s: int) -> Stood:
        """How a row stood at an earlier moment, and what stands beside that, by what is known of it now; kept
        until a line comes."""
        if self._stood[0] != self.diary.head:
            self._stood = (self.diary.head, {})
        kept = self._stood[1]
        if (row, at_s) not in kept:
            found = self._then.standing(row, self._yard_choice(at_s), self.settings(at_s), at_s)
            kept[row, at_s] = (found.standing.verdict, found.beside)
        return kept[row, at_s]

    def otherwise(self, row: str, upto_s: int = FOR_EVER) -> tuple[tuple[str, str, State], ...]:
        """Its verdict under each other reading the rule's text leaves open: (policy, value, state)."""
        return self._rows.otherwise(row, self._yard_choice(upto_s), self.settings(upto_s), upto_s)

    def jobs(self, row: str, now: datetime) -> list[Advice]:
        """The jobs of one row on the day of `now`."""
        today = now.astimezone(self.zone).toordinal()
        return self._jobs(row, days.seconds(now), self._end_of(today))

    def today(self, now: datetime) -> Today:
        """The day of `now` as the diary stands; lines dated after that day are left out."""
        day = now.astimezone(self.zone).toordinal()
        return self._day(day, days.seconds(now), self._end_of(day), lot_jobs(self.stands(now)))

    def issued(self, now: datetime) -> Today:
        """The day's sheet as it was issued and what of it was answered, without working out the day anew."""
        day = now.astimezone(self.zone).toordinal()
        return morning.today_of(self.diary, (), day, self._end_of(day), self.handbook.edition)

    def morning_of(self, day: date) -> Today:
        """A day as it stood at its midday: from lines that happened by then, whenever they were written; of
        lots, what its sheet said."""
        noon_s = days.seconds(datetime.combine(day, MIDDAY, self.zone))
        sheet = morning.sheet_of(self.diary, day.toordinal(), noon_s)
        lots = of_lots(sheet.entry.what.advice) if sheet and isinstance(sheet.entry.what, SheetIssued) else []
        return self._day(day.toordinal(), noon_s, noon_s, lots)

    def issue(self, now: datetime, who: str, device: str = "") -> Line:
        """Issue the day's sheet: one a day, so a second time gives the one that is there."""
        self.refresh()
        today = self.today(now)
        if today.sheet is not None:
            return today.sheet
        again = sum(what.day == today.day for line, what in self.diary.every(SheetIssued))
        entry = morning.sheet_entry(today, now=now, who=who, device=device, again=again)
        try:
            self._append([entry], now)
        except Refused:
            self.refresh()  # somebody else issued it meanwhile
            there = self.today(now).sheet
            if there is None:
                raise
            return there
        found = self.today(now).sheet
        if found is None:
            raise ValueError(f"sheet of {today.day} written and not found, want it in the diary")
        return found

    def write(
        self,
        kind: str,
        fields: Mapping[str, str],
        *,
        now: datetime,
        who: str,
        device: str = "",
        id: str = "",
        blobs: Mapping[str, bytes] = NO_BLOBS,
    ) -> Receipt:
        """One entry from a form into the book, with the picture it names.

        The same form sent again (its id is known) is read as it was the first time, so it writes once;
        with other words under that id it is refused. Refused with every reason, and nothing written.
        """
        with self.book.store.alone():  # what the entry was held against is what it is written behind
            receipt = self.put(kind, fields, now=now, who=who, device=device, id=id, blobs=blobs)
        self.refresh()
        return receipt

    def put(
        self,
        kind: str,
        fields: Mapping[str, str],
        *,
        now: datetime,
        who: str,
        device: str = "",
        id: str = "",
        blobs: Mapping[str, bytes] = NO_BLOBS,
    ) -> Receipt:
        """As `write`, for whoever keeps the book alone already and undoes what a Refused leaves behind."""
        self.refresh()
        if kind == "released":
            self.book.check()
        there = self.line_with(id)
        diary, at = (self.before(there), there.entry.happened) if there else (self.diary, now)
        entry = entry_from(kind, fields, diary=diary, now=at, who=who, device=device, id=id)
        entry, unknown = whole_load(lambda: self.lots, entry, there)
        if there is None:
            wrongs = (
                *unknown,
                *wrongs_of(self._matter.kept(self.settings()), entry, self.zone),
                *release_wrongs(self, entry, now),
                *(leaving_wrongs(self.diary, entry) or held_back(self, entry, now)),
            )
            if wrongs:
                raise Refused(wrongs)
        return self.book.append([entry], blobs, written=now)

    def line_with(self, id: str) -> Line | None:
        """The line an entry of that id became; None when the book holds none."""
        row = self.book.store.with_ids([id]).get(id) if id else None
        return self.diary.line(row.number) if row else None

    def before(self, line: Line) -> Diary:
        """The diary as it stood when `line` was written: what an entry sent again is read against."""
        return Diary(self.book.blob, (self.diary.line(n) for n in range(1, line.number)))

    def tick(
        self,
        key: str,
        now: datetime,
        who: str,
        device: str = "",
        done: bool = True,
        reason: str = "",
        fields: Mapping[str, str] = NO_FIELDS,
    ) -> Receipt:
        """A job done (its entry and the tick in one append) or, with a reason, not today.

        `fields` are those of the entry's form: water, passes, machine, readings. Twice writes once.
        """
        self.refresh()
        tick = Tick(key, now, who, device, done, reason, fields)

        def form(kind: str, given: Mapping[str, str], id_: str) -> Entry:
            return entry_from(kind, given, diary=self.diary, now=now, who=who, device=device, id=id_)

        today = self.today(now)
        there = answered(today, tick)
        if there is not None:
            return Receipt((), (there.number,))
        try:
            return self._append(entries_of(today, self.diary, tick, form), now)
        except Refused:
            self.refresh()  # somebody else may have ticked it meanwhile
            there = answered(self.today(now), tick)
            if there is None:
                raise
            return Receipt((), (there.number,))

    def _append(self, entries: list[Entry], now: datetime, blobs: Mapping[str, bytes] = NO_BLOBS) -> Receipt:
        receipt = self.book.append(entries, blobs, written=now)
        self.refresh()
        return receipt

    def _end_of(self, day: int) -> int:
        after = datetime.combine(date.fromordinal(day + 1), time(), self.zone)
        return days.seconds(after) - 1

    def _yard_choice(self, upto_s: int) -> YardChoice:
        if self._choice is None or self._choice[:2] != (self.diary.head, upto_s):
            self._choice = (self.diary.head, upto_s, yard_choices(self.diary, upto_s))
        return self._choice[2]

    def _jobs(self, row: str, now_s: int, upto_s: int) -> list[Advice]:
        yard, day = self._yard_choice(upto_s), days.day_of(now_s, self.zone)
        weather = [pair for pair in self.diary.own_events(Weather) if pair[0].at <= upto_s]
        found = self._rows.jobs(row, yard, now_s, upto_s, around(weather, day), self.settings(upto_s))
        found = self._looked_ahead(row, found, day, upto_s)
        return self._alarms_on(day, upto_s).with_row(row, found)

    def _alarms_on(self, day: int, upto_s: int) -> Alarms:
        """Alarms and open questions of a day; kept until a line comes."""
        key = (self.diary.head, day, upto_s)
        if self._alarms is None or self._alarms[:3] != key:
            self._alarms = (*key, alarms_of(self.diary, day, upto_s))
        return self._alarms[3]

    def _looked_ahead(self, row: str, jobs: list[Advice], day: int, upto_s: int) -> list[Advice]:
        """The row's jobs with what its outlook adds, where one was made of the row as it stands."""
        ahead = self.ahead.get(row)
        if ahead is None or not ahead.speaks(day, self._rows.history(row, upto_s).last_line):
            return jobs
        return with_ahead(jobs, row, ahead, Limits(self.settings(upto_s)), self.zone)

    def _day(self, day: int, now_s: int, upto_s: int, lots: list[Advice]) -> Today:
        yard, settings = self._yard_choice(upto_s), self.settings(upto_s)
        weather = [pair for pair in self.diary.own_events(Weather) if pair[0].at <= upto_s]
        now = around(weather, day)
        alarms = self._alarms_on(day, upto_s)
        jobs: list[list[Advice]] = [lots, alarms.of("")]
        used: dict[str, int] = {}
        for row in self.diary.rows:
            if not self._rows.history(row, upto_s).events:
                continue  # nothing of it had happened yet, or all of it is struck
            found = self._rows.jobs(row, yard, now_s, upto_s, now, settings)
            jobs.append(alarms.with_row(row, self._looked_ahead(row, found, day, upto_s)))
            if found:
                used.update(self._rows.probes(row, yard, upto_s))
        checks = [pair for pair in self.diary.own_events(ProbeChecked) if pair[0].at <= upto_s]
        wrong = self._rows.wrong_probes(settings, upto_s)
        jobs.append(probe_checks(used, checks, wrong, Limits(settings), day))
        return morning.today_of(self.diary, day_jobs(jobs), day, upto_s, self.handbook.edition)
