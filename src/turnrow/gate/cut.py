"""Numbers finer than is kept: cut to the strict side of every limit of the handbook's rules.

Cut towards colder, no reading is raised to a lower limit. One that lies over an upper limit, and by that
would be lowered to it, is kept one step warmer instead.
"""

from fractions import Fraction
from functools import cache
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.book import handbook
from turnrow.handbook.rules import HotDays
from turnrow.yard.numbers import MICRO
from turnrow.yard.temperature import UNITS, Limit, Unit


def cut(exact: Fraction, unit: Unit | None) -> int:
    """Whole millionths for `exact` millionths of the unit; None: of a unit that is said elsewhere."""
    whole = floor(exact)
    over = any(whole <= edge < exact or (strict and whole < edge <= exact) for edge, strict in _uppers(unit))
    return whole + 1 if whole != exact and over else whole


def cut_to_step(value: NDArray[np.int64], step: int, unit: Unit | None) -> NDArray[np.int64]:
    """Millionths, as whole steps of so many millionths."""
    kept = value // step * step
    for edge, strict in _uppers(unit):
        highest = ceil(edge) - 1 if strict else floor(edge)  # the warmest value within the limit
        kept = np.where((kept <= highest) & (highest < value), kept + step, kept)
    return kept


@cache
def _uppers(unit: Unit | None) -> tuple[tuple[Fraction, bool], ...]:
    """Every upper limit of a rule in millionths of the unit, or of each; True: it must be stayed under."""
    proofs = [rule.proof for rule in handbook().rules.values()]
    limits = {proof.upper for proof in proofs if isinstance(proof, HotDays) and proof.upper is not None}
    return tuple(
        (_in_unit(limit, one), limit.op == "<") for limit in limits for one in ((unit,) if unit else UNITS)
    )


def _in_unit(limit: Limit, unit: Unit) -> Fraction:
    if unit == "F":
        return Fraction(limit.ninths, 5) + 32 * MICRO
    return Fraction(limit.ninths, 9) + (273_150_000 if unit == "K" else 0)
