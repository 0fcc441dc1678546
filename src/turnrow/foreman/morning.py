"""The day's sheet: what is to be done, and how it differs from what was said when it was issued."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from turnrow.yard import days
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Advice, Entry, JobDone, Line, SheetIssued


@dataclass(frozen=True)
class Changed:
    before: Advice
    after: Advice


@dataclass(frozen=True)
class Since:
    """What changed since the sheet was issued, job by job (matched by key).

    gone  said then, no longer needed, and not done; done: said then and ticked
    """

    new: tuple[Advice, ...] = ()
    changed: tuple[Changed, ...] = ()
    gone: tuple[Advice, ...] = ()
    done: tuple[Advice, ...] = ()


@dataclass(frozen=True)
class Today:
    """One day's jobs as the diary stands; looking at it writes nothing.

    advice   jobs in order of the harm done if they are left
    sheet    the line of the day's sheet, once it was issued
    since    None before it was
    done     jobs ticked that day: key -> the line that says so
    put_off  jobs answered "not today", the same way
    upto     the last line read
    """

    day: date
    advice: tuple[Advice, ...]
    sheet: Line | None = None
    since: Since | None = None
    done: Mapping[str, Line] = field(default_factory=dict)
    put_off: Mapping[str, Line] = field(default_factory=dict)
    upto: int = 0
    edition: str = ""

    @property
    def on_sheet(self) -> tuple[Advice, ...]:
        what = self.sheet.entry.what if self.sheet else None
        return what.advice if isinstance(what, SheetIssued) else ()

    def job(self, key: str) -> Advice | None:
        """The job of that key as the sheet said it, else as it is said now."""
        return next((job for job in (*self.on_sheet, *self.advice) if job.key == key), None)


def today_of(diary: Diary, advice: Sequence[Advice], day: int, upto_s: int, edition: str) -> Today:
    """The day `day` (an ordinal), from lines that happened by `upto_s`."""
    sheet = sheet_of(diary, day, upto_s)
    done, put_off = answers(diary, day, sheet, upto_s)
    what = sheet.entry.what if sheet else None
    since = compare(what.advice, advice, done) if isinstance(what, SheetIssued) else None
    return Today(
        day=date.fromordinal(day),
        advice=tuple(advice),
        sheet=sheet,
        since=since,
        done=done,
        put_off=put_off,
        upto=diary.head,
        edition=edition,
    )


def sheet_of(diary: Diary, day: int, upto_s: int) -> Line | None:
    """The sheet issued for the day."""
    found = [
        line
        for line, what in diary.sheets()
        if what.day.toordinal() == day and days.seconds(line.entry.happened) <= upto_s
    ]
    return found[0] if found else None


def answers(
    diary: Diary, day: int, sheet: Line | None, upto_s: int
) -> tuple[dict[str, Line], dict[str, Line]]:
    """Jobs done and jobs put off that day; the newest answer to a key stands."""
    done: dict[str, Line] = {}
    put_off: dict[str, Line] = {}
    number = sheet.number if sheet else 0
    for event, what in diary.own_events(JobDone):
        of_sheet = number and what.sheet == number
        if event.at > upto_s or not (of_sheet or event.day == day):
            continue
        done.pop(what.key, None)
        put_off.pop(what.key, None)
        (done if what.done else put_off)[what.key] = event.line
    return done, put_off


def compare(said: Sequence[Advice], now: Sequence[Advice], done: Mapping[str, Line]) -> Since:
    """What was said on the sheet against what holds now."""
    before, after = {job.key: job for job in said}, {job.key: job for job in now}
    return Since(
        new=tuple(job for key, job in after.items() if key not in before and key not in done),
        changed=tuple(
            Changed(before[key], job)
            for key, job in after.items()
            if key in before and job.text != before[key].text and key not in done
        ),
        gone=tuple(job for key, job in before.items() if key not in after and key not in done),
        done=tuple(job for key, job in before.items() if key in done),
    )


def sheet_entry(today: Today, *, now: datetime, who: str, device: str, again: int) -> Entry:
    """The day's sheet as an entry; `again` tells it from sheets of the day that were struck."""
    tail = f":{again + 1}" if again else ""
    return Entry(
        id=f"sheet:{today.day.isoformat()}{tail}",
        happened=now,
        who=who,
        device=device,
        what=SheetIssued(day=today.day, advice=today.advice, upto=today.upto, edition=today.edition),
    )
