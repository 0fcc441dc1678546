"""The true row's laws and its draught, each held against something outside the project."""

import ast
from pathlib import Path

import numpy as np
import psychrolib
import pytest

from turnrow.demo import truth
from turnrow.demo.truth import laws
from turnrow.demo.truth.grid import CELLS, INSIDE, NX, NY, Draught, gathered


@pytest.mark.parametrize("temp_c", [0.0, 20.0, 40.0, 60.0, 75.0])
def test_saturated_air_holds_what_psychrometrics_say__psychrolib(temp_c: float) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    one = np.array([temp_c])
    assert laws.saturated_pa(one)[0] == pytest.approx(psychrolib.GetSatVapPres(temp_c), rel=0.01)
    assert laws.vapour(one, 1.0)[0] == pytest.approx(psychrolib.GetSatHumRatio(temp_c, 101325), rel=0.015)


def test_warm_wet_air_is_as_light_as_psychrometrics_say__psychrolib() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    for temp_c in (15.0, 60.0):
        ratio = psychrolib.GetSatHumRatio(temp_c, 101325)
        dense = psychrolib.GetMoistAirDensity(temp_c, ratio, 101325)
        one = np.array([temp_c])
        assert laws.lightness(one, laws.saturated_pa(one))[0] == pytest.approx(dense, rel=0.005)


def test_the_warmth_law_is_haug_s_at_sixty() -> None:
    """1.066^(T-20) - 1.21^(T-60): peak at 71.6 °C, zero at 80.2 °C (worked from the form, MEMORY)."""
    temp = np.arange(20.0, 90.0, 0.1)
    rate = laws.by_warmth(temp, np.array(60.0))
    assert temp[rate.argmax()] == pytest.approx(71.6, abs=0.2)
    assert temp[rate > 0].max() == pytest.approx(80.2, abs=0.2)
    assert rate[0] == pytest.approx(1.0, abs=1e-3)


def test_oxygen_in_water_spreads_as_read__compost_css_cornell_edu() -> None:
    """1.97, 3.24, 3.99, 4.82 e-5 cm2/s at 20, 40, 50, 60 °C."""
    found = laws.spread_in_water(np.array([20.0, 40.0, 50.0, 60.0]))
    assert found * 1e9 == pytest.approx([1.97, 3.24, 3.99, 4.82], rel=0.06)


def test_water_holds_the_oxygen_of_a_solubility_table() -> None:
    """9.09, 7.56, 6.41 mg/L under wet air at 20, 30, 40 °C (fresh water tables, MEMORY)."""
    temp = np.array([20.0, 30.0, 40.0])
    wet_air = laws.OXYGEN * (1 - laws.saturated_pa(temp) / laws.PRESSURE)
    assert laws.dissolved(wet_air, temp) * 1000 == pytest.approx([9.09, 7.56, 6.41], rel=0.06)


def test_a_film_is_reached_as_deep_as_the_worked_formula_says() -> None:
    """Zero-order use in a slab: depth √(2 D c / r), a textbook result; here 0.4 mm of a metre."""
    squared = 0.15 * laws.reach(np.array([1.7e-4]), np.array([1.0]), np.array([55.0]))
    by_hand = (2 * 4.45e-9 * 0.15 * 101325 * 0.032 / 8.314 / 328.15 * 0.0209 / 1.7e-4) ** 0.5
    assert squared[0] ** 0.5 == pytest.approx(by_hand, rel=0.02)
    assert laws.reached(squared)[0] == pytest.approx(by_hand, rel=0.02)
    assert laws.reached(np.array([1e6]))[0] == pytest.approx(1.0, abs=1e-6)


def test_the_draught_neither_makes_nor_loses_air() -> None:
    chance = np.random.default_rng(3)
    lift = np.where(INSIDE[:, :, None], chance.random((NY + 1, NX + 1, 2)), 0.0)
    across, up = Draught.of(np.array([1.1, 1.4])).flows(lift)
    left = gathered(across, up)[INSIDE]
    assert len(left) == CELLS
    assert np.abs(left).max() < 1e-10 * np.abs(up).max()


def test_an_even_lift_rises_through_the_crown_and_is_drawn_in_at_the_flank() -> None:
    lift = np.where(INSIDE[:, :, None], 1.0, 0.0)
    across, up = Draught.of(np.array([1.2])).flows(lift)
    crown, foot = int(INSIDE[:, 0].sum()) - 1, int(INSIDE[0].sum()) - 1
    assert up[crown, 0, 0] > 0
    assert across[0, foot, 0] < 0


def test_it_shares_no_code_with_the_heap() -> None:
    """What a yard knows may be handed on in the heap's own words (`heap.known`: plain records, no law)."""
    for path in Path(truth.__file__).parent.glob("*.py"):
        found = [node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.ImportFrom)]
        named = {node.module for node in found if node.module and node.module.startswith("turnrow.heap")}
        assert named <= {"turnrow.heap.known"}
        assert named == set() or path.stem not in ("grid", "laws", "march", "probe", "sky", "stuff")
