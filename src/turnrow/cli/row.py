"""Where one row stands. Looking writes nothing."""

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json, Yard
from turnrow.cli.yard_book import desk_of

if TYPE_CHECKING:
    from turnrow.foreman.desk import Desk
    from turnrow.sanitation.standing import Standing
    from turnrow.yard.entries import Advice


def register(app: typer.Typer) -> None:
    """Add this family's command to `app`."""
    app.command("row")(row)


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
        now = datetime.now(UTC)
        found = _row_json(desk, name, now)
        if outlook:
            from turnrow.cli.outlook_yard import row_outlook

            found["outlook"] = row_outlook(desk, name, now, {})
        if as_json:
            speak.answer(found)
            return
        _say_row(found)
        if outlook:
            from turnrow.cli.outlook_yard import people

            speak.say()
            people(found["outlook"])


def advice_json(job: "Advice") -> dict[str, Any]:
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


def _row_json(desk: "Desk", name: str, now: datetime) -> dict[str, Any]:
    from turnrow.records.verdict import beside_words
    from turnrow.schedule.limits import Limits
    from turnrow.schedule.seen import seen
    from turnrow.yard import days
    from turnrow.yard.temperature import degrees

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
        "beside": list(beside_words(standing.beside)),
        "without_suspects": without.state if without else None,
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
        "jobs": [advice_json(job) for job in desk.jobs(name, now)],
    }


def _standing_json(standing: "Standing") -> dict[str, Any]:
    from turnrow.records.verdict import words
    from turnrow.yard import days

    word, sentence = words(standing)
    return {
        "rule": standing.rule,
        "verdict": standing.state,
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
    from turnrow.records.verdict import STATES

    standing, rule = found["standing"], found["rule"]
    text = "" if standing["known"] == "READ" else " (the rule's text was not read; a default, not a proof)"
    under = f" under {rule['id']}{text}" if standing["rule"] else ""
    speak.say(f"Row {found['row']}: {standing['word'].lower()}{under}.")
    speak.say(f"  {standing['sentence']}")
    for said in found["beside"]:
        speak.say(f"  BESIDE IT  {said}")
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
            name, word = other["policy"].replace("_", " "), STATES[other["verdict"]].lower()
            speak.say(
                f"  The text may also be read with {name} {other['value'].replace('_', ' ')}: then {word}."
            )
    for warning in standing["warnings"]:
        speak.say(f"  WARNING  {warning}")
    if found["without_suspects"]:
        speak.say(f"  Without the doubted readings: {STATES[found['without_suspects']].lower()}.")
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
