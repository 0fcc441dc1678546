"""The day sheet as issued: what was said that morning, in its order, with boxes to tick. Pure."""

from datetime import datetime
from zoneinfo import ZoneInfo

from msgspec import Struct

from turnrow.records import said
from turnrow.records.keeping import DAY_CAUTION
from turnrow.records.row_paper import DayPaper
from turnrow.records.seal import head_short, head_text, seal_code
from turnrow.records.verdict import line_list
from turnrow.yard import days, entries

LEAVE = "leave"  # the job that asks for nothing


class Job(Struct, frozen=True):
    row: str
    text: str
    why: str
    lines: str
    urgent: bool
    rule: str
    done: str  # empty: not ticked
    leave: bool  # nothing to do but leave it alone; stands in a short list after the rest


class DaySheet(Struct, frozen=True):
    title: str
    yard: str
    place: str
    invented: bool
    day: str
    issued: str
    jobs: tuple[Job, ...]
    nothing: str
    upto: str
    seal: str
    seal_short: str
    qr: str
    caution: str
    made: str


def day_sheet(paper: DayPaper) -> DaySheet:
    """The sheet of `paper.sheet`; ValueError where that line is no day sheet."""
    what = paper.sheet.entry.what
    if not isinstance(what, entries.SheetIssued):
        raise ValueError(f"line {paper.sheet.number} is a {what.__struct_config__.tag}, want advice given")
    zone = days.zone(paper.yard.zone)
    day = f"{what.day:%A}, {days.short_date(what.day.toordinal())} {what.day.year}"
    return DaySheet(
        title=f"Day sheet: {what.day.isoformat()}, {paper.yard.name or 'a yard without a name'}",
        yard=paper.yard.name or "A yard without a name",
        place=paper.yard.place,
        invented=paper.yard.invented,
        day=day,
        issued=(
            f"Issued {said.written(paper.sheet, zone)} as line {paper.sheet.number}, "
            f"by {paper.sheet.entry.who}."
        ),
        jobs=tuple(
            Job(
                row=advice.row,
                text=advice.text,
                why=advice.why,
                lines=line_list(advice.because),
                urgent=advice.urgent,
                rule=advice.rule,
                done=_done(paper.done.get(advice.key), zone),
                leave=advice.job == LEAVE and advice.key not in paper.done,
            )
            for advice in what.advice
        ),
        nothing="" if what.advice else "Nothing needs doing today by what was known.",
        upto=f"It rests on lines up to {what.upto} and on handbook edition {what.edition}.",
        seal=head_text(paper.head),
        seal_short=head_short(paper.head),
        qr=seal_code(paper.head),
        caution=DAY_CAUTION,
        made=_made(paper.head.written, zone),
    )


def _done(line: entries.Line | None, zone: ZoneInfo) -> str:
    if line is None or not isinstance(line.entry.what, entries.JobDone):
        return ""
    word = "done" if line.entry.what.done else f"put off: {line.entry.what.reason or 'no reason given'}"
    return f"{word}, {said.happened(line.entry, zone)}, {line.entry.who}, line {line.number}"


def _made(written: datetime, zone: ZoneInfo) -> str:
    return written.astimezone(zone).isoformat()
