"""Limits on sampled figures: each, either, or a running mean."""

from collections.abc import Sequence

from turnrow.handbook.rules import Bound, Bounds, RunningMean
from turnrow.sanitation.facts import Facts
from turnrow.sanitation.found import Found, worst
from turnrow.sanitation.standing import Verdict
from turnrow.yard.numbers import plain

SIGNS = {"<": "under", "<=": "at most", ">": "over", ">=": "at least"}


def judge(proof: Bounds, facts: Facts) -> Found:
    asked = [b for b in proof.bounds if not (facts.yes.get(b.unless) or facts.yes.get(b.spared))]
    groups: dict[str, list[tuple[Bound, Verdict]]] = {}
    for place, bound in enumerate(asked):
        groups.setdefault(bound.any or f"{place}", []).append((bound, _one(bound, facts)))
    verdicts = [_best([verdict for _, verdict in group]) for group in groups.values()]
    if proof.combine == "all":
        verdict = worst(verdicts) if verdicts else "PASS"
    else:
        verdict = _best(verdicts)
    short = [
        " or ".join(_short(bound, facts, each) for bound, each in group)
        for group, found in zip(groups.values(), verdicts, strict=True)
        if found != "PASS"
    ]
    said = [
        f"{bound.fact} {plain(facts.numbers[bound.fact])}; the limit is {_limit(bound)}."
        for bound in asked
        if bound.fact in facts.numbers
    ]
    how = "Every limit must be kept." if proof.combine == "all" else "Any one of the limits is enough."
    return Found(verdict, short_of=() if verdict == "PASS" else tuple(short), because=(how, *said))


def _best(verdicts: Sequence[Verdict]) -> Verdict:
    """Of several where one is enough."""
    return "PASS" if "PASS" in verdicts else "NOT_PROVEN" if "NOT_PROVEN" in verdicts else "FAIL"


def _one(bound: Bound, facts: Facts) -> Verdict:
    if bound.fact not in facts.numbers:
        return "NOT_PROVEN"
    value = facts.numbers[bound.fact]
    holds = {
        "<": value < bound.value,
        "<=": value <= bound.value,
        ">": value > bound.value,
        ">=": value >= bound.value,
    }[bound.op]
    if holds:
        return "PASS"
    lifted = bound.unless and bound.unless not in facts.yes
    return "NOT_PROVEN" if lifted else "FAIL"


def _short(bound: Bound, facts: Facts, found: Verdict) -> str:
    if bound.fact not in facts.numbers:
        return f"fact {bound.fact}: say {bound.fact} ({bound.unit})"
    given = f"{bound.fact} {_limit(bound)}, not {plain(facts.numbers[bound.fact])}"
    return f"{given}, unless {bound.unless}: say {bound.unless}" if found == "NOT_PROVEN" else given


def _limit(bound: Bound) -> str:
    return f"{SIGNS[bound.op]} {plain(bound.value)} {bound.unit}".strip()


def running_mean(proof: RunningMean, facts: Facts) -> Found:
    missing = [name for name in ("class", "metal") if name not in facts.words]
    missing += ["results"] if "results" not in facts.lists else []
    if missing:
        return Found("NOT_PROVEN", short_of=tuple(f"fact {name}: say {name}" for name in missing))
    metal, name = facts.words["metal"], facts.words["class"]
    limit, results = proof.limits[name][metal], facts.lists["results"]
    said = f"{metal}, class {name}: the limit is {plain(limit)} mg/kg dry."
    if metal not in proof.averaged:
        return _every(results, limit, said)
    last = results[-proof.last :]
    if len(last) < proof.last:
        found = _every(results, limit, said)
        few = f"{len(last)} of {proof.last} results: the mean is not known, so each must keep the limit."
        return Found(found.verdict, short_of=found.short_of, because=(said, few))
    top = limit * proof.single_pct // 100
    short = []
    if sum(last) > limit * len(last):
        short.append(
            f"a mean of the last {len(last)} within {plain(limit)}, not {plain(sum(last) // len(last))}"
        )
    high = [value for value in last if value * 100 > limit * proof.single_pct]
    if high:
        short.append(f"no result over {plain(top)}; {', '.join(map(plain, high))} is")
    average = plain(sum(last) // len(last))
    mean = f"The mean of the last {len(last)} is {average}, the highest {plain(max(last))}."
    return Found("FAIL" if short else "PASS", short_of=tuple(short), because=(said, mean))


def _every(results: tuple[int, ...], limit: int, said: str) -> Found:
    high = [value for value in results if value > limit]
    short = (f"every result within {plain(limit)}; {', '.join(map(plain, high))} is not",) if high else ()
    return Found("FAIL" if high else "PASS", short_of=short, because=(said, "Each result counts alone."))
