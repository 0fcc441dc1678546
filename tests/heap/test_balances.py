"""What goes in, comes out and stays adds up, whatever is done to a heap."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.heap import balances, events
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.material import Heap, column, parameters
from turnrow.heap.run import KINDS, Happening, simulate
from turnrow.heap.weather import steady

HEAPS = st.builds(
    Heap,
    base_m=st.floats(1.5, 6.0),
    height_m=st.floats(0.7, 1.5),
    moisture=st.floats(0.3, 0.75),
    cn=st.floats(12.0, 80.0),
    organic=st.floats(0.4, 0.95),
    temp_c=st.floats(-8.0, 60.0),
    blown_kg_s=st.sampled_from([0.0, 0.005]),
    covered=st.booleans(),
    own=st.fixed_dictionaries({"shafts": st.sampled_from([0.0, 0.2]), "pore_size": st.floats(1.0, 8.0)}),
)
DONE = st.lists(
    st.builds(
        Happening,
        other=HEAPS,
        age_h=st.integers(0, 48),
        at_h=st.floats(0.0, 119.0),
        kind=st.sampled_from(KINDS),
        kg=st.floats(0.0, 200.0),
        water_c=st.floats(0.0, 30.0),
        share=st.floats(0.2, 0.9),
        inert=st.floats(0.2, 0.9),
    ).map(lambda one: replace(one, age_h=min(one.age_h, int(one.at_h)))),
    max_size=6,
)


@settings(max_examples=40, deadline=None)
@given(heap=HEAPS, done=DONE, air_c=st.floats(-15.0, 30.0), rain=st.floats(0.0, 60.0))
def test_dry_matter_water_nitrogen_oxygen_and_energy_close(
    heap: Heap, done: list[Happening], air_c: float, rain: float
) -> None:
    weather = steady(120, air_c=air_c, swing_c=6.0, sun=400.0, rain_mm_day=rain)
    course = simulate(heap, weather, done)
    assert np.isfinite(course.cells).all()
    assert course.closure.worst() < 1e-9


@settings(max_examples=30, deadline=None)
@given(a=HEAPS, b=HEAPS, lengths=st.tuples(*[st.floats(5.0, 60.0)] * 3), share=st.floats(0.1, 0.9))
def test_merged_split_and_screened_heaps_hold_what_went_into_them(
    a: Heap, b: Heap, lengths: tuple[float, float, float], share: float
) -> None:
    one, two = column(a)[:, None], column(b)[:, None]
    merged = events.merge(one, two, *lengths)
    taken, stays = events.split(merged, share)
    fines, overs = events.screen(stays, 0.9, share)
    whole = events.stores(merged)
    for kind in balances.KINDS:
        held = [getattr(events.stores(c), kind)[0] for c in (one, two, taken, stays, fines, overs)]
        went_in = (held[0] * lengths[0] + held[1] * lengths[1]) / lengths[2]
        assert getattr(whole, kind)[0] == pytest.approx(went_in, rel=1e-12, abs=1e-9)
        assert held[2] + held[3] == pytest.approx(went_in, rel=1e-12, abs=1e-9)
        assert held[4] + held[5] == pytest.approx(held[3], rel=1e-12, abs=1e-9)


def test_a_wrong_account_is_noticed() -> None:
    before = column(Heap())[:, None]
    after = before.copy()
    after[k.W] -= 1.0
    assert abs(balances.of_leg(before, after).closure().water[0]) > 1e-4


def test_turning_gives_off_heat_and_steam_and_fills_the_pores_with_air() -> None:
    hot = column(Heap(temp_c=65.0))[:, None]
    hot[k.OG : k.OG + 4] *= 0.1
    turned, crossing = events.turn(hot, 10.0, parameters({}))
    assert crossing.energy[0] < 0.0
    assert crossing.water[0] < 0.0
    assert crossing.oxygen[0] > 0.0
    assert crossing.dry[0] == 0.0
    assert np.all(mat.temperature(turned) < 65.0)


def test_turning_levels_the_zones() -> None:
    heap = column(Heap())[:, None]
    heap[k.E + 3] *= 3.0
    turned, _ = events.turn(heap, 19.0, parameters({}))
    spread = np.ptp(mat.temperature(heap)), np.ptp(mat.temperature(turned))
    assert spread[1] < 0.25 * spread[0]


@pytest.mark.parametrize("share", [0.0, 1.0, -0.5])
def test_a_share_that_leaves_nothing_is_a_broken_promise(share: float) -> None:
    with pytest.raises(ValueError, match="want between 0 and 1"):
        events.split(column(Heap())[:, None], share)


def test_water_cannot_be_taken_by_watering() -> None:
    with pytest.raises(ValueError, match="want neither below 0"):
        events.water(column(Heap())[:, None], -1.0, 10.0)


def test_a_row_laid_to_another_brings_what_it_holds_and_has_stood_in_the_same_weather() -> None:
    weather = steady(72, air_c=12.0)
    other = Heap(length_m=10.0, cn=40.0)
    merge = Happening(48.5, "merge", other=other, age_h=48)
    course = simulate(Heap(length_m=20.0), weather, [merge])
    held = events.stores(simulate(other, weather).cells[:, 48:49])
    for kind in balances.KINDS:
        assert course.crossed[kind] == pytest.approx(0.5 * getattr(held, kind)[0], rel=1e-9)
    assert course.closure.worst() < 1e-9


@pytest.mark.parametrize("wrong", [{}, {"other": Heap(), "age_h": 30}])
def test_a_merge_with_nothing_or_with_what_is_older_than_the_weather_is_a_broken_promise(
    wrong: dict[str, Any],
) -> None:
    with pytest.raises(ValueError, match="no older"):
        simulate(Heap(), steady(48), [Happening(24.0, "merge", **wrong)])


def test_a_happening_after_the_end_is_a_broken_promise() -> None:
    with pytest.raises(ValueError, match="at hour 30"):
        simulate(Heap(), steady(24), [Happening(30.0, "turn")])
