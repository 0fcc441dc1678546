"""A lab's figure as the heart sees it, and the span the truth lies in: "<10" is no 10 and no 0."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal

from turnrow.yard.goods import Result
from turnrow.yard.numbers import MICRO, plain

Tested = Literal["PASS", "FAIL", "NOT_TESTED", "REVIEW"]
WORST: tuple[Tested, ...] = ("PASS", "REVIEW", "NOT_TESTED", "FAIL")  # from best to worst


@dataclass(frozen=True)
class Figure:
    """One result of a lab sheet, sampled on `day`; `line` is the journal's, 0 where there is none."""

    result: Result
    day: date
    line: int = 0
    sample: str = ""
    lab: str = ""

    def words(self) -> str:
        """As the lab wrote it: "<10 MPN/g dry"."""
        mark = "<" if self.result.below else ">" if self.result.above else ""
        told = (f"{mark}{plain(self.result.amount.value)}", self.result.amount.unit, self.result.basis)
        return " ".join(filter(None, told))


@dataclass(frozen=True)
class Span:
    """Where the true figure lies: from `low` to `high`, an open end not included; high None: no end known."""

    low: Fraction
    high: Fraction | None
    low_open: bool = False
    high_open: bool = False

    def times(self, factor: Fraction) -> "Span":
        """The span in a unit of which `factor` go into one; factor above 0."""
        if factor == 1:
            return self
        high = None if self.high is None else self.high * factor
        return Span(self.low * factor, high, self.low_open, self.high_open)

    @property
    def exact(self) -> bool:
        return self.low == self.high


def span_of(result: Result) -> Span:
    """The span of a figure in its own unit; below a limit of detection it starts at nothing."""
    value = Fraction(result.amount.value, MICRO)
    if result.below:
        return Span(Fraction(0), value, high_open=True)
    if result.above:
        return Span(value, None, low_open=True)
    return Span(value, value)


def mean(spans: list[Span]) -> Span:
    """The plain mean; ValueError without any."""
    if not spans:
        raise ValueError("mean of 0 figures, want at least 1")
    n = len(spans)
    highs = [one.high for one in spans if one.high is not None]
    high = sum(highs, Fraction(0)) / n if len(highs) == n else None
    return Span(
        sum((one.low for one in spans), Fraction(0)) / n,
        high,
        any(one.low_open for one in spans),
        any(one.high_open for one in spans),
    )


def held(span: Span, op: str, limit: Fraction) -> Tested:
    """PASS where the whole span keeps the limit, FAIL where none of it does, else REVIEW; exact."""
    low, high = span.low, span.high
    if op in ("<", "<="):
        strict = op == "<"
        if high is not None and (high < limit or (high == limit and (not strict or span.high_open))):
            return "PASS"
        return "FAIL" if low > limit or (low == limit and (strict or span.low_open)) else "REVIEW"
    strict = op == ">"
    if low > limit or (low == limit and (not strict or span.low_open)):
        return "PASS"
    if high is not None and (high < limit or (high == limit and (strict or span.high_open))):
        return "FAIL"
    return "REVIEW"


def worst(verdicts: list[Tested]) -> Tested:
    """The worst of some; PASS of none."""
    return max(verdicts, key=WORST.index, default="PASS")


def number(value: Fraction, near: Fraction | None = None) -> str:
    """As people write it: exact where six decimals hold it, else "about" and four figures.

    More figures where the four would say that it is `near` and it is not.
    """
    micro = value * MICRO
    if micro.denominator == 1:
        return plain(int(micro))
    short = f"{float(value):.4g}"
    return f"about {float(value):.9g}" if near is not None and Fraction(short) == near else f"about {short}"
