"""What a heap does in cases whose answer is known in kind: heats, starves, freezes, dries."""

import numpy as np
import pytest

from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap import report
from turnrow.heap.material import Heap, column
from turnrow.heap.run import Course, Happening, simulate
from turnrow.heap.weather import steady, steps

SPRING = steady(30 * 24, air_c=14.0, swing_c=7.0, sun=500.0, rain_mm_day=1.7)


def at(course: Course, depth_m: float = 0.6):  # type: ignore[no-untyped-def]
    return report.at_depth(course.cells, depth_m, course.air_c)


def test_a_fresh_row_passes_55_within_days() -> None:
    assert np.argmax(at(simulate(Heap(), SPRING)) > 55.0) / 24.0 == pytest.approx(3.0, abs=2.0)


def test_a_row_built_too_wet_starves_of_air() -> None:
    course = simulate(Heap(moisture=0.74), SPRING)
    assert at(course, 0.9).max() < 50.0
    assert report.oxygen_pct(course.cells)[3, -1] < 1.0


def test_a_row_built_too_dry_stays_behind() -> None:
    dry, moist = simulate(Heap(moisture=0.3), SPRING), simulate(Heap(), SPRING)
    assert dry.cells[k.LO, -1] < 0.5 * moist.cells[k.LO, -1]


def test_food_for_microbes_runs_out_of_nitrogen_when_there_is_too_little() -> None:
    poor, rich = simulate(Heap(cn=90.0), SPRING), simulate(Heap(cn=27.0), SPRING)
    assert poor.cells[k.LO, 10 * 24] < rich.cells[k.LO, 10 * 24]


def test_a_turn_helps_oxygen_and_a_late_row_heats_again() -> None:
    weather = steady(60 * 24, air_c=14.0, swing_c=7.0, sun=500.0)
    done = [
        Happening(24.0 * day, "turn", kg)
        for day, kg in ((4, 0), (9, 0), (16, 70), (23, 80), (31, 80), (42, 60))
    ]
    warm = at(simulate(Heap(), weather, done), 0.9)
    before, after = warm[42 * 24], warm[42 * 24 + 1]
    assert after < before - 10.0
    assert warm[42 * 24 + 1 : 45 * 24].max() > before - 2.0


def test_hot_rows_are_not_clipped_at_one_temperature() -> None:
    """The plateau moves with food and air, not with the hot limit of the rate alone."""
    tops = [
        at(simulate(Heap(own={"k1": k1, "pore_size": size}), SPRING), 0.9).max()
        for k1, size in ((0.12, 3.0), (0.25, 2.0), (0.45, 1.5))
    ]
    assert tops[0] < tops[1] < tops[2]
    assert tops[2] - tops[0] > 4.0


def test_a_cold_start_ignites_in_frost() -> None:
    winter = steady(40 * 24, air_c=-5.0, swing_c=3.0, sun=200.0)
    assert at(simulate(Heap(temp_c=9.0), winter)).max() > 55.0


def test_a_frozen_heap_stands_at_0_while_it_thaws() -> None:
    course = simulate(Heap(base_m=2.0, height_m=0.8, temp_c=-6.0), steady(90 * 24, air_c=8.0, sun=300.0))
    ice, t = report.ice(course.cells)[3], mat.temperature(course.cells)[3]
    thawing = (ice > 0.02) & (ice < 0.98)
    assert thawing.sum() > 24
    assert t[thawing] == pytest.approx(0.0, abs=1e-9)
    assert t[-1] > 2.0


def test_freezing_takes_the_heat_of_water_over_ice() -> None:
    """0.334 MJ/kg, known from any table (MEMORY): from just above 0 °C to just below it."""
    warm, cold = column(Heap(temp_c=0.0)), column(Heap(temp_c=-1e-9))
    water = warm[k.W : k.W + 4].sum()
    released = (warm[k.E : k.E + 4] - cold[k.E : k.E + 4]).sum()
    assert released / water == pytest.approx(334e3, rel=1e-3)


def test_a_covered_row_sheds_the_rain() -> None:
    storm = steady(10 * 24, air_c=12.0, rain_mm_day=40.0)
    bare, kept = simulate(Heap(), storm), simulate(Heap(), storm, [Happening(0.0, "cover")])
    assert bare.cells[k.RA, -1] > 100.0
    assert kept.cells[k.RA, -1] == 0.0


def test_shafts_and_blown_air_bring_more_air() -> None:
    still, shafts, blown = (
        simulate(heap, steady(96, air_c=12.0)).cells[k.OI, -1]
        for heap in (
            Heap(moisture=0.7),
            Heap(moisture=0.7, own={"shafts": 0.15}),
            Heap(moisture=0.7, blown_kg_s=0.01),
        )
    )
    assert shafts > still
    assert blown > still


def test_air_of_shafts_feeds_the_core_of_a_dense_heap() -> None:
    still, shafts = (
        report.oxygen_pct(simulate(Heap(own={"pore_size": 1.0, **own}), steady(240, air_c=12.0)).cells)[3, -1]
        for own in ({}, {"shafts": 0.15})
    )
    assert still < 1.0
    assert shafts > 2.0


def test_the_core_of_a_late_row_has_less_oxygen_than_its_skin_and_less_than_15_percent() -> None:
    """Common practice, no source: probes in late rows read between 5 and 15 % in the core."""
    weather = steady(60 * 24, air_c=14.0, swing_c=7.0, sun=500.0)
    done = [Happening(24.0 * day, "turn", kg) for day, kg in ((4, 0), (9, 0), (16, 70), (23, 80), (31, 80))]
    oxygen = report.oxygen_pct(simulate(Heap(), weather, done).cells)[:, 40 * 24 :]
    late = np.median(oxygen, axis=1)
    assert late[3] < late[0] - 2.0
    assert 2.0 < late[3] < 15.0


@pytest.mark.parametrize("size", [1.0, 2.0])
def test_a_heap_of_leaves_and_chips_left_unturned_gets_hot(size: float) -> None:
    """Common practice, no source: C:N 60, unscreened, so that the finest tenth rules the pores."""
    own = {"pore_size": size, "dry_density": 150.0, "settle": 0.05}
    course = simulate(Heap(base_m=3.0, height_m=1.8, cn=60.0, moisture=0.6, own=own), SPRING)
    assert at(course, 0.9).max() > 65.0


@pytest.mark.parametrize("factor", [0.75, 1.0, 1.5])
def test_pores_half_again_as_wide_or_narrow_still_give_a_row_that_is_hot_for_a_month(factor: float) -> None:
    turns = [Happening(24.0 * day, "turn") for day in (4, 9, 16, 23, 31, 42)]
    weather = steady(60 * 24, air_c=14.0, swing_c=7.0, sun=500.0, rain_mm_day=1.7)
    course = simulate(Heap(own={"pore_size": 2.0 * factor}), weather, turns)
    assert np.sum(at(course, 0.9) > 55.0) / 24.0 > 28.0


def test_nitrate_comes_late_when_the_row_has_cooled() -> None:
    course = simulate(
        Heap(), steady(70 * 24, air_c=14.0), [Happening(24.0 * d, "turn") for d in (4, 9, 16, 23, 31)]
    )
    nitrate = course.cells[k.NN : k.NN + 4].sum(axis=0)
    assert nitrate[10 * 24] < 0.35 * nitrate[-1]


def test_a_probe_below_the_core_reads_the_core_and_at_the_skin_is_near_air() -> None:
    course = simulate(Heap(), SPRING)
    core = mat.temperature(course.cells)[3]
    assert at(course, 5.0) == pytest.approx(core)
    skin = at(course, 0.0)
    shell = mat.temperature(course.cells)[0]
    assert np.all(
        (skin >= np.minimum(shell, course.air_c) - 1e-9) & (skin <= np.maximum(shell, course.air_c) + 1e-9)
    )


def test_an_event_between_hours_is_met_exactly() -> None:
    table = steps(SPRING, 3.25, 6.0)
    assert table[:, k.W_DT] == pytest.approx([2700.0, 3600.0, 3600.0])
    assert table[:, k.W_DT].sum() == pytest.approx(2.75 * 3600.0)


def test_unknown_parameters_are_a_broken_promise() -> None:
    with pytest.raises(ValueError, match="k9"):
        column(Heap(own={"k9": 1.0}))
