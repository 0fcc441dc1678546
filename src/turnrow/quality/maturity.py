"""Stability and maturity by each scheme's own words. Nothing here is merged into one score.

A lab's own word is shown beside these and never worked out: two labs call one figure by two names.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from turnrow.handbook.quality import Ladder, Scheme, Step, schemes
from turnrow.quality.convert import beside, figures_of, in_unit
from turnrow.quality.found import Figure, Span, held, number

Edge = Literal["better", "worse"]


@dataclass(frozen=True)
class TestClass:
    """What one test says under one scheme. `word` "" where it cannot be told.

    otherwise  the class the figure would have by the other reading of an edge that two classes share
    """

    __test__ = False

    analyte: str
    part: str
    word: str
    rank: int
    sentence: str
    lines: tuple[int, ...] = ()
    otherwise: str = ""


@dataclass(frozen=True)
class SchemeClass:
    """One scheme's class in its own words.

    word   "" where nothing was tested for it, or where its parts do not agree: then a person decides
    state  told | not tested | review
    known  READ or MEMORY: whether the scheme's text was read
    """

    scheme: str
    word: str
    rank: int
    state: Literal["told", "not tested", "review"]
    sentence: str
    tests: tuple[TestClass, ...]
    known: str

    @property
    def lines(self) -> tuple[int, ...]:
        return tuple(dict.fromkeys(line for test in self.tests for line in test.lines))


def in_schemes(classes: Sequence[SchemeClass], line: int) -> tuple[str, ...]:
    """What each scheme calls the figures of one line, in its own words: "PAS 100 growth: emergence ..."."""
    return tuple(
        f"{one.scheme}{' (from memory)' if one.known == 'MEMORY' else ''}: {test.sentence}"
        for one in classes
        for test in one.tests
        if line in test.lines and test.word
    )


def classes(figures: Sequence[Figure], edge: Edge = "worse") -> tuple[SchemeClass, ...]:
    """The class of each scheme of the handbook, from the newest figure of each test.

    edge  which class a figure belongs to where published tables give its edge to two of them
    """
    return tuple(scheme_class(scheme, figures, edge) for scheme in schemes().values())


def scheme_class(scheme: Scheme, figures: Sequence[Figure], edge: Edge = "worse") -> SchemeClass:
    """One scheme's class."""
    tests = [test for ladder in scheme.ladders for test in _tested(ladder, figures, edge)]
    known = scheme.known
    ranks, left, certain = [], [], 0
    for part in dict.fromkeys(ladder.part for ladder in scheme.ladders):
        needed = [ladder.analyte for ladder in scheme.ladders if ladder.part == part]
        rank, missing = _part(part, needed, [test for test in tests if test.part == part])
        left += missing
        ranks += [rank] if rank else []
        certain = max(certain, rank if part in ("", "all") else 0)
    unclear = [test.sentence for test in tests if not test.word]
    words = {step.rank: step.word for ladder in scheme.ladders for step in ladder.steps}
    if not tests:
        return SchemeClass(scheme.name, "", 0, "not tested", f"{scheme.name}: not tested.", (), known)
    if certain == max(words):  # a test that must be passed gave its worst class: no other mends that
        return _told(scheme, words, certain, tests)
    if left:
        said = f"{scheme.name}: still wants {'; '.join(left)}."
        return SchemeClass(
            scheme.name, "", 0, "review" if unclear else "not tested", said, tuple(tests), known
        )
    if unclear or -1 in ranks or (_index(scheme) and len(set(_ab(tests))) > 1):
        said = f"{scheme.name}: its tests do not agree or cannot be read; the scheme's own table decides."
        return SchemeClass(scheme.name, "", 0, "review", " ".join([said, *unclear]), tuple(tests), known)
    return _told(scheme, words, max(ranks), tests)


def _told(scheme: Scheme, words: dict[int, str], rank: int, tests: Sequence[TestClass]) -> SchemeClass:
    shared = [f"By the other reading of the edge: {test.otherwise}." for test in tests if test.otherwise]
    done = {test.analyte for test in tests}
    left = [one.analyte for one in scheme.ladders if one.part == "one of" and one.analyte not in done]
    if rank > 1 and left:
        shared.append(f"One test of several is enough; {' or '.join(left)} is not tested.")
    said = f"{scheme.name}: {words[rank]}."
    if scheme.known == "MEMORY":
        shared.append("Its text was not read; thresholds are from memory.")
    return SchemeClass(
        scheme.name, words[rank], rank, "told", " ".join([said, *shared]), tuple(tests), scheme.known
    )


def _index(scheme: Scheme) -> bool:
    return any(ladder.part == "A" for ladder in scheme.ladders)


def _ab(tests: Sequence[TestClass]) -> list[int]:
    return [test.rank for test in tests if test.part in ("A", "B")]


def _part(part: str, needed: Sequence[str], tests: Sequence[TestClass]) -> tuple[int, list[str]]:
    """(rank of a part of a scheme, what it still wants); 0 none yet, -1 its tests do not agree."""
    told = [test for test in tests if test.word]
    if part == "all":
        lacking = [name for name in needed if name not in {test.analyte for test in tests}]
        return (max((test.rank for test in told), default=0), lacking)
    if not tests:
        return 0, [" or ".join(needed)]
    if not told:
        return 0, []
    ranks = {test.rank for test in told}
    if part == "one of":
        return min(ranks), []
    return (ranks.pop() if len(ranks) == 1 else -1), []


def _tested(ladder: Ladder, figures: Sequence[Figure], edge: Edge) -> list[TestClass]:
    own = figures_of(ladder.analyte, figures)
    if not own:
        return []
    newest = max(own, key=lambda one: (one.day, one.line))
    span = in_unit(newest, ladder.unit, ladder.basis, beside(newest, figures, ladder.basis))
    lines = (newest.line,) if newest.line else ()
    told = f"{ladder.analyte} {newest.words()}"
    if isinstance(span, str):
        return [TestClass(ladder.analyte, ladder.part, "", 0, f"{told}: {span}", lines)]
    step, other = step_of(ladder, span, edge)
    if step is None:
        said = f"{told}: it may be of more than one class; ask for a finer method."
        return [TestClass(ladder.analyte, ladder.part, "", 0, said, lines)]
    as_told = (
        f", that is {number(span.low)} {ladder.unit}" if newest.result.amount.unit != ladder.unit else ""
    )
    said = f"{told}{as_told}: {step.word}."
    otherwise = other.word if other else ""
    return [TestClass(ladder.analyte, ladder.part, step.word, step.rank, said, lines, otherwise)]


def step_of(ladder: Ladder, span: Span, edge: Edge) -> tuple[Step | None, Step | None]:
    """(the class, the class by the other reading of a shared edge); None where the span does not tell."""
    for place, step in enumerate(ladder.steps):
        if step.op is None:
            return step, None
        at_edge = step.edge == "both" and span.exact and span.low == step.value
        if at_edge:
            after = ladder.steps[place + 1]
            return (step, after) if edge == "better" else (after, step)
        found = held(span, step.op, step.value)
        if found == "PASS":
            return step, None
        if found == "REVIEW":
            return None, None
    raise ValueError(f"ladder of {ladder.analyte} without a last class, want one without an operator")


def rise_step(scheme: str, rise: Fraction, edge: Edge = "worse") -> Step:
    """The class of a self-heating rise [°C] under one of the schemes that know it."""
    ladder = next(one for one in schemes()[scheme].ladders if one.analyte == "self-heating rise")
    step, _ = step_of(ladder, Span(rise, rise), edge)
    if step is None:
        raise ValueError(f"rise {rise} of no class under {scheme}, want one")
    return step
