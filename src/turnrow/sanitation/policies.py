"""How a clause is read where its text leaves it open: the policies, always named in the answer."""

from collections.abc import Mapping
from itertools import product

from turnrow.handbook.rules import POLICIES, Blocks, Duration, HotDays, Profiles, Rule, TotalHours
from turnrow.yard.wrongs import Refusal, Refused, shown


def asked(rule: Rule) -> tuple[str, ...]:
    """The policies that can change this rule's verdict."""
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
    """Values a policy may take under a rule, the default first."""
    if name == "day" and isinstance(rule.proof, HotDays) and (rule.proof.peak or rule.proof.mean):
        return ("calendar",)  # more than one temperature: no single stretch of time to reckon
    if name in rule.open:
        return rule.open[name]
    return tuple(value for value in POLICIES[name] if value != "blocks")


def settle(rule: Rule, policies: Mapping[str, str]) -> dict[str, str]:
    """The policies in force: those chosen, else the first the text leaves open, else our default.

    Policies of other rules are passed over. Raises Refused for a name or value no rule knows, and
    for one that this rule's text settles otherwise.
    """
    wrong = refusals(rule, policies)
    if wrong:
        raise Refused(wrong)
    return {name: policies.get(name) or allowed(rule, name)[0] for name in asked(rule)}


def refusals(rule: Rule, policies: Mapping[str, str]) -> list[Refusal]:
    wrong = []
    for name, value in policies.items():
        where = f"policy {name}"
        if name not in POLICIES:
            wrong.append(Refusal(where, shown(value), f"Policies are {', '.join(POLICIES)}."))
        elif value not in POLICIES[name]:
            wrong.append(Refusal(where, shown(value), f"Say one of {', '.join(POLICIES[name])}."))
        elif name in asked(rule) and value not in allowed(rule, name):
            kept = " or ".join(allowed(rule, name))
            wrong.append(Refusal(where, shown(value), f"{rule.id} is read by {kept} only; leave it out."))
    both = policies.get("station") == "mean" and policies.get("day") == "elapsed"
    if not wrong and both and {"station", "day"} <= set(asked(rule)):
        wrong.append(Refusal("policy station", shown("mean"), "With day elapsed say station min."))
    return wrong


def combinations(rule: Rule, policies: Mapping[str, str]) -> list[dict[str, str]]:
    """Every reading the text leaves open, the defaults first; a policy that was chosen stays."""
    base = settle(rule, policies)
    names = [n for n in base if n in rule.open and n not in policies and len(rule.open[n]) > 1]
    values = product(*(rule.open[n] for n in names))
    every = [{**base, **dict(zip(names, these, strict=True))} for these in values]
    return [c for c in every if not (c.get("station") == "mean" and c.get("day") == "elapsed")]
