"""A limit set held against what was found: one verdict for each limit, never one score.

Every result counts: a second sample does not undo the first. What lies below a limit of detection
is held as a span, so "<10" against a limit of 5 is for a person to decide.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from turnrow.handbook.analytes import analyte_named, analytes
from turnrow.handbook.quality import LimitSet, LotLimit
from turnrow.quality.convert import beside, figures_of, told_as
from turnrow.quality.found import Figure, Span, Tested, held, mean, number, worst

SAID = {"<": "under", "<=": "at most", ">": "over", ">=": "at least"}


@dataclass(frozen=True)
class Judged:
    """One limit and how it is kept.

    margin  share of the limit that is left, exact; below 0 over it; None where no figure says
    lines   of the journal it rests on
    other   it may be left open or failed where another of the same word `any` is kept
    """

    limit: LotLimit
    verdict: Tested
    sentence: str
    margin: Fraction | None = None
    lines: tuple[int, ...] = ()
    other: bool = False

    @property
    def analyte(self) -> str:
        return self.limit.analyte


@dataclass(frozen=True)
class Stream:
    """All of a yard's figures of its product, found by analyte without looking through them anew."""

    all: tuple[Figure, ...]
    of: Mapping[str, tuple[Figure, ...]]

    @classmethod
    def made(cls, figures: Sequence[Figure]) -> "Stream":
        found: dict[str, list[Figure]] = {}
        for one in figures:
            analyte = analyte_named(one.result.analyte)
            for name in filter(None, (analyte.name, analyte.of) if analyte else ()):
                found.setdefault(name, []).append(one)
        return cls(tuple(figures), {name: tuple(each) for name, each in found.items()})


@dataclass(frozen=True)
class Judgement:
    """A limit set's verdicts; `verdict` is the worst of those that count."""

    set: LimitSet
    verdict: Tested
    each: tuple[Judged, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """What is still to be tested for, each once."""
        left = [one.analyte for one in self.each if one.verdict == "NOT_TESTED" and not one.other]
        return tuple(dict.fromkeys(left))


def judge(limits: LimitSet, figures: Sequence[Figure], on: date, stream: Stream | None = None) -> Judgement:
    """Hold `figures` of a lot against `limits` as they stand on the day `on`.

    stream  all of the yard's figures of the product, the lot's among them, for limits that are kept as a
            mean of a month or of the last so many; without it the lot's own are taken
    """
    found = []
    own = Stream.made(figures)
    for limit in limits.limits:
        if (limit.since and on < limit.since) or (limit.until and on > limit.until):
            continue
        found.append(_judged(limit, limits, figures, stream or own))
    told = _alternatives(found)
    return Judgement(limits, worst([one.verdict for one in told if not one.other]), tuple(told))


def _judged(limit: LotLimit, limits: LimitSet, figures: Sequence[Figure], stream: Stream) -> Judged:
    own = figures_of(limit.analyte, figures)
    if not own:
        return Judged(
            limit, "NOT_TESTED", f"{limit.analyte} is not tested; {_limit(limit)} ({limits.clause})."
        )
    way, _, rest = (limit.how + " ").partition(" ")
    if way == "month":
        return _months(limit, limits, own, stream.of.get(limit.analyte, ()), stream.all)
    if way == "last":
        return _last(limit, limits, int(rest), own, stream.of.get(limit.analyte, ()), stream.all)
    found = _every(limit, limits, own, figures)
    wanted = int(way) if way.isdigit() else 1
    if len(own) < wanted and found.verdict == "PASS":
        said = f"{limit.analyte}: {len(own)} of {wanted} samples so far, each within {_limit(limit)}."
        return Judged(limit, "NOT_TESTED", said, found.margin, found.lines)
    return found


def _spans(limit: LotLimit, figures: Sequence[Figure], beside_of: Sequence[Figure]) -> list[Span | str]:
    wanted = analytes()[limit.analyte]
    return [
        told_as(one, wanted, limit.unit, limit.basis, beside(one, beside_of, limit.basis)) for one in figures
    ]


def _every(limit: LotLimit, limits: LimitSet, own: Sequence[Figure], beside_of: Sequence[Figure]) -> Judged:
    """Each result alone; the worst one speaks."""
    told = []
    for one, span in zip(own, _spans(limit, own, beside_of), strict=True):
        verdict: Tested = "REVIEW" if isinstance(span, str) else held(span, limit.op, limit.value)
        told.append((verdict, _margin(limit, span), one, span))
    verdict = worst([each[0] for each in told])
    _, margin, one, span = min(
        (each for each in told if each[0] == verdict),
        key=lambda each: Fraction(0) if each[1] is None else each[1],
    )
    lines = tuple(dict.fromkeys(each.line for each in own if each.line))
    return Judged(limit, verdict, _said(limit, limits, one, span, verdict, len(own)), margin, lines)


def _said(
    limit: LotLimit, limits: LimitSet, one: Figure, span: Span | str, verdict: Tested, many: int
) -> str:
    at = f", line {one.line}" if one.line else ""
    told = f"{limit.analyte} {one.words()} (sampled {one.day.isoformat()}{at})"
    if isinstance(span, str):
        return f"{told}: {span}"
    if span.exact and not _same(one, limit):
        told += f", that is {number(span.low, limit.value)} {limit.unit}".rstrip()
    if verdict == "PASS":
        every = "" if many == 1 else f"; the nearest of {many} results"
        return f"{told} keeps {_limit(limit)}{every} ({limits.clause})."
    if verdict == "FAIL":
        return f"{told} does not keep {_limit(limit)} ({limits.clause}). A second sample does not undo it."
    return f"{told}: whether it keeps {_limit(limit)} cannot be told from it; ask for a finer method."


def _same(one: Figure, limit: LotLimit) -> bool:
    return one.result.amount.unit == limit.unit and one.result.basis in ("", limit.basis)


def _mean_of(
    limit: LotLimit, limits: LimitSet, figures: Sequence[Figure], beside_of: Sequence[Figure], of: str
) -> Judged:
    spans = _spans(limit, figures, beside_of)
    lines = tuple(dict.fromkeys(one.line for one in figures if one.line))
    wrong = next((one for one in spans if isinstance(one, str)), None)
    if wrong is not None:
        return Judged(limit, "REVIEW", f"{limit.analyte}: {wrong}", None, lines)
    found = mean([one for one in spans if isinstance(one, Span)])
    verdict = held(found, limit.op, limit.value)
    low, high = (
        number(found.low, limit.value),
        "unknown" if found.high is None else number(found.high, limit.value),
    )
    told = low if found.exact else f"between {low} and {high}"
    ends = {"PASS": "keeps", "FAIL": "does not keep"}.get(verdict, "may or may not keep")
    said = f"{limit.analyte}: the mean of {of} is {told} {limit.unit}; it {ends} {_limit(limit)}"
    said += f" ({limits.clause})."
    return Judged(limit, verdict, said, _margin(limit, found), lines)


def _months(
    limit: LotLimit,
    limits: LimitSet,
    own: Sequence[Figure],
    every: Sequence[Figure],
    beside_of: Sequence[Figure],
) -> Judged:
    """The plain mean of all results of each month in which the lot was sampled; the worst month speaks."""
    found = []
    for year, month in sorted({(one.day.year, one.day.month) for one in own}):
        inside = [one for one in every if (one.day.year, one.day.month) == (year, month)]
        named = f"{len(inside)} result{'s' if len(inside) > 1 else ''} of {year}-{month:02d}"
        found.append(_mean_of(limit, limits, inside, beside_of, named))
    verdict = worst([one.verdict for one in found])
    return next(one for one in found if one.verdict == verdict)


def _last(
    limit: LotLimit,
    limits: LimitSet,
    many: int,
    own: Sequence[Figure],
    every: Sequence[Figure],
    beside_of: Sequence[Figure],
) -> Judged:
    """The mean of the last so many up to the lot's newest; with fewer, each must keep the limit."""
    newest = max(one.day for one in own)
    upto = sorted((one for one in every if one.day <= newest), key=lambda one: (one.day, one.line))[-many:]
    if len(upto) == many:
        return _mean_of(limit, limits, upto, beside_of, f"the last {many} results")
    found = _every(limit, limits, upto, beside_of)
    few = f" {len(upto)} of {many} results so far: the mean is not known, so each must keep the limit."
    return Judged(limit, found.verdict, found.sentence + few, found.margin, found.lines)


def _margin(limit: LotLimit, span: Span | str) -> Fraction | None:
    """What is left of the limit as a share of it, by the end of the span nearer to it."""
    if isinstance(span, str) or limit.value == 0:
        return None
    if limit.op in ("<", "<="):
        return None if span.high is None else (limit.value - span.high) / limit.value
    return (span.low - limit.value) / limit.value


def _limit(limit: LotLimit) -> str:
    on = {"": "", "as received": " as received"}.get(limit.basis, f" {limit.basis}")
    inside = "" if "OM" in limit.unit else on
    return f"{SAID[limit.op]} {number(limit.value)} {limit.unit}{inside}"


def _alternatives(found: list[Judged]) -> list[Judged]:
    """Marks those that another of the same word stands in for: the best of a group speaks for it."""
    told = []
    order: tuple[Tested, ...] = ("PASS", "REVIEW", "NOT_TESTED", "FAIL")
    for place, one in enumerate(found):
        group = [(order.index(x.verdict), i) for i, x in enumerate(found) if x.limit.any == one.limit.any]
        other = bool(one.limit.any) and min(group)[1] != place
        told.append(Judged(one.limit, one.verdict, one.sentence, one.margin, one.lines, other))
    return told
