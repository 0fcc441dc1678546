"""From the desk to papers: gathers what a paper says and hands it to the records room."""

from collections.abc import Mapping
from datetime import date

from turnrow.foreman.desk import Desk
from turnrow.foreman.inspector import made_of
from turnrow.records.row_paper import DayPaper, HeadSeal, RowPaper
from turnrow.records.row_picture import LimitLine
from turnrow.schedule.limits import Limits
from turnrow.yard.entries import JobDone, Line, ProbeChecked, SheetIssued
from turnrow.yard.evidence import Trained
from turnrow.yard.temperature import Unit
from turnrow.yard.wrongs import refuse


def row_paper(desk: Desk, row: str, unit: Unit = "C") -> RowPaper:
    """All a row's sheet and its CSV are made from. Refused for a row the diary does not know."""
    if row not in desk.diary.rows:
        known = ", ".join(desk.diary.rows[:20]) or "none yet"
        raise refuse("the row", row, f"Give a row of this diary: {known}.")
    chosen = desk.choice(row)
    settings = desk.settings()
    turn = Limits(settings).heat("turn_limit")
    sources = desk.handbook.sources
    keys = chosen.rule.sources if chosen.rule else ()
    return RowPaper(
        yard=desk.diary.yard,
        history=desk.diary.history(row),
        standing=desk.standing(row),
        rule=chosen.rule,
        head=head_seal(desk),
        edition=desk.handbook.edition,
        sources={key: f"{sources[key].title}; {sources[key].where}" for key in keys if key in sources},
        facts=chosen.facts,
        probes=tuple((event.line, what) for event, what in desk.diary.own_events(ProbeChecked)),
        further=(LimitLine(turn.ninths, f"{turn.words()}, turn"),),
        unit=unit,
        settings=settings,
        made=made_of(desk, (row,)),
        named={what.short or what.name: what.name for _, what in desk.diary.all(Trained)},
        otherwise={(policy, value): verdict for policy, value, verdict in desk.otherwise(row)},
    )


def day_paper(desk: Desk, day: date) -> DayPaper:
    """The sheet issued for `day`. Refused where none was: a sheet that nobody was given is no record."""
    found: list[Line] = [line for line, what in desk.diary.sheets() if what.day == day]
    if not found:
        known = [what.day.isoformat() for _, what in desk.diary.sheets()[-5:]]
        last = f" The newest are of {', '.join(known)}." if known else ""
        raise refuse("the day", day.isoformat(), f"No day sheet was issued for it; issue it first.{last}")
    return sheet_paper(desk, found[-1])


def sheet_paper(desk: Desk, sheet: Line) -> DayPaper:
    """The paper of one issued sheet, with what was ticked or put off from it."""
    return DayPaper(desk.diary.yard, sheet, head_seal(desk), _answers(desk, sheet))


def _answers(desk: Desk, sheet: Line) -> Mapping[str, Line]:
    """Key -> the newest line that answers a job of the sheet."""
    if not isinstance(sheet.entry.what, SheetIssued):
        return {}
    return {what.key: line for line, what in desk.diary.own(JobDone) if what.sheet == sheet.number}


def head_seal(desk: Desk) -> HeadSeal:
    """The newest line, its seal and the moment it was written. Refused while the book is empty,
    DamagedJournal where its chain does not hold."""
    desk.book.check()
    head = desk.book.head()
    if not head.line:
        raise refuse("the book", "no line", "Write something first; there is nothing to print yet.")
    return HeadSeal(head.line, head.seal, desk.diary.line(head.line).written)
