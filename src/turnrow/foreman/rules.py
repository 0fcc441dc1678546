"""Which rule a row works to, and the facts its diary gives; chosen for the row, the yard, or the default."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from turnrow.handbook.book import Handbook
from turnrow.handbook.rules import Rule
from turnrow.sanitation import beside, curing
from turnrow.sanitation.policies import refusals, settle
from turnrow.sanitation.standing import Said
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Measured, RuleChosen, Struck
from turnrow.yard.history import Event, History, event
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
        at, what = own[-1]
        wanted, policies = what.rule, dict(what.policies)
        lines.append(at.line.number)
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


@dataclass(frozen=True)
class Held:
    """A choice from the line that wrote it; `struck` is the line that withdrew it, 0 where none did."""

    event: Event
    what: RuleChosen
    struck: int = 0

    def by(self, upto: int) -> bool:
        """Whether it held by what was written up to that line."""
        return self.event.line.number <= upto and not 0 < self.struck <= upto


def struck_choices(diary: Diary) -> tuple[Held, ...]:
    """Choices of a rule that were struck, for rows and for the yard."""
    strikes = {what.line: line.number for line, what in diary.each(Struck)}
    return tuple(
        Held(event(line, diary.zone), what, strikes[line.number])
        for line, what in diary.each(RuleChosen)
        if line.number in strikes and diary.is_struck(line.number)
    )


def changes(
    history: History,
    yards: Sequence[Chosen],
    struck: Sequence[Held],
    book: Handbook,
    since: int = 0,
) -> tuple[Said, ...]:
    """Each change of the row's rule, or of how it is read, that was written once readings were on record; a
    choice struck afterwards is a change too.

    since  line from which the proof starts anew; earlier readings no longer count
    """
    lines = history.readings.line[history.readings.line > since]
    if not len(lines):
        return ()
    every = [Held(*pair) for pair in (*history.of(RuleChosen), *yards)]
    every += [one for one in struck if one.what.row in ("", history.row)]
    every.sort(key=lambda one: (one.event.at, one.event.line.number))
    first = int(lines.min())
    later = {one.event.line.number for one in every} | {one.struck for one in every}
    found: list[Said] = []
    before = _in_force(history, every, book, first)
    for number in sorted(number for number in later if number > first):
        now = _in_force(history, every, book, number)
        if now != before:
            found.append(beside.changed(_difference(before, now), int((lines < number).sum()), number))
        before = now
    return tuple(found)


InForce = tuple[str, Mapping[str, str]]


def _in_force(history: History, every: Sequence[Held], book: Handbook, upto: int) -> InForce:
    """Rule and policies by what was written up to that line; "" where none was."""
    own = [one.what for one in every if one.what.row and one.by(upto)]
    yard = [one.what for one in every if not one.what.row and one.by(upto)]
    turned = _process(history) == "turned"
    what = own[-1] if own else yard[-1] if yard and turned else None
    name = what.rule if what else DEFAULT if turned else ""
    rule, policies = book.rules.get(name), what.policies if what else {}
    if rule is None or refusals(rule, policies):
        return name, dict(policies)
    return name, settle(rule, policies)


def _difference(before: InForce, now: InForce) -> str:
    (rule, old), (other, new) = before, now
    if not rule or not other:
        return f"it was {rule or 'no rule'} and is now {other or 'no rule'}"
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
