"""How a clause is read where its text leaves it open: the policies, always named in the answer.

A rule's file lists each policy its text leaves open, with the values one may choose. What it does not list
has one reading, and no other can be chosen.
"""

from collections.abc import Mapping
from itertools import product

from turnrow.handbook.rules import POLICIES, Blocks, Duration, HotDays, Profiles, Rule, TotalHours
from turnrow.yard.wrongs import Refusal, Refused, shown

MEAN = "Leave it out: the mean of the stations is information and never a verdict; the coldest decides."


def asked(rule: Rule) -> tuple[str, ...]:
    """The policies this rule is judged by, open or not."""
    proof = rule.proof
    names: list[str] = []
    if isinstance(proof, HotDays):
        names += ["continuity", "station", "day"]
        names += ["turn_count"] if proof.turns else []
        names += ["over_limit_day"] if proof.upper else []
    elif isinstance(proof, Profiles):
        names += ["continuity", "station", "day"]
    elif isinstance(proof, Blocks | TotalHours):
        names += ["station"]
    elif isinstance(proof, Duration):
        names += ["vermi"]
    if rule.spatial is not None:
        names.append("stations_by")
    return tuple(names)


def allowed(rule: Rule, name: str) -> tuple[str, ...]:
    """Values a policy may take under a rule, the default first; only one where its text is settled."""
    return rule.open.get(name) or POLICIES[name][:1]


def settle(rule: Rule, policies: Mapping[str, str]) -> dict[str, str]:
    """The policies in force: those chosen, else the first that the rule's file lists, else the one reading.

    Policies by which this rule is not judged are passed over. Raises Refused for a name or value no rule
    knows, and for one that this rule's text does not leave open.
    """
    known = asked(rule)
    wrong = refusals(rule, {n: v for n, v in policies.items() if n in known or n not in POLICIES})
    if wrong:
        raise Refused(wrong)
    return {name: policies.get(name) or allowed(rule, name)[0] for name in known}


def refusals(rule: Rule, policies: Mapping[str, str]) -> list[Refusal]:
    """What stands against choosing these policies for the rule, one refusal each."""
    wrong = []
    for name, value in policies.items():
        where = f"policy {name}"
        if name not in POLICIES:
            wrong.append(Refusal(where, shown(value), f"Policies are {', '.join(POLICIES)}."))
        elif (name, value) == ("station", "mean"):
            wrong.append(Refusal(where, shown(value), MEAN))
        elif value not in POLICIES[name]:
            wrong.append(Refusal(where, shown(value), f"Say one of {', '.join(POLICIES[name])}."))
        elif name not in asked(rule):
            open_ = ", ".join(rule.open) or "none"
            do = f"{rule.id} is not judged by it; leave it out. Its text leaves open: {open_}."
            wrong.append(Refusal(where, shown(value), do))
        elif value not in allowed(rule, name):
            kept = " or ".join(allowed(rule, name))
            wrong.append(Refusal(where, shown(value), f"{rule.id} is read by {kept} only; leave it out."))
    return wrong


def combinations(rule: Rule, policies: Mapping[str, str]) -> list[dict[str, str]]:
    """Every reading the text leaves open, the defaults first; a policy that was chosen stays."""
    base = settle(rule, policies)
    names = [n for n in base if n in rule.open and n not in policies and len(rule.open[n]) > 1]
    values = product(*(rule.open[n] for n in names))
    return [{**base, **dict(zip(names, these, strict=True))} for these in values]
