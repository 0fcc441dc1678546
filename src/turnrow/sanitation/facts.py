"""Facts beside the temperatures, as typed: which a rule asks for, what they say, which are wrong."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from turnrow.handbook.rules import (
    Blocks,
    Bounds,
    Duration,
    Held,
    HeldByEquation,
    HotDays,
    Rule,
    RunningMean,
)
from turnrow.yard.numbers import parse_micro, plain
from turnrow.yard.temperature import Limit
from turnrow.yard.wrongs import Refusal, Refused, shown

ROMAN = ("I", "II", "III", "IV", "V")  # classes of a self-heating test
YES = ("true", "yes", "1")
NO = ("false", "no", "0")
GEOMETRY = ("length_ft", "length_m", "volume_yd3", "volume_m3", "depth_in", "depth_cm")


def hours_fact(limit: Limit) -> str:
    """The fact that stands in for a log of the peak: "hours_above_55"."""
    return f"hours_{'above' if limit.op == '>' else 'at'}_{plain(limit.value)}"


def minutes_fact(limit: Limit) -> str:
    return f"minutes_unbroken_at_{plain(limit.value)}"


def asked(rule: Rule) -> dict[str, str]:
    """Facts the rule can use -> what each must be: number, numbers, yes, date or word."""
    proof = rule.proof
    kinds = {need.fact: "yes" if need.true else "number" for need in rule.needs}
    kinds |= {need.unless: "yes" for need in rule.needs if need.unless}
    if isinstance(proof, HotDays) and proof.peak is not None:
        kinds[hours_fact(proof.peak)] = "number"
        kinds[f"hours_above_{plain(proof.peak.value)}"] = "number"
    elif isinstance(proof, Blocks):
        kinds["high_risk"] = "yes"
    elif isinstance(proof, Held):
        kinds |= {minutes_fact(proof.limit): "number", "minutes_unbroken": "number"}
    elif isinstance(proof, HeldByEquation):
        kinds |= {"solids_pct": "number", "minutes_held": "number"}
    elif isinstance(proof, Duration):
        kinds |= {"system": "word", "days": "number", "start": "date", "end": "date"}
    elif isinstance(proof, Bounds):
        kinds |= {b.fact: "number" for b in proof.bounds}
        kinds |= {name: "yes" for b in proof.bounds for name in (b.unless, b.spared) if name}
    elif isinstance(proof, RunningMean):
        kinds |= {"class": "word", "metal": "word", "results": "numbers"}
    if rule.spatial is not None:
        kinds |= dict.fromkeys(GEOMETRY, "number")
    return kinds


@dataclass(frozen=True)
class Facts:
    """Facts read by kind; a name that is absent was not given."""

    numbers: dict[str, int] = field(default_factory=dict)  # millionths
    lists: dict[str, tuple[int, ...]] = field(default_factory=dict)
    yes: dict[str, bool] = field(default_factory=dict)
    dates: dict[str, date] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)


def read(rule: Rule, facts: Mapping[str, str]) -> Facts:
    """The facts this rule asks for; others are passed over. Raises Refused with every wrong one."""
    found, wrong = Facts(), []
    if not facts:
        return found
    for name, kind in asked(rule).items():
        if name not in facts:
            continue
        try:
            _read(found, kind, name, facts[name].strip())
        except ValueError:
            wrong.append(Refusal(f"fact {name}", shown(facts[name]), _ASK[kind]))
    wrong += _choices(rule, found)
    if wrong:
        raise Refused(wrong)
    return found


_ASK = {
    "number": "Say a plain number, not below 0, with a decimal point.",
    "numbers": "Say plain numbers separated by commas, the oldest first.",
    "yes": "Say true or false.",
    "date": "Say a date such as 2026-05-03.",
    "word": "Say one word.",
}


def _read(found: Facts, kind: str, name: str, text: str) -> None:
    if kind == "number":
        found.numbers[name] = _positive(text)
    elif kind == "numbers":
        found.lists[name] = tuple(_positive(part) for part in text.split(","))
    elif kind == "yes":
        if text.lower() not in (*YES, *NO):
            raise ValueError(f"{text!r} is not true or false")
        found.yes[name] = text.lower() in YES
    elif kind == "date":
        found.dates[name] = date.fromisoformat(text)
    else:
        if not text:
            raise ValueError("nothing said")
        found.words[name] = text


def _positive(text: str) -> int:
    value = parse_micro(str(ROMAN.index(text) + 1) if text in ROMAN else text)
    if value < 0:
        raise ValueError(f"{text!r} is below 0")
    return value


def _choices(rule: Rule, found: Facts) -> list[Refusal]:
    """Words that must be one of the rule's own."""
    proof, choices = rule.proof, {}
    if isinstance(proof, Duration):
        choices["system"] = tuple(proof.systems)
    if isinstance(proof, RunningMean):
        choices["class"] = tuple(proof.limits)
        choices["metal"] = tuple(dict.fromkeys(m for limits in proof.limits.values() for m in limits))
    wrong = [
        Refusal(f"fact {name}", shown(found.words[name]), f"Say one of {', '.join(these)}.")
        for name, these in choices.items()
        if name in found.words and found.words[name] not in these
    ]
    if {"start", "end"} <= set(found.dates) and found.dates["end"] < found.dates["start"]:
        wrong.append(Refusal("fact end", found.dates["end"].isoformat(), "Say a date not before the start."))
    return wrong


def unused(rule: Rule, facts: Mapping[str, str]) -> list[str]:
    """Notices for facts this rule does not ask for."""
    known = asked(rule)
    can = f"it can use {', '.join(known)}" if known else "it uses none"
    said = f"is not one {rule.id} asks for and was passed over; {can}"
    return [f"fact {name} {said}" for name in facts if name not in known]
