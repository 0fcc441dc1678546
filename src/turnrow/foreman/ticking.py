"""A job ticked: the entry it stands for and the tick itself, or the entry that is in the diary already."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from turnrow.foreman.morning import Today
from turnrow.schedule.alarms import ALARM, ANSWER
from turnrow.yard import days, entries
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Advice, Entry, JobDone, Line
from turnrow.yard.wrongs import refuse

Form = Callable[[str, Mapping[str, str], str], Entry]  # kind, fields, id -> the entry, or Refused

WRITES: dict[str, tuple[str, tuple[type[entries.Kind], ...]]] = {
    "turn": ("turned", (entries.Turned,)),
    "cool": ("turned", (entries.Turned,)),
    "wait": ("turned", (entries.Turned,)),
    "water": ("watered", (entries.Watered, entries.Turned)),
    "probe": ("round", (entries.Round, entries.LoggerBlock)),
    "cure": ("moved to curing", (entries.MovedToCuring,)),
    "check probe": ("probe checked", (entries.ProbeChecked,)),
}


@dataclass(frozen=True)
class Tick:
    """Who ticks what, when; `fields` are those of the entry's form (water, passes, readings ...)."""

    key: str
    now: datetime
    who: str
    device: str
    done: bool = True
    reason: str = ""
    fields: Mapping[str, str] | None = None


def answered(today: Today, tick: Tick) -> Line | None:
    """The line that gave this very answer to the job, today."""
    return (today.done if tick.done else today.put_off).get(tick.key)


def entries_of(today: Today, diary: Diary, tick: Tick, form: Form) -> list[Entry]:
    """What to write for a tick, all in one append. Refused with the reason when it cannot be."""
    job = today.job(tick.key)
    if job is None:
        have = ", ".join(advice.key for advice in today.advice) or "none"
        raise refuse("job", tick.key, f"Today's jobs are: {have}.")
    stem = f"{today.day.isoformat()} {tick.key}{_again(diary, today, tick)}"
    if not tick.done:
        if job.job == ALARM:
            raise refuse("job", tick.key, "An alarm is not put off: it stands until a person ends it.")
        if not tick.reason.strip():
            raise refuse("reason", tick.reason, "Say why it is not done today.")
        return [_answer(today, tick, _id("later", stem), ())]
    kind, written_as = WRITES.get(job.job, ("", ()))
    if job.job in (ALARM, ANSWER):
        return [_answer(today, replace(tick, reason=_ending(job.job, tick)), _id("done", stem), ())]
    if not kind:
        return [_answer(today, tick, _id("done", stem), ())]
    there = _there(diary, today, job, written_as)
    if there is not None:
        return [_answer(today, tick, _id("done", stem), (there.entry.id,))]
    fields = dict(tick.fields or {})
    if kind == "round" and not fields:
        raise refuse(
            "readings", "none", f"Write the round of row {job.row} first, or give its readings here."
        )
    if job.row:
        fields["row"] = job.row
    entry = form(kind, fields, _id("job", stem))
    return [entry, _answer(today, tick, _id("done", stem), (entry.id,))]


def _ending(job: str, tick: Tick) -> str:
    """What a person wrote of how it ended; Refused where nothing was, for no alarm ends by a tap alone."""
    words = (tick.reason or (tick.fields or {}).get("words", "")).strip()
    if not words:
        do = "Write who said that it is over, and what was found." if job == ALARM else "Write what was done."
        raise refuse("words", "nothing", do)
    return words


def _id(what: str, stem: str) -> str:
    """The same job of the same day gives the same id, so that two who tick it write it once."""
    return f"{what}:{hashlib.sha256(stem.encode()).hexdigest()[:32]}"


def _answer(today: Today, tick: Tick, id_: str, written: tuple[str, ...]) -> Entry:
    what = JobDone(
        key=tick.key,
        sheet=today.sheet.number if today.sheet else 0,
        done=tick.done,
        reason=tick.reason,
        entries=written,
    )
    return Entry(id=id_, happened=tick.now, who=tick.who, device=tick.device, what=what)


def _again(diary: Diary, today: Today, tick: Tick) -> str:
    """Tells a tick from one of the same day that was struck or answered otherwise since."""
    mine = [
        line
        for line, what in diary.every(JobDone)
        if what.key == tick.key
        and what.done == tick.done
        and days.day_of(days.seconds(line.entry.happened), diary.zone) == today.day.toordinal()
    ]
    return f" {len(mine) + 1}" if mine else ""


def _there(
    diary: Diary, today: Today, job: Advice, written_as: tuple[type[entries.Kind], ...]
) -> Line | None:
    """The entry already in the diary for a job of the sheet: written since the sheet was issued."""
    if today.sheet is None or job.row not in diary.rows:
        return None
    day = today.day.toordinal()
    for event in reversed(diary.history(job.row).events):
        what = event.line.entry.what
        wet = job.job != "water" or isinstance(what, entries.Watered) or getattr(what, "water", None)
        if (
            event.line.number > today.sheet.number
            and event.day == day
            and isinstance(what, written_as)
            and wet
        ):
            return event.line
    return None
