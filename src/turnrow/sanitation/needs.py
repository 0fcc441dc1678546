"""Facts a text asks for beside its proof."""

from turnrow.handbook.rules import Need, Rule
from turnrow.sanitation.facts import Facts
from turnrow.sanitation.found import Found
from turnrow.yard.numbers import plain


def judge(rule: Rule, facts: Facts) -> list[Found]:
    return [_one(need, facts) for need in rule.needs if not facts.yes.get(need.unless)]


def _one(need: Need, facts: Facts) -> Found:
    given = facts.yes if need.true else facts.numbers
    if need.fact not in given:
        ask = f"fact {need.fact}: say {need.fact} ({need.words})"
        if need.if_missing == "warn":
            return Found("PASS", warnings=(f"{need.fact} was not given: {need.words}.",))
        return Found(need.if_missing, short_of=(ask,), because=(f"{need.fact} was not given: {need.words}.",))
    if need.true:
        holds, shown = facts.yes[need.fact], "yes" if facts.yes[need.fact] else "no"
    else:
        value = facts.numbers[need.fact]
        holds = (need.low is None or value >= need.low) and (need.high is None or value <= need.high)
        shown = plain(value)
    said = f"{need.fact} is {shown}: {need.words}."
    if holds:
        return Found("PASS", because=(said,))
    return Found(need.otherwise, short_of=(f"{need.words} ({need.fact} is {shown})",), because=(said,))
