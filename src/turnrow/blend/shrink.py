"""How much less room a mix takes than its parts, from the yard's own bucket tests."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

FLUFFED, MUCH = 0.0, 0.35  # below: the mix stands looser than its parts; above: look for a slip. OWN


@dataclass(frozen=True)
class BucketTest:
    """Parts measured apart, put together and measured again, all filled the same way [litres]."""

    parts_litres: tuple[float, ...]
    mix_litres: float


@dataclass(frozen=True)
class Shrink:
    """The fitted share of volume lost, 0 or more, its standard error, and what to say about it.

    fitted  as the tests gave it, below 0 when mixes came out looser than their parts
    error   None with fewer than two tests
    """

    shrink: float
    fitted: float
    error: float | None
    tests: int
    words: str


def fit_shrink(tests: Sequence[BucketTest]) -> Shrink:
    """The share s by which a mix takes less room than its parts, least squares over the tests.

        V_mix = (1 - s) V        1 - s = sum V V_mix / sum V^2        V  sum of the parts

    Where there is no test, 0.05-0.15 is a judgement (OWN), and 0 the figure that promises least room.
    ValueError: no tests, a volume not above 0, fewer than two parts.
    """
    if not tests:
        raise ValueError("no bucket test, want at least 1")
    for number, one in enumerate(tests, start=1):
        if len(one.parts_litres) < 2 or not all(
            0 < v < math.inf for v in (*one.parts_litres, one.mix_litres)
        ):
            raise ValueError(
                f"bucket test {number}: parts {one.parts_litres}, mix {one.mix_litres} litres, "
                "want at least two parts, all above 0"
            )
    apart = [math.fsum(one.parts_litres) for one in tests]
    squares = math.fsum(v * v for v in apart)
    kept = math.fsum(v * one.mix_litres for v, one in zip(apart, tests, strict=True)) / squares
    left = math.fsum((one.mix_litres - kept * v) ** 2 for v, one in zip(apart, tests, strict=True))
    error = math.sqrt(left / (len(tests) - 1) / squares) if len(tests) > 1 else None
    fitted = 1 - kept
    return Shrink(max(0.0, fitted), fitted, error, len(tests), _words(fitted, len(tests)))


def _words(fitted: float, tests: int) -> str:
    if fitted < FLUFFED:
        return "the mix stood looser than its parts: taken as no shrink; fill and drop all buckets alike"
    if fitted > MUCH:
        return "more than a third lost: look for a slip, or for parts filled loose and a mix pressed down"
    return "one test only: make three" if tests < 3 else "as the tests say"
