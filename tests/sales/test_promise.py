"""When an order can be kept: against closed forms of the normal distribution."""

import math
from statistics import NormalDist

import numpy as np
import pytest

from turnrow.sales.coming import row_coming
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


YARD = {"active_days": 60.0, "curing_days": 30.0, "left": 0.4, "spread": 0.25, "off": 0.15}


def test_a_fresh_row_comes_to_its_share_and_is_ripe_after_both_its_times() -> None:
    """100 t of which 40 % is left; 90 days, the deciles a quarter of that to each side."""
    found = row_coming("row R7", 100.0, 0.0, **YARD)
    assert found.amount == pytest.approx(40.0)
    assert found.ready_day == (pytest.approx(67.5), 90.0, pytest.approx(112.5))


def test_a_row_half_way_has_shed_half_of_what_it_will() -> None:
    """After 45 of 90 days 70 of 100 t are there, and 40 will be."""
    assert row_coming("row R7", 70.0, 45.0, **YARD).amount == pytest.approx(40.0)


def test_a_curing_row_waits_for_its_curing_alone_and_an_outlook_tells_when_it_can_start() -> None:
    curing = row_coming("row R7", 50.0, 80.0, curing_since=20.0, **YARD)
    assert curing.ready_day is not None and curing.ready_day[1] == 10.0
    told = row_coming("row R7", 50.0, 30.0, curing_in=(4.0, 6.0, 9.0), **YARD)
    assert told.ready_day is not None and told.ready_day[1] == 36.0


def test_a_row_past_its_time_is_ripe_now() -> None:
    found = row_coming("row R7", 40.0, 200.0, curing_since=50.0, **YARD)
    assert found.ready_day == (0.0, 0.0, 0.0) and found.amount == pytest.approx(40.0)
