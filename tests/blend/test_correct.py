"""After building: a measurement moves the belief, and the standing row is corrected by additions only."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.blend.correct import Row, Window, built, corrective, measured
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import mix

WINDOW = Window((0.50, 0.65), (25, 40), 0.35)


@pytest.fixture
def row(dairy: Ingredient, straw: Ingredient) -> Row:
    return built(mix([dairy, straw], [1000, 400]), moisture_sd=0.04, density_sd=60)


def test_a_row_inside_the_window_is_left_alone(row: Row, straw: Ingredient) -> None:
    plan = corrective(row, Window((0.50, 0.68), (25, 42), 0.35), straw)
    assert plan.words == ()
    assert plan.after == plan.before


def test_a_row_near_the_edge_asks_for_a_sample_and_for_nothing_else(row: Row, straw: Ingredient) -> None:
    plan = corrective(row, Window((0.50, 0.62), (25, 42)), straw)
    assert plan.after == plan.before
    assert "take a sample" in plan.words[0]


def test_moisture_measured_pulls_the_row_and_keeps_its_dry_mass(row: Row) -> None:
    now = measured(row, moisture_wet=[0.70, 0.71, 0.69])
    assert row.made_of.moisture_wet < now.made_of.moisture_wet < 0.70
    assert now.moisture_sd < row.moisture_sd
    dry = row.mass_kg * (1 - row.made_of.moisture_wet)
    assert now.mass_kg * (1 - now.made_of.moisture_wet) == pytest.approx(dry)
    assert now.made_of.density is not None
    assert now.made_of.density > (row.made_of.density or 0)


def test_density_measured_pulls_density_alone(row: Row) -> None:
    now = measured(row, density=[600, 620])
    assert (row.made_of.density or 0) < (now.made_of.density or 0) < 610
    assert now.made_of.moisture_wet == row.made_of.moisture_wet
    assert now.mass_kg == pytest.approx(row.mass_kg)
    assert now.density_sd < row.density_sd


def test_a_density_nobody_was_sure_of_can_be_measured(dairy: Ingredient, hay: Ingredient) -> None:
    loose = built(mix([dairy], [1000]), moisture_sd=0.03)
    assert 0.1 < loose.density_sd / (loose.made_of.density or 1) < 0.3
    assert (measured(loose, density=[700] * 4).made_of.density or 0) < 780
    unknown = built(mix([dairy, hay], [1000, 100]), moisture_sd=0.03)
    assert (unknown.made_of.density, unknown.density_sd) == (None, 0.0)
    assert measured(unknown, density=[500, 520]).made_of.density == pytest.approx(510, rel=0.01)


def test_nothing_measured_changes_nothing(row: Row) -> None:
    now = measured(row)
    assert now.mass_kg == row.mass_kg
    assert now.made_of.moisture_wet == row.made_of.moisture_wet
    assert now.made_of.density == pytest.approx(row.made_of.density)


def test_a_wet_row_gets_straw_until_it_is_likely_dry_enough(row: Row, straw: Ingredient) -> None:
    wet = measured(row, moisture_wet=[0.72] * 5)
    plan = corrective(wet, WINDOW, straw)
    assert plan.dry_stuff_kg > 0
    assert plan.after.moisture_wet == pytest.approx(0.65 - wet.moisture_sd)
    assert (plan.water_kg, plan.dry_off_kg) == (0, 0)
    assert plan.words[0].startswith("mix in")


def test_a_wet_row_without_straw_must_dry_off(row: Row) -> None:
    plan = corrective(measured(row, moisture_wet=[0.72] * 5), WINDOW)
    assert plan.dry_off_kg > 0
    assert "must leave" in plan.words[-1]


def test_a_dry_row_gets_water(row: Row, straw: Ingredient) -> None:
    dry = measured(row, moisture_wet=[0.42] * 6)
    plan = corrective(dry, WINDOW, straw)
    assert plan.water_kg > 0
    assert plan.after.moisture_wet == pytest.approx(0.50 + dry.moisture_sd)


def test_a_dense_row_gets_straw_for_air_and_the_air_space_asked_for(row: Row, straw: Ingredient) -> None:
    plan = corrective(
        measured(row, density=[800] * 8, moisture_wet=[0.63] * 8), Window((0.4, 0.65), (20, 60), 0.5), straw
    )
    assert plan.before.fas is not None
    assert plan.before.fas < 0.5
    assert plan.after.fas == pytest.approx(0.5, abs=0.02)


def test_straw_for_water_brings_nitrogen_with_it_when_the_cn_passes_its_top(
    row: Row, straw: Ingredient, broiler: Ingredient
) -> None:
    wet = measured(row, moisture_wet=[0.75] * 6)
    alone = corrective(wet, WINDOW, straw)
    assert alone.after.cn > 40
    assert alone.short_n_kg == pytest.approx(alone.after.c_kg / 40 - alone.after.n_kg)
    with_litter = corrective(wet, WINDOW, straw, broiler)
    assert with_litter.after.cn == pytest.approx(40)
    assert with_litter.nitrogen_kg > 0


def test_a_row_too_rich_in_nitrogen_gets_carbon(dairy: Ingredient, straw: Ingredient) -> None:
    rich = built(mix([dairy], [1000]), 0.02)
    plan = corrective(rich, Window((0.4, 0.9), (25, 40)), straw)
    assert plan.after.cn == pytest.approx(25)
    assert "takes carbon" in corrective(rich, Window((0.4, 0.9), (25, 40))).words[0]


def test_what_a_material_cannot_mend_is_said(row: Row, dairy: Ingredient, sawdust: Ingredient) -> None:
    wet = measured(row, moisture_wet=[0.75] * 9, density=[900] * 9)
    soaked = Ingredient("soaked manure", 0.85, 0.02, 0.45, 0.8, 950)
    words = " ".join(corrective(wet, WINDOW, soaked).words)
    assert "is not between" in words
    assert "gives no air space" in words
    assert "coarse material" in " ".join(corrective(wet, WINDOW).words)
    poor = built(mix([sawdust], [100]), 0.02)
    assert "not rich enough" in " ".join(corrective(poor, WINDOW, None, sawdust).words)


@given(st.floats(0.3, 0.8), st.floats(0.0, 0.06))
def test_a_plan_only_adds_and_ends_inside_the_moisture_window(moisture: float, sd: float) -> None:
    straw = Ingredient("straw", 0.12, 0.007, 0.56, 0.93, 135)
    row = Row(Ingredient("the row", moisture, 0.015, 0.45, 0.85, 500), 20000, sd, 50)
    plan = corrective(row, WINDOW, straw)
    assert min(plan.water_kg, plan.dry_stuff_kg, plan.nitrogen_kg, plan.dry_off_kg) >= 0
    assert plan.after.dry_kg >= plan.before.dry_kg * (1 - 1e-12)
    assert 0.50 - 1e-9 <= plan.after.moisture_wet <= 0.65 + 1e-9
