"""The forms that ask the handbook or the diary for more than a row's name."""

import re
from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import Literal

from turnrow.gate import amounts
from turnrow.gate.amounts import Measure, amount
from turnrow.gate.codes import depth_mm
from turnrow.gate.fields import Fields
from turnrow.gate.names import name_wrong, near
from turnrow.gate.resting import resting_on
from turnrow.gate.rounds import readings_of
from turnrow.handbook.book import handbook
from turnrow.handbook.rules import POLICIES, Rule
from turnrow.sanitation import facts
from turnrow.sanitation import policies as choices
from turnrow.yard import entries
from turnrow.yard.entries import Amount, Part, RowBuilt, What
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import NO_DEPTH
from turnrow.yard.wrongs import Refused

Process = Literal["turned", "static", "slow", "worm"]
LONG_IDS = 1_000
PROCESSES: tuple[Process, ...] = ("turned", "static", "slow", "worm")
QUANTITIES: Mapping[str, Measure] = {
    "squeeze": amounts.SCORE,
    "moisture": amounts.PERCENT,
    "oxygen": amounts.PERCENT,
    "carbon dioxide": amounts.PERCENT,
    "length": amounts.LENGTHS,
    "width": amounts.SIDES,
    "height": amounts.SIDES,
    "volume": amounts.HEAPS,
    "C:N": amounts.RATIO,
    "bulk density": amounts.DENSITY,
    "pH": amounts.ACIDITY,
}
_ALSO = {"cn": "C:N", "cn_initial": "C:N", "c/n": "C:N", "co2": "carbon dioxide", "o2": "oxygen"}
_QUANTITY = {**{name.casefold(): name for name in QUANTITIES}, **_ALSO}
_PART = re.compile(r"([^:]+):([^:]+)(?::([^:]+))?")
_PARTS = (
    'materials with their amounts: "horse manure: 30 m3; straw: 10 m3: L12" '
    '(the load last, or "lot" and a lot of overs)'
)


def built(f: Fields, _: datetime) -> What:
    row = f.row(new=True)
    parts = _parts(f)
    named = f.choice("process", PROCESSES, "turned")
    process = next(one for one in PROCESSES if one == named)
    return RowBuilt(
        row=row,
        parts=parts,
        length=f.amount("length", amounts.LENGTHS),
        width=f.amount("width", amounts.SIDES),
        height=f.amount("height", amounts.SIDES),
        volume=f.amount("volume", amounts.HEAPS),
        stations=f.names("stations", "stations laid out: 1, 2, 3 or 1..3"),
        strip=f.named("strip", "the ground it stands on"),
        process=process,
        raw=f.flag("raw", "it holds material not yet proven hot", True),
    )


def _parts(f: Fields) -> tuple[Part, ...]:
    text = f.text("parts", _PARTS, longest=4_000)
    found = []
    for one in filter(None, (part.strip() for part in re.split(r"[;\n]", text))):
        match = _PART.fullmatch(one)
        if not match:
            f.wrong("parts", one, f"Write {_PARTS}.")
            continue
        material, size, load = (part.strip() for part in (match[1], match[2], match[3] or ""))
        laid = amount(size, amounts.LOADS)
        if "proven hot" in material.casefold():
            f.wrong("parts", material, "A name proves no heat: write what it is, and the lot it is of.")
        for name in filter(None, (material, load)):
            if name_wrong(name):
                f.wrong("parts", name, name_wrong(name))
        if isinstance(laid, str):
            f.wrong("parts", one, laid)
        else:
            lot = load[4:].strip() if load.casefold().startswith("lot ") else ""
            found.append(Part(material, laid, "" if lot else load, lot))
    return tuple(found)


def round_of(f: Fields, when: datetime) -> What:
    row = f.standing_row(when)
    unit, readings = readings_of(f)
    skipped = f.names("skipped", "stations passed by")
    read = {one.station for one in readings}
    for name in skipped:
        if name in read:
            f.wrong("skipped", name, "It was read in this round.")
    confirmed = f.names("confirmed", "stations whose surprising number was read again")
    for name in confirmed:
        if name not in read:
            f.wrong("confirmed", name, "It was not read in this round.")
    probe = f.named("probe", "the probe's label")
    return entries.Round(
        row=row, unit=unit, readings=readings, skipped=skipped, probe=probe, confirmed=confirmed
    )


def measured(f: Fields, when: datetime) -> What:
    row = f.standing_row(when)
    typed = f.text("quantity", f"one of {', '.join(QUANTITIES)}", needed=True)
    quantity = _QUANTITY.get(typed.casefold(), "")
    if typed and not quantity:
        f.wrong("quantity", typed, f"Write one of {', '.join(QUANTITIES)}.")
    size = f.amount("amount", QUANTITIES.get(quantity, amounts.PERCENT), needed=True)
    station = f.named("station", "where along the row")
    typed_depth = f.text("depth_cm", "depth in cm")
    depth: int | str = depth_mm(typed_depth) if typed_depth else NO_DEPTH
    if isinstance(depth, str):
        f.wrong("depth_cm", typed_depth, depth)
        depth = NO_DEPTH
    return entries.Measured(
        row=row,
        quantity=quantity,
        amount=size or Amount(0, ""),
        station=station,
        depth_mm=depth,
        how=f.text("how", "by hand, oven, gas probe ..."),
    )


def ticked(f: Fields, _: datetime) -> What:
    key = f.text("key", "the job's key on the sheet: R7 turn", needed=True, longest=120)
    sheet = f.whole("sheet", "the day sheet's line", 0, max(f.diary.head, 0))
    if sheet and sheet not in {line.number for line, _ in f.diary.sheets()}:
        f.wrong("sheet", sheet, "That line is no day sheet in force.")
    done = f.flag("done", "it was done", True)
    over = done and key.startswith("line ") and key.endswith(" alarm")
    reason = f.text("reason", "why it was not done; of an alarm, who ended it", needed=not done or over)
    ids = f.text("entries", "ids of what was written with it", longest=LONG_IDS)
    listed = tuple(filter(None, re.split(r"[\s,;]+", ids)))
    return entries.JobDone(key=key, sheet=sheet, done=done, reason=reason, entries=listed)


def chosen_rule(f: Fields, _: datetime) -> What:
    rules = handbook().rules

    def rule_wrong(name: str) -> str:
        return "" if name in rules else f"No such rule. {near(name, rules)}"

    rule = f.parsed("rule", "a rule's id, as `turnrow prove --list` shows", rule_wrong, needed=True)
    row = f.row(needed=False)
    policies = f.own("policy", "how an open point of the text is read")
    for name, value in policies.items():
        if value not in POLICIES.get(name, ()):
            allowed = "; ".join(f"{key}: {' or '.join(values)}" for key, values in POLICIES.items())
            f.wrong(f"policy.{name}", value, f"Policies are {allowed}.")
    told = f.own("fact", "a fact the rule asks for, as typed")
    if rule in rules:
        _usable(f, rules[rule], {n: v for n, v in policies.items() if v in POLICIES.get(n, ())}, told)
    return entries.RuleChosen(rule=rule, row=row, policies=policies, facts=told)


def _usable(f: Fields, rule: Rule, policies: Mapping[str, str], told: Mapping[str, str]) -> None:
    """Turn away what this rule could not be judged with, and facts that no rule asks for."""
    known = {name for each in handbook().rules.values() for name in facts.asked(each)}
    wrong = choices.refusals(rule, policies)
    try:
        facts.read(rule, told)
    except Refused as refused:
        wrong += refused.refusals
    for one in wrong:
        what, _, name = one.where.partition(" ")
        given = (policies if what == "policy" else told)[name]
        f.wrong(f"{what}.{name}", given, one.do)
    for name in told.keys() - known:
        f.wrong(f"fact.{name}", told[name], f"No rule asks for that. {near(name, sorted(known))}")


def chosen_setting(f: Fields, _: datetime) -> What:
    settings = handbook().settings

    def name_known(name: str) -> str:
        return "" if name in settings else f"No such setting. {near(name, settings)}"

    name = f.parsed("name", "a setting's name", name_known, needed=True)
    reason = f.text("reason", "why")
    setting = settings.get(name)
    if setting is None:
        f.amount("amount", amounts.PERCENT, needed=True)
        return entries.SettingChosen(name=name, amount=Amount(0, ""), reason=reason)
    unit = setting.amount.unit
    allowed = Measure({unit: Fraction(1)}, Fraction(setting.low, MICRO), Fraction(setting.high, MICRO))
    chosen = f.amount("amount", allowed, needed=True)
    return entries.SettingChosen(name=name, amount=chosen or setting.amount, reason=reason)


def struck(f: Fields, _: datetime) -> What:
    line = f.whole("line", "the line to withdraw", 1, 2_000_000_000, needed=True)
    reason = f.text("reason", "why it is withdrawn", needed=True, longest=400)
    if line and not 1 <= line <= f.diary.head:
        f.wrong(
            "line",
            line,
            f"The diary has lines 1 to {f.diary.head}." if f.diary.head else "The diary is empty.",
        )
    elif line and f.diary.is_struck(line):
        f.wrong("line", line, "It is struck already.")
    elif line and isinstance(f.diary.line(line).entry.what, entries.Struck):
        f.wrong("line", line, "It is itself a strike; write the entry anew instead.")
    elif line:
        made, lines = resting_on(f.diary, line)
        if lines:
            f.wrong("line", line, f"{_numbers(lines)} on {made}: strike what rests on it first.")
    return entries.Struck(line=line, reason=reason)


def _numbers(lines: tuple[int, ...]) -> str:
    """ "Line 7 rests", "Lines 7, 9 and 12 rest", "Lines 7, 9, 12 and 40 more rest"."""
    if len(lines) == 1:
        return f"Line {lines[0]} rests"
    few = [str(line) for line in lines[:6]]
    last = f"{len(lines) - 6} more" if len(lines) > 6 else few.pop()
    return f"Lines {', '.join(few)} and {last} rest"
