"""What a table and a yard's own samples say together: samples pull the table's value, not replace it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.handbook.feedstocks import Figure

LOGIT = ("moisture", "organic")  # shares held between 0 and 1; the others are held above 0
UNKNOWN_SPREAD = 1.4  # books differ by 40 %: two standard deviations where no range is given (OWN)
UNKNOWN_SHARE = 0.05  # the same for a moisture or organic matter, as a share (OWN)
WITHIN = {"cn": 0.15, "n": 0.15, "c": 0.05, "density": 0.10, "moisture": 0.03, "organic": 0.03}
"""Within one lot, from sample to sample: a fraction of the value, for LOGIT quantities a share (ASSUMED)."""


@dataclass(frozen=True)
class Belief:
    """A normal belief about a transformed value: its log, or for shares its logit.

    `typical` and `sd` are on the scale of the value itself (fractions, kg/m3, C:N).
    """

    quantity: str
    mean: float
    deviation: float

    @property
    def typical(self) -> float:
        """The median."""
        return _back(self.quantity, self.mean)

    @property
    def sd(self) -> float:
        """Standard deviation of the value, to first order about the median."""
        return self.deviation / _steepness(self.quantity, self.typical)

    def at(self, z: float) -> float:
        """The value `z` standard deviations from the median: at(-1.96), at(1.96) hold 95 %."""
        return _back(self.quantity, self.mean + z * self.deviation)


def belief(quantity: str, typical: float, low: float | None = None, high: float | None = None) -> Belief:
    """A prior: median at the typical value, standard deviation a quarter of the range, on the log
    (logit) scale. Without a range, books' disagreement of 40 % (of 10 points for shares) is two of them.

    The quarter and the disagreement are judgements (OWN). ValueError: a value the scale cannot hold, a
    reversed range; a low end of 0 is taken as a tenth of the typical value.
    """
    mean = _to(quantity, typical)
    if low is None or high is None:
        flat = UNKNOWN_SHARE * _steepness(quantity, typical) / 2
        return Belief(quantity, mean, flat if quantity in LOGIT else math.log(UNKNOWN_SPREAD) / 2)
    if not low <= high:
        raise ValueError(f"{quantity} range {low}-{high}, want the lower end first")
    return Belief(quantity, mean, (_to(quantity, high) - _to(quantity, low if low > 0 else typical / 10)) / 4)


def belief_from_table(figure: Figure) -> Belief:
    """The prior of a table row; percentages become fractions. The row must be on the basis wanted."""
    scale = 100 if figure.unit == "%" else 1
    low = None if figure.low is None else figure.low / scale
    high = None if figure.high is None else figure.high / scale
    return belief(figure.quantity, figure.value / scale, low, high)


def update(prior: Belief, samples: Sequence[float], within: float | None = None, grabs: int = 1) -> Belief:
    """The belief after samples of one lot, each a composite of `grabs`.

        1/s1^2 = 1/s0^2 + n/s^2        m1 = s1^2 (m0/s0^2 + n x/s^2)

    m0, s0 the prior, x the mean of n samples, s their spread within the lot: `within`, else the ASSUMED
    `WITHIN`, over sqrt(grabs); all on the log (logit) scale. About 25 grabs bring N within 10 %
    (Davis, Iversen and Vigil 2002). Source: the normal with known variance, bayes-rules-2022 ch. 5.
    ValueError: a sample the scale cannot hold, a spread not above 0, grabs below 1.
    """
    if not samples:
        return prior
    spread = WITHIN.get(prior.quantity, 0.15) if within is None else within
    if not spread > 0 or grabs < 1:
        raise ValueError(f"spread within the lot {spread}, grabs {grabs}, want above 0 and at least 1")
    values = [_to(prior.quantity, one) for one in samples]
    mean = math.fsum(values) / len(values)
    if prior.quantity in LOGIT:
        spread *= _steepness(prior.quantity, _back(prior.quantity, mean))
    return shrunk(prior, mean, spread / math.sqrt(grabs), len(values))


def shrunk(prior: Belief, mean: float, deviation: float, n: int) -> Belief:
    """The conjugate normal update itself, on the transformed scale."""
    if prior.deviation == 0:
        return prior
    before, measured = prior.deviation**-2, n * deviation**-2
    after = before + measured
    return Belief(prior.quantity, (before * prior.mean + measured * mean) / after, after**-0.5)


def _to(quantity: str, value: float) -> float:
    if quantity in LOGIT:
        if not 0 < value < 1:
            raise ValueError(f"{quantity} {value}, want a fraction above 0 and below 1")
        return math.log(value / (1 - value))
    if not 0 < value < math.inf:
        raise ValueError(f"{quantity} {value}, want above 0")
    return math.log(value)


def _back(quantity: str, transformed: float) -> float:
    if quantity in LOGIT:
        return 1 / (1 + math.exp(-transformed))
    return math.exp(transformed)


def _steepness(quantity: str, value: float) -> float:
    """How fast the transformed value moves with the value."""
    return 1 / (value * (1 - value)) if quantity in LOGIT else 1 / value
