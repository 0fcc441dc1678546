"""Judge a record of temperatures and turns under a rule: from plain files, or a row of a yard."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnrow.cli import prove_input, speak
from turnrow.cli.speak import Json

if TYPE_CHECKING:
    from turnrow.handbook.rules import Rule
    from turnrow.sanitation.standing import Standing

EXAMPLE = """\
at,station,depth_cm,value,unit,remark
2026-05-01T07:10,1,60,58.5,C,"an invented record: three rounds over two stations; `at` may be a date alone"
2026-05-01T07:12,2,60,57,C,"value as the probe showed it; unit C, F or K"
2026-05-02T07:05,1,60,140,F,"60 °C as a Fahrenheit probe shows it; compared exactly"
2026-05-02T07:07,2,60,55.0,C,"55.0 counts where the text says 55 or hotter"
2026-05-03T07:15,1,60,61,C,"further columns, as this one, are passed over"
2026-05-03T07:17,2,60,58,C,"turnrow prove THIS.csv --rule US-503-PFRP-STATIC"
"""


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("prove")(prove)


def prove(
    readings: Annotated[
        str, typer.Argument(help="CSV: at, station, depth_cm, value, unit; - for none.")
    ] = "",
    rule: Annotated[str, typer.Option(help="The rule's id; --list shows them.")] = "",
    turns: Annotated[str, typer.Option(help="CSV of turns with one column: at.")] = "",
    continuity: Annotated[str, typer.Option(help="consecutive or cumulative.")] = "",
    turn_count: Annotated[str, typer.Option(help="visit, literal or recovery.")] = "",
    station: Annotated[str, typer.Option(help="min: the coldest station decides, under every rule.")] = "",
    day: Annotated[str, typer.Option(help="calendar or elapsed.")] = "",
    policy: Annotated[list[str] | None, typer.Option(help="Any other policy, NAME=VALUE; repeat.")] = None,
    fact: Annotated[list[str] | None, typer.Option(help="A fact, NAME=VALUE; repeat.")] = None,
    zone: Annotated[str, typer.Option(help="IANA zone the days are counted in.")] = "",
    yard: Annotated[
        str, typer.Option("--yard", envvar="TURNROW_YARD", help="A yard's book, with --row and no file.")
    ] = "",
    row: Annotated[str, typer.Option(help="The row: of the yard, or of a file that names several.")] = "",
    all_policies: Annotated[
        bool, typer.Option("--all-policies", help="One answer per reading the text leaves open.")
    ] = False,
    list_: Annotated[bool, typer.Option("--list", help="The rules, with clause and source.")] = False,
    example: Annotated[bool, typer.Option("--example", help="A file of readings that runs.")] = False,
    as_json: Json = False,
) -> None:
    """Judge a record of temperatures and turns under one rule, and say why."""
    with speak.answering(as_json):
        if example:
            speak.example(EXAMPLE, as_json)
            return
        if list_:
            _list(as_json)
            return
        named = {"continuity": continuity, "turn_count": turn_count, "station": station, "day": day}
        asked = _asked(rule, {k: v for k, v in named.items() if v}, policy or [], fact or [], bool(row))
        if readings or not row:
            found, extra = prove_input.from_files(asked, readings, turns, zone, row, all_policies)
        else:
            found, extra = prove_input.from_yard(asked, yard, row, all_policies)
        for note in extra["notices"]:
            speak.notice(note)
        if as_json:
            every = [_json(asked["rule"] or extra["rule"], *pair, extra) for pair in found]
            speak.answer(every if all_policies else every[0])
            return
        for pair in found:
            _people(asked["rule"] or extra["rule"], *pair, extra)


def _asked(
    rule: str, policies: dict[str, str], more: list[str], facts: list[str], optional: bool
) -> dict[str, Any]:
    """What the options ask, or Refused with all that is wrong in them."""
    from turnrow.handbook.book import handbook
    from turnrow.sanitation import facts as given
    from turnrow.sanitation import policies as choices
    from turnrow.yard.wrongs import Refusal, Refused, shown

    wrong: list[Refusal] = []
    pairs: dict[str, dict[str, str]] = {"--policy": dict(policies), "--fact": {}}
    for option, texts in (("--policy", more), ("--fact", facts)):
        for text in texts:
            name, sign, value = text.partition("=")
            name = name.strip()
            if not sign or not name:
                wrong.append(Refusal(option, shown(text), "Write NAME=VALUE, such as cn_initial=28."))
            elif name in pairs[option] and pairs[option][name] != value:
                wrong.append(Refusal(f"{option} {name}", shown(value), "Give it once."))
            else:
                pairs[option][name] = value
    book = handbook()
    chosen = book.rules.get(rule)
    if chosen is None and (rule or not optional):
        near = _near(rule, list(book.rules))
        wrong.append(Refusal("--rule", shown(rule), f"Give one that --list shows{near}."))
    if chosen is not None:
        wrong += choices.refusals(chosen, pairs["--policy"])
        try:
            given.read(chosen, pairs["--fact"])
        except Refused as told:
            wrong += told.refusals
    if wrong:
        raise Refused(wrong)
    return {"rule": chosen, "policies": pairs["--policy"], "facts": pairs["--fact"]}


def _near(rule: str, ids: list[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(rule.upper(), ids, n=3, cutoff=0.5)
    return f"; near to it: {', '.join(near)}" if near else ""


def _json(
    rule: "Rule", found: "Standing", without: "Standing | None", extra: dict[str, Any]
) -> dict[str, Any]:
    from turnrow.handbook.book import handbook
    from turnrow.records.verdict import beside_words
    from turnrow.yard.days import date_text

    return {
        "rule": found.rule,
        "clause": rule.clause,
        "known": found.known,
        "verdict": found.verdict,
        "without_suspects": without.verdict if without else None,
        "beside": list(beside_words(found.beside)),
        "policies": found.policies,
        "hot_days": found.hot_days,
        "longest_run_days": found.longest_run_days,
        "hot_hours": round(found.hot_hours, 4),
        "hot_hours_proven": round(found.hot_hours_proven, 4),
        "turns_counted": found.turns_counted,
        "days_needed": found.days_needed,
        "turns_needed": found.turns_needed,
        "run": [date_text(day) for day in found.run] if found.run else None,
        "short_of": list(found.short_of),
        "because": list(found.because),
        "warnings": list(found.warnings),
        "suspects": extra["suspects"],
        "notices": extra["notices"],
        "lines": list(found.lines),
        "edition": handbook().edition,
        **{name: extra[name] for name in ("row", "since") if name in extra},
    }


def _people(rule: "Rule", found: "Standing", without: "Standing | None", extra: dict[str, Any]) -> None:
    from turnrow.records.verdict import beside_words

    memory = (
        "" if found.known == "READ" else " From MEMORY: the text itself was not read, so prove nothing by it."
    )
    speak.say(f"{found.verdict}  {rule.id}, {rule.clause}.{memory}")
    for said in beside_words(found.beside):
        speak.say(said)
    if without is not None:
        same = "the same" if without.verdict == found.verdict else without.verdict
        speak.say(f"Without the readings that may not be the heap's: {same}.")
    rows: list[tuple[str, object]] = [
        (name.replace("_", " "), value) for name, value in found.policies.items()
    ]
    if found.days_needed or found.hot_days:
        rows.append(("hot days", f"{found.hot_days}, longest run {found.longest_run_days}"))
    if found.hot_hours:
        rows.append(("hot hours", f"{found.hot_hours:.1f}, proven at both ends {found.hot_hours_proven:.1f}"))
    if found.turns_needed:
        rows.append(("turns counted", f"{found.turns_counted} of {found.turns_needed}"))
    rows += [("short of", text) for text in found.short_of]
    rows += [("because", text) for text in found.because]
    rows += [("warning", text) for text in found.warnings]
    rows += [("suspect", text) for text in extra["suspects"][:10]]
    speak.table(("", ""), rows)
    speak.say("A reading of the clause, not legal advice: the authority or certifier decides.")


def _list(as_json: bool) -> None:
    from turnrow.handbook.book import handbook
    from turnrow.sanitation import facts as given
    from turnrow.sanitation import policies as choices

    book = handbook()
    if as_json:
        rules = [
            {
                "rule": rule.id,
                "clause": rule.clause,
                "meaning": rule.meaning,
                "jurisdiction": rule.jurisdiction,
                "known": rule.known,
                "sources": [book.sources[key].where for key in rule.sources if key in book.sources],
                "policies": {name: list(choices.allowed(rule, name)) for name in choices.asked(rule)},
                "facts": given.asked(rule),
            }
            for rule in book.rules.values()
        ]
        speak.answer({"edition": book.edition, "rules": rules})
        return
    rows = []
    for rule in book.rules.values():
        titles = [book.sources[key].title for key in rule.sources if key in book.sources]
        rows.append((rule.id, rule.clause, rule.known, "; ".join(titles)))
    speak.table(("rule", "clause", "text", "source"), rows)
