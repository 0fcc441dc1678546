"""Which rule a row works to, and the facts its diary gives; chosen for the row, the yard, or the default."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.handbook.book import Handbook
from turnrow.handbook.rules import Rule
from turnrow.sanitation import curing
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


def choice(history: History, yard: tuple[Event, RuleChosen] | None, book: Handbook) -> Choice:
    """The newest choice for the row, else (for a turned row) for the yard, else the default."""
    own = history.of(RuleChosen)
    process = history.built[1].process if history.built else "turned"
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


def newest_for_yard(diary: Diary, upto_s: int) -> tuple[Event, RuleChosen] | None:
    """The yard's own choice, of those that happened by `upto_s`."""
    found = [pair for pair in diary.own_events(RuleChosen) if pair[0].at <= upto_s]
    return found[-1] if found else None


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
