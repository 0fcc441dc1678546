"""What to do today in the whole yard. Looking writes nothing; --issue writes the sheet."""

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnrow.cli import speak
from turnrow.cli.row import advice_json
from turnrow.cli.speak import Json, Yard
from turnrow.cli.stands import say_unproven, stands_json
from turnrow.cli.yard_book import desk_of

if TYPE_CHECKING:
    from turnrow.foreman.desk import Desk
    from turnrow.foreman.morning import Today
    from turnrow.yard.entries import Advice


def register(app: typer.Typer) -> None:
    """Add this family's command to `app`."""
    app.command("today")(today)


def today(
    yard: Yard = "",
    day: Annotated[str, typer.Option("--date", help="A day as it stood at its midday: 2026-05-14.")] = "",
    issue: Annotated[bool, typer.Option("--issue", help="Write the day's sheet into the diary.")] = False,
    who: Annotated[str, typer.Option("--who", help="Who issues it: a short name or a role.")] = "office",
    as_json: Json = False,
) -> None:
    """What every row wants today, worst first: probe, turn, water, or leave it alone."""
    from turnrow.yard.wrongs import refuse

    with speak.answering(as_json), desk_of(yard) as desk:
        if issue and day:
            raise refuse("--issue", day, "A sheet is issued for today only; leave --date out.")
        now = _now()
        if issue:
            desk.issue(now, who, "desk")
        sheet = desk.morning_of(_day(day)) if day else desk.today(now)
        if as_json:
            speak.answer(_today_json(sheet) | ({} if day else stands_json(desk.stands(now))))
            return
        _say_today(desk, sheet)
        if not day:
            say_unproven(desk.stands(now).unproven)  # in full, where the table has a job for each


def _now() -> datetime:
    return datetime.now(UTC)


def _day(text: str) -> date:
    from turnrow.yard.wrongs import refuse

    try:
        return date.fromisoformat(text)
    except ValueError:
        raise refuse("--date", text, "Give a date such as 2026-05-14.") from None


def _today_json(sheet: "Today") -> dict[str, Any]:
    since = sheet.since
    return {
        "day": sheet.day.isoformat(),
        "upto": sheet.upto,
        "edition": sheet.edition,
        "sheet": sheet.sheet.number if sheet.sheet else None,
        "advice": [advice_json(job) for job in sheet.advice],
        "since": since
        and {
            "new": [job.key for job in since.new],
            "changed": [
                {"key": c.after.key, "was": c.before.text, "is": c.after.text} for c in since.changed
            ],
            "gone": [job.key for job in since.gone],
            "done": [job.key for job in since.done],
        },
        "done": {key: line.number for key, line in sheet.done.items()},
        "put_off": {key: line.number for key, line in sheet.put_off.items()},
    }


def _say_today(desk: "Desk", sheet: "Today") -> None:
    name = desk.diary.yard.name or "The yard"
    invented = " (invented)" if desk.diary.yard.invented else ""
    speak.say(f"{name}{invented}, {sheet.day:%A} {sheet.day.day} {sheet.day:%B %Y}, as of line {sheet.upto}")
    speak.say()
    if not sheet.advice:
        built = bool(desk.diary.rows)
        speak.say(f"No row has anything to do: {'none is at work today' if built else 'none is built yet'}.")
    rows = [
        (_mark(sheet, job), job.row or "yard", job.text, _lines(job.because)) for job in sheet.advice
    ]  # fmt: skip
    if rows:
        speak.table(("", "row", "job", "lines"), rows)
    if sheet.sheet is not None and sheet.since is not None:
        speak.say()
        speak.say(f"The sheet of the day is line {sheet.sheet.number}. Since then:")
        for word, jobs in (
            ("new", sheet.since.new),
            ("changed", tuple(c.after for c in sheet.since.changed)),
            ("no longer needed", sheet.since.gone),
            ("done", sheet.since.done),
        ):
            if jobs:
                speak.say(f"  {word}: {', '.join(job.key for job in jobs)}")


def _mark(sheet: "Today", job: "Advice") -> str:
    if job.key in sheet.done:
        return "done"
    if job.key in sheet.put_off:
        return "not today"
    return "NOW" if job.urgent else ""


def _lines(because: tuple[int, ...]) -> str:
    """Line numbers, the newest few; all of them stand in --json."""
    shown = ", ".join(str(n) for n in because[-4:])
    return f"… {shown}" if len(because) > 4 else shown
