"""What people wrote down that wants an answer: smoke, fire, injury, spill; then complaints and notes.

An alarm stands until a person ends it; neither time nor a cooler reading does. What was written is recognised
by plain words of English and Spanish, with what denies them left out ("no smoke", "smoke detector").
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from turnrow.schedule.words import ago
from turnrow.yard.entries import Advice, Complaint, Incident, JobDone, Note
from turnrow.yard.history import Event

Danger = Literal["fire", "injury", "spill", ""]
SHOWN = 120  # characters of what was written
NOTE_DAYS = 14  # a note that asks for something is shown for so long; incidents and complaints until answered
ALARM, ANSWER = "alarm", "answer"

_THING = (
    r"(smok\w*|fires?|flames?|burn\w*|smou?lder\w*|injur\w*|hurt|spill\w*|humo|fuego|herid\w*)"
    r"(\s+(seen|smelt|found|anywhere))?"
)
_NOT_MEANT = re.compile(
    r"\b(no|not|without|never|isn't|wasn't|neither|sin|ning[uú]n)\s+"
    r"(any\s+|a\s+|signs? of\s+|smell of\s+|visible\s+)*"
    rf"{_THING}(\s*(,|or|nor|and|o|ni)\s+(any\s+|no\s+)?{_THING})*"
    r"|\b(smoke|fire)[- ](free|detectors?|alarm test\w*|tests?|extinguishers?|drills?|plans?|lanes?|breaks?|"
    r"permits?|doors?|wood|code|training|inspection|marshal visit\w*)\b"
    r"|\bfire (service|brigade|department)('s)? (visit|inspection|training)\w*"
    r"|\b(nobody|no one|nadie)\b[^.;,]{0,12}\b(hurt|injured|herid\w*)"
    r"|\bspill ?(kit|way|over pipe)s?\b",
    re.IGNORECASE,
)
_SIGNS: tuple[tuple[Danger, re.Pattern[str]], ...] = (
    (
        "fire",
        re.compile(
            r"\b(smok(e|es|ed|ing|y)|fires?|on fire|flames?|burn(s|t|ed|ing)?|smou?lder\w*|char(red|ring)|"
            r"embers?|scorched|humo|humea\w*|fuego|incendio|llamas?|quemad[oa]s?|ardiendo|brasas?)\b",
            re.IGNORECASE,
        ),
    ),
    (
        "injury",
        re.compile(
            r"\b(injur(y|ies|ed)|hurt|bleeding|broken (arm|leg|hand|finger|wrist|foot|rib)s?|unconscious|"
            r"collapsed|fainted|dizzy|dizziness|ambulance|trapped|hospital|herid[oa]s?|lesionad[oa]s?|"
            r"lesi[oó]n|desmay\w+|atrapad[oa])\b",
            re.IGNORECASE,
        ),
    ),
    (
        "spill",
        re.compile(
            r"\b(spill(s|ed|age|ing)?|spilt|overflow(s|ed|ing)?|leachate (in|into|reached|ran)|"
            r"(into|in|reached) the (ditch|stream|creek|river|brook|well)|derram\w*|vertido|desbord\w*)\b",
            re.IGNORECASE,
        ),
    ),
)
_BURNING_EYES = re.compile(
    r"\b(eyes?|throat|skin|nose|lungs?)\s+(is |are |was |were )?burn\w*", re.IGNORECASE
)
_ASKS = re.compile(
    r"\?|\b(please|must|needs?|to[- ]do|remember to|don't forget|order more|call back|repair|fix|replace|"
    r"por favor|hay que|falta|arreglar|pedir)\b",
    re.IGNORECASE,
)
WHY: Mapping[Danger, str] = {
    "fire": (
        "Somebody saw or smelt it at the row, which no probe does. A heap burns from within: opening it lets "
        "air in and it can burst into flame; a burnt hollow gives way under a person or a machine; smoke and "
        "fumes harm. The fire service and the local fire rules decide."
    ),
    "injury": "People first. What hurt one person hurts the next until it is found and put right.",
    "spill": (
        "Runoff and leachate carry germs, nitrogen and salt, and take the air out of streams. Most places "
        "want a spill reported at once: the local authority says to whom."
    ),
    "": "Who wrote it down waits for an answer, and an inspector reads what was done about it.",
}
_DO: Mapping[Danger, str] = {
    "fire": (
        "Call the fire service. Keep everybody away and upwind; nobody opens, turns, digs, wets or climbs "
        "{it} or works beside it until they have come. Keep water and a way out ready and machines clear."
    ),
    "injury": (
        "Help the person and call for medical help. Stop the machines and keep others away from {it} until "
        "the cause is found."
    ),
    "spill": (
        "Stop it at its source, dam it, keep it out of water and drains, and tell the authority where local "
        "rules ask for it."
    ),
}
ENDED = "It stays here until a person writes that it is over, and who said so."


@dataclass(frozen=True)
class Alarm:
    """A danger somebody wrote down that nobody has ended: where ("" of no row) and on what line."""

    danger: Danger
    row: str
    line: int


def danger_of(text: str) -> Danger:
    """The danger a text speaks of, the worst first; "" for none."""
    said = _BURNING_EYES.sub(" dizzy ", _NOT_MEANT.sub(" ", text))
    return next((danger for danger, sign in _SIGNS if sign.search(said)), "")


def asks(text: str) -> bool:
    """Whether a note asks somebody to do something."""
    return _ASKS.search(text) is not None


def key_of(line: int) -> str:
    """The key of the job that a line asks for; ticked, it is answered."""
    return f"line {line} {ALARM}"


def ended_by(done: Iterable[tuple[Event, JobDone]]) -> frozenset[str]:
    """Keys of what was answered for good: a tick that says it is done. The newest answer stands."""
    answered: dict[str, bool] = {}
    for _, what in done:
        answered[what.key] = what.done
    return frozenset(key for key, is_done in answered.items() if is_done)


def alarms(
    incidents: Iterable[tuple[Event, Incident]],
    notes: Iterable[tuple[Event, Note]],
    complaints: Iterable[tuple[Event, Complaint]],
    ended: frozenset[str],
    today: int,
) -> tuple[tuple[Alarm, ...], list[Advice]]:
    """The dangers that stand, and a job for each of them and for all else that wants an answer."""
    standing: list[Alarm] = []
    jobs: list[Advice] = []
    for event, incident in incidents:
        said = incident.danger or danger_of(incident.what)
        danger: Danger = "" if said == "none" else said
        if danger or not incident.done:
            _ask(standing, jobs, event, incident.what, danger, incident.row, ended, today)
    for event, note in notes:
        fire = danger_of(note.text) == "fire"
        if fire or (asks(note.text) and today - event.day <= NOTE_DAYS):
            _ask(standing, jobs, event, note.text, "fire" if fire else "", note.row, ended, today)
    for event, complaint in complaints:
        fire = danger_of(complaint.nature) == "fire"
        if fire or not complaint.done:
            who = f"Complaint{f' of {complaint.by}' if complaint.by else ''}: {complaint.nature}"
            _ask(standing, jobs, event, who, "fire" if fire else "", "", ended, today)
    return tuple(standing), jobs


def _ask(
    standing: list[Alarm],
    jobs: list[Advice],
    event: Event,
    text: str,
    danger: Danger,
    row: str,
    ended: frozenset[str],
    today: int,
) -> None:
    line = event.line.number
    if key_of(line) in ended:
        return
    short = " ".join(text.split())
    short = short if len(short) <= SHOWN else f"{short[: SHOWN - 1].rstrip()}…"
    said = f"“{short}”, written {ago(event.day, today)} by {event.line.entry.who}"
    where = f" at row {row}" if row else ""
    if danger:
        standing.append(Alarm(danger, row, line))
        head = {"fire": "Smoke or fire", "injury": "Somebody hurt", "spill": "Spill"}[danger]
        what = f"{head}{where}: {said}. {_DO[danger].format(it=f'row {row}' if row else 'it')} {ENDED}"
    else:
        what = f"Answer{where}: {said}. Write what was done about it."
    jobs.append(
        Advice(
            key=key_of(line),
            row=row,
            job=ALARM if danger else ANSWER,
            text=what,
            why=WHY[danger],
            because=(line,),
            urgent=bool(danger),
        )
    )
