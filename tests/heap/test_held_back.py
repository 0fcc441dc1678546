"""What holds a heap back, against the equations coded a second time and against cases known in kind."""

import numpy as np
import pytest

from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap import reference
from turnrow.heap.held_back import factors, held_back
from turnrow.heap.material import Heap, column
from turnrow.heap.run import simulate
from turnrow.heap.weather import steady, steps

SPRING = steady(12 * 24, air_c=14.0, swing_c=7.0, sun=500.0, rain_mm_day=1.7)


def test_the_factors_multiply_to_the_rate_of_the_reference() -> None:
    c = simulate(Heap(cn=60.0), SPRING).cells[:, [1, 100, 288]]
    air = reference.paths(c, steps(SPRING, 0.0, 1.0)[0])
    wants = reference.wants(c, air)
    each = factors(c)
    without_air = np.prod([value for name, value in each.items() if name != "air"], axis=0)
    assert without_air == pytest.approx(wants["ready"] / (c[k.K1] * mat.zones(c, k.S1)), rel=1e-9)
    share = mat.zones(c, k.OG) / mat.gas_mass(c)
    assert each["air"] == pytest.approx(share / (share + wants["half"]), rel=2e-3)


def test_a_dry_heap_wants_water_a_drowned_one_air_and_a_cold_one_warmth() -> None:
    assert held_back(column(Heap(moisture=0.25))[:, None]).parts["water"].p50 < 0.2
    drowned = held_back(simulate(Heap(moisture=0.76), SPRING).cells[:, -1:])
    assert min(drowned.parts["air"].p50, drowned.parts["pores"].p50) < 0.6
    cold = held_back(column(Heap(temp_c=4.0, own={"active0": 1.0}))[:, None])
    assert cold.least == "warmth"


def test_shares_lie_between_nothing_and_all_and_a_fresh_heap_has_all_its_food() -> None:
    fresh = held_back(column(Heap())[:, None])
    assert fresh.parts["food"].p50 == pytest.approx(1.0)
    old = held_back(simulate(Heap(), SPRING).cells[:, -1:])
    assert 0.0 < old.parts["food"].p50 < 1.0
    assert all(0.0 <= b.p5 <= b.p95 <= 1.0 for one in (fresh, old) for b in one.parts.values())
    assert fresh.moisture.p50 == pytest.approx(0.62)
