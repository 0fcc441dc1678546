"""What to do: `today` for the yard, `row` for one row. Looking writes nothing; --issue writes the sheet."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json, Yard
from turnrow.cli.stands import say_stands, stands_json

if TYPE_CHECKING:
    from turnrow.foreman.desk import Desk
    from turnrow.foreman.morning import Today
    from turnrow.sanitation.standing import Standing
    from turnrow.yard.entries import Advice


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("today")(today)
    app.command("row")(row)


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
        if not day:
            say_stands(desk.stands(now))
        _say_today(desk, sheet)


def row(
    name: Annotated[str, typer.Argument(help="The row: R7.")],
    yard: Yard = "",
    outlook: Annotated[
        bool, typer.Option("--outlook", help="And its outlook, by the heap's model: some seconds of work.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Where one row stands: its rule with reasons, its last readings, its turns, its jobs."""
    from turnrow.yard.wrongs import refuse

    with speak.answering(as_json), desk_of(yard) as desk:
        if name not in desk.diary.rows:
            have = ", ".join(desk.diary.rows) or "none yet"
            raise refuse("NAME", name, f"Rows of this yard: {have}.")
        found = _row_json(desk, name)
        if outlook:
            from turnrow.cli.outlook_yard import row_outlook

            found["outlook"] = row_outlook(desk, name, _now(), {})
        if as_json:
            speak.answer(found)
            return
        _say_row(found)
        if outlook:
            from turnrow.cli.outlook_yard import people

            speak.say()
            people(found["outlook"])


@contextmanager
def desk_of(yard: str) -> "Iterator[Desk]":
    from turnrow.foreman.desk import Desk
    from turnrow.journal.book import Book
    from turnrow.yard.wrongs import refuse

    if not yard:
        raise refuse("--yard", "nothing", "Name the yard's book: --yard PATH, or set TURNROW_YARD.")
    with Book.open(yard) as book:
        yield Desk(book)


def _now() -> datetime:
    return datetime.now(UTC)


def _day(text: str) -> date:
    from turnrow.yard.wrongs import refuse

    try:
        return date.fromisoformat(text)
    except ValueError:
        raise refuse("--date", text, "Give a date such as 2026-05-14.") from None


def _job(job: "Advice") -> dict[str, Any]:
    return {
        "key": job.key,
        "row": job.row,
        "job": job.job,
        "text": job.text,
        "why": job.why,
        "because": list(job.because),
        "urgent": job.urgent,
        "rule": job.rule,
    }


def _today_json(sheet: "Today") -> dict[str, Any]:
    since = sheet.since
    return {
        "day": sheet.day.isoformat(),
        "upto": sheet.upto,
        "edition": sheet.edition,
        "sheet": sheet.sheet.number if sheet.sheet else None,
        "advice": [_job(job) for job in sheet.advice],
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
        speak.say("No row has anything to do: none is built yet.")
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


def _row_json(desk: "Desk", name: str) -> dict[str, Any]:
    from turnrow.schedule.limits import Limits
    from turnrow.schedule.seen import seen
    from turnrow.yard import days
    from turnrow.yard.temperature import degrees

    now = _now()
    history, standing, chosen = desk.diary.history(name), desk.standing(name), desk.choice(name)
    view = seen(history, standing.suspects, Limits(desk.settings()), days.seconds(now))
    merged, part, lifted = history.merged_into, history.split_from, history.lifted
    without = standing.without_suspects
    return {
        "row": name,
        "process": view.process,
        "rule": {
            "id": chosen.id,
            "why": chosen.why,
            "facts": dict(chosen.facts),
            "lines": list(chosen.lines),
        },
        "standing": _standing_json(standing.standing),
        "otherwise": [
            {"policy": policy, "value": value, "verdict": verdict}
            for policy, value, verdict in desk.otherwise(name)
        ],
        "without_suspects": without.verdict if without else None,
        "since_line": standing.since,
        "last_readings": [
            {
                "station": spot.station,
                "depth_cm": spot.depth_mm / 10 if spot.depth_mm >= 0 else None,
                "reading": degrees(spot.value, spot.unit),
                "day": days.date_text(view.read_day or 0),
                "line": spot.line,
                "doubt": spot.sentence,
            }
            for spot in view.spots
        ],
        "suspect": [suspect.sentence for suspect in standing.suspects],
        "turns": [{"day": days.date_text(e.day), "line": e.line.number} for e in history.turns],
        "merged_into": {"row": merged[1], "line": merged[0].line.number} if merged else None,
        "split_from": {"row": part[1], "line": part[0].line.number} if part else None,
        "became": {"lot": lifted[1], "line": lifted[0].line.number} if lifted else None,
        "jobs": [_job(job) for job in desk.jobs(name, now)],
    }


def _standing_json(standing: "Standing") -> dict[str, Any]:
    from turnrow.records.verdict import words
    from turnrow.yard import days

    word, sentence = words(standing)
    return {
        "rule": standing.rule,
        "verdict": standing.verdict,
        "word": word,
        "sentence": sentence,
        "policies": standing.policies,
        "hot_days": standing.hot_days,
        "longest_run_days": standing.longest_run_days,
        "days_needed": standing.days_needed,
        "turns_counted": standing.turns_counted,
        "turns_needed": standing.turns_needed,
        "run": [days.date_text(day) for day in standing.run] if standing.run else None,
        "short_of": list(standing.short_of),
        "because": list(standing.because),
        "warnings": list(standing.warnings),
        "known": standing.known,
        "lines": list(standing.lines),
    }


def _say_row(found: dict[str, Any]) -> None:
    standing, rule = found["standing"], found["rule"]
    text = "" if standing["known"] == "READ" else " (the rule's text was not read; a default, not a proof)"
    speak.say(
        f"Row {found['row']}, {standing['verdict'].replace('_', ' ')} under {rule['id'] or 'no rule'}{text}"
    )
    speak.say(f"  {standing['word']}. {standing['sentence']}")
    speak.say(f"  {rule['why']}")
    if found["merged_into"]:
        into = found["merged_into"]
        speak.say(f"  It was pushed into row {into['row']} (line {into['line']}).")
    if found["split_from"]:
        part = found["split_from"]
        speak.say(f"  It is a part of row {part['row']}, moved apart (line {part['line']}).")
    if found["became"]:
        speak.say(f"  It became lot {found['became']['lot']} (line {found['became']['line']}).")
    for policy, value in standing["policies"].items():
        speak.say(f"  read with {policy}: {value}")
    known = [reason for reason in standing["because"] if reason != rule["why"]]
    for reason in (*known, *(f"Short of {short}." for short in standing["short_of"])):
        speak.say(f"  {reason}")
    for other in found["otherwise"]:
        if other["verdict"] != standing["verdict"]:
            name, verdict = other["policy"].replace("_", " "), other["verdict"].replace("_", " ")
            speak.say(f"  The text may also be read with {name} {other['value']}: then {verdict}.")
    for warning in standing["warnings"]:
        speak.say(f"  WARNING  {warning}")
    if found["without_suspects"]:
        verdict = found["without_suspects"].replace("_", " ")
        speak.say(f"  Without the doubted readings: {verdict}.")
    for sentence in found["suspect"][:5]:
        speak.say(f"  doubted  {sentence}")
    if found["last_readings"]:
        speak.say()
        rows = [
            (
                r["station"],
                "" if r["depth_cm"] is None else f"{r['depth_cm']:g} cm",
                r["reading"],
                r["day"],
                r["line"],
            )
            for r in found["last_readings"]
        ]
        speak.table(("station", "depth", "last reading", "day", "line"), rows)
    if found["turns"]:
        speak.say()
        speak.table(("turned", "line"), [(turn["day"], turn["line"]) for turn in found["turns"]])
    speak.say()
    for job in found["jobs"]:
        speak.say(("NOW  " if job["urgent"] else "") + job["text"])
        speak.say(f"     {job['why']} (lines {', '.join(str(n) for n in job['because'][-6:])})")
