"""When an order can be kept: against closed forms of the normal distribution."""

import math
from statistics import NormalDist

import numpy as np
import pytest

from turnrow.sales.promise import Coming, promises

NORMAL = NormalDist()


def drawn(wanted, coming, draws=40_000):
    return promises(wanted, coming, np.random.default_rng(7), draws)


def test_what_lies_there_is_promised_today() -> None:
    (found,) = drawn([("O1", 20.0, 0.0)], [Coming("lot A", 30.0)])
    assert (found.chance, found.p50, found.p95) == (1.0, 0.0, 0.0)


def test_what_is_never_there_is_promised_never() -> None:
    (found,) = drawn([("O1", 31.0, 10.0)], [Coming("lot A", 30.0)])
    assert found.chance == 0.0 and math.isinf(found.p50)
    assert math.isinf(drawn([("O1", 1.0, None)], [])[0].p50)


def test_the_chance_of_a_day_is_that_of_the_rows_own_days() -> None:
    """Ready on day 20 in the middle, 15 and 30 at the deciles: two half normals, so in closed form."""
    coming = [Coming("row R7", 50.0, 0.0, (15.0, 20.0, 30.0))]
    spread = 10.0 / NORMAL.inv_cdf(0.9)
    (found,) = drawn([("O1", 40.0, 25.0)], coming)
    assert found.chance == pytest.approx(NORMAL.cdf(5.0 / spread), abs=0.01)
    assert found.p80 == pytest.approx(20.0 + spread * NORMAL.inv_cdf(0.8), abs=0.2)


def test_the_chance_that_there_is_enough_is_that_of_the_amount() -> None:
    """Normal with 50 and 10: 60 or more with a chance of 15.9 %."""
    (found,) = drawn([("O1", 60.0, 1.0)], [Coming("heap", 50.0, 10.0)])
    assert found.chance == pytest.approx(1 - NORMAL.cdf(1.0), abs=0.01)


def test_the_first_order_is_served_first() -> None:
    coming = [Coming("lot A", 30.0), Coming("row R7", 30.0, 0.0, (10.0, 10.0, 10.0))]
    first, second = drawn([("O1", 25.0, None), ("O2", 25.0, None)], coming)
    assert (first.p50, second.p50) == (0.0, 10.0)


def test_deciles_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="in order"):
        Coming("row", 1.0, 0.0, (9.0, 3.0, 10.0))
