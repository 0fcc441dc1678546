"""Which rule a row works to, and the facts its diary gives; chosen for the row, the yard, or the default."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from turnrow.handbook.book import Handbook
from turnrow.handbook.rules import Rule
from turnrow.sanitation import beside, curing
from turnrow.sanitation.policies import refusals, settle
from turnrow.sanitation.standing import Said
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Measured, RuleChosen
from turnrow.yard.history import Event, History
from turnrow.yard.numbers import plain
from turnrow.yard.units import size

DEFAULT = "US-503-PFRP-WINDROW"
NITROGEN = ("cn_initial", "cn", "C:N")


@dataclass(frozen=True)
class Choice:
    """rule  None where none fits or the one chosen is not in the handbook; `why` says so in a sentence."""

    id: str
    rule: Rule | None
    policies: Mapping[str, str]
    facts: Mapping[str, str]
    why: str
    lines: tuple[int, ...] = ()


Chosen = tuple[Event, RuleChosen]


def choice(history: History, yards: Sequence[Chosen], book: Handbook) -> Choice:
    """The newest choice for the row, else (for a turned row) for the yard, else the default.

    yards  the yard's own choices, oldest first
    """
    own = history.of(RuleChosen)
    yard = yards[-1] if yards else None
    process = _process(history)
    told: dict[str, str] = {}
    lines: list[int] = []
    wanted, policies, why = "", dict[str, str](), ""
    if yard:
        told.update(yard[1].facts)
    if own:
        event, what = own[-1]
        wanted, policies = what.rule, dict(what.policies)
        lines.append(event.line.number)
        why = f"Chosen for row {history.row}."
        for _, earlier in own:
            told.update(earlier.facts)
    elif process != "turned":
        why = (
            f"No rule is chosen for row {history.row}, which is a {process} heap: rules for turned rows do "
            "not fit it. Choose one for the row."
        )
    elif yard:
        wanted, policies = yard[1].rule, dict(yard[1].policies)
        lines.append(yard[0].line.number)
        why = "Chosen for the yard."
    else:
        wanted, why = DEFAULT, "No rule is chosen; this is the default for turned rows."
    rule = book.rules.get(wanted)
    if wanted and rule is None:
        why = f"The rule chosen, {wanted}, is not in this handbook; choose one that is."
    return Choice(wanted, rule, policies, {**_gathered(history, told), **told}, why, tuple(lines))


def yard_choices(diary: Diary, upto_s: int) -> tuple[Chosen, ...]:
    """The yard's own choices of those that happened by `upto_s`, oldest first."""
    return tuple(pair for pair in diary.own_events(RuleChosen) if pair[0].at <= upto_s)


def changes(history: History, yards: Sequence[Chosen], book: Handbook, since: int = 0) -> tuple[Said, ...]:
    """Each change of the row's rule, or of how it is read, that was written once readings were on record.

    since  line from which the proof starts anew; earlier readings no longer count
    """
    lines = history.readings.line[history.readings.line > since]
    if not len(lines):
        return ()
    own = history.of(RuleChosen)
    first = int(lines.min())
    later = sorted(e.line.number for e, _ in (*own, *yards) if e.line.number > first)
    found: list[Said] = []
    before = _in_force(history, own, yards, book, first)
    for number in later:
        now = _in_force(history, own, yards, book, number)
        if now != before:
            found.append(beside.changed(_difference(before, now), int((lines < number).sum()), number))
        before = now
    return tuple(found)


InForce = tuple[str, Mapping[str, str]]


def _in_force(
    history: History, own: Sequence[Chosen], yards: Sequence[Chosen], book: Handbook, upto: int
) -> InForce:
    """Rule and policies by what was written up to that line; "" where none was."""
    mine = [what for event, what in own if event.line.number <= upto]
    theirs = [what for event, what in yards if event.line.number <= upto]
    turned = _process(history) == "turned"
    what = mine[-1] if mine else theirs[-1] if theirs and turned else None
    name = what.rule if what else DEFAULT if turned else ""
    rule, policies = book.rules.get(name), what.policies if what else {}
    if rule is None or refusals(rule, policies):
        return name, dict(policies)
    return name, settle(rule, policies)


def _difference(before: InForce, now: InForce) -> str:
    (rule, old), (other, new) = before, now
    if not rule:
        return f"no rule was chosen, and now it is {other}"
    if rule != other:
        return f"the rule was {rule} and is now {other}"
    names = [name for name in (*old, *new) if old.get(name) != new.get(name)]
    return " and ".join(
        f"{name.replace('_', ' ')} was {old.get(name, 'not chosen').replace('_', ' ')} and is now "
        f"{new.get(name, 'not chosen').replace('_', ' ')}"
        for name in dict.fromkeys(names)
    )


def choices_against(diary: Diary, book: Handbook) -> tuple[Said, ...]:
    """Choices of a rule that its text does not allow, as another book may have brought them in: a sentence
    with its line each. The rows they are for are judged by nobody until another is made."""
    found = []
    for line, what in diary.all(RuleChosen):
        rule = book.rules.get(what.rule)
        wrongs = [one.sentence() for one in refusals(rule, what.policies)] if rule else ["no such rule"]
        if wrongs:
            of = f"row {what.row}" if what.row else "the yard"
            said = (
                f"The choice of {what.rule} for {of} in line {line.number} cannot be used: {' '.join(wrongs)}"
            )
            found.append((said, (line.number,)))
    return tuple(found)


def _process(history: History) -> str:
    return history.built[1].process if history.built else "turned"


def _gathered(history: History, told: Mapping[str, str]) -> dict[str, str]:
    """Facts the diary itself gives and nobody told: starting C:N, size as built, curing on record."""
    facts: dict[str, str] = {}
    ratios = [what for _, what in history.of(Measured) if what.quantity in NITROGEN]
    if ratios:
        facts["cn_initial"] = plain(ratios[0].amount.value)
    if curing.recorded(history):
        facts["curing_recorded"] = "true"
    if history.built:
        built = history.built[1]
        for name, amount, units in (
            ("length", built.length, ("m", "ft")),
            ("volume", built.volume, ("m3", "yd3")),
        ):
            if amount and not any(fact.startswith(f"{name}_") for fact in told):
                unit = amount.unit if amount.unit in units else units[0]
                facts[f"{name}_{unit}"] = plain(round(amount.value * size(amount.unit, unit)))
    return facts
