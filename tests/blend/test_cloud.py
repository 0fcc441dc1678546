"""Likely outcomes drawn load by load, against the theory of errors and the solver's own chances.

Theory: a lot's error stays whole, n loads' own errors shrink as 1/sqrt(n) (any textbook on errors; MEMORY).
"""

from dataclasses import replace

import numpy as np
import pytest

from turnrow.blend.cloud import cloud, moves
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.problem import Offer, Problem, Targets
from turnrow.blend.recipe import Recipe
from turnrow.blend.solve import solve

MANURE = Ingredient("manure", 0.80, 0.024, 0.456, 0.83, 860.0)
STRAW = Ingredient("straw", 0.12, 0.007, 0.52, 0.93, 135.0)
DRAWS = 20_000


def problem(lot: Spread, load: Spread, loads: int = 16) -> Problem:
    offer = Offer(MANURE, load_m3=2.0, loads=(loads, loads), lot=lot, load=load)
    return Problem((offer,), Targets(), total_kg=1000.0)


def recipe(asked: Problem) -> Recipe:
    kg = {o.what.name: o.loads[0] * o.unit_kg for o in asked.offers}
    return Recipe("optimal", {}, kg, 0.0, None, 0.0, None)


@pytest.mark.parametrize(("loads", "shrunk"), [(1, 1.0), (4, 0.5), (16, 0.25)])
def test_loads_average_their_own_errors_out(loads: int, shrunk: float) -> None:
    asked = problem(Spread(), Spread(moisture_wet=0.02), loads)
    found = cloud(asked, recipe(asked), 1, DRAWS)[:, 0]
    assert found.std() == pytest.approx(0.02 * shrunk, rel=0.03)
    assert found.mean() == pytest.approx(0.80, abs=4 * 0.02 / DRAWS**0.5)


@pytest.mark.parametrize("loads", [1, 16])
def test_a_lots_error_is_shared_by_all_its_loads(loads: int) -> None:
    asked = problem(Spread(moisture_wet=0.02), Spread(), loads)
    assert cloud(asked, recipe(asked), 1, DRAWS)[:, 0].std() == pytest.approx(0.02, rel=0.03)


def test_carbon_and_nitrogen_that_go_together_leave_their_ratio_alone() -> None:
    """With correlation 1 and equal relative errors, C:N does not move."""
    lot = Spread(n_dry=0.1 * MANURE.n_dry, c_dry=0.1 * MANURE.c_dry, corr_c_n=1.0)
    asked = problem(lot, Spread())
    found = cloud(asked, recipe(asked), 1, DRAWS)[:, 1]
    assert found == pytest.approx(np.full(DRAWS, 19.0))


def test_the_share_inside_is_the_solvers_joint_chance() -> None:
    lot = Spread(moisture_wet=0.03, n_dry=0.003, c_dry=0.02, density=40.0)
    offers = (
        Offer(MANURE, load_m3=2.5, lot=lot, load=Spread(fill=0.1, moisture_wet=0.02)),
        Offer(STRAW, 60, load_m3=2.5, lot=replace(lot, n_dry=0.001, density=15.0), load=Spread(fill=0.1)),
    )
    window = Targets(cn=(20, 45), moisture_wet=(0.50, 0.65))
    asked = Problem(offers, window, total_kg=30_000.0)
    found = solve(asked, 0)
    assert found.chances is not None and found.chances.joint is not None
    points = cloud(asked, found, 3, DRAWS)
    inside = ((points >= (0.50, 20)) & (points <= (0.65, 45))).all(axis=1).mean()
    assert 0.2 < inside < 0.9
    assert inside == pytest.approx(
        found.chances.joint, abs=4 * (0.25 / DRAWS) ** 0.5 + 4 * found.chances.error
    )


def test_the_same_seed_draws_the_same_points() -> None:
    asked = problem(Spread(moisture_wet=0.02, n_dry=0.002), Spread(fill=0.1))
    assert (cloud(asked, recipe(asked), 5, 50) == cloud(asked, recipe(asked), 5, 50)).all()
    assert (cloud(asked, recipe(asked), 5, 50) != cloud(asked, recipe(asked), 6, 50)).any()


def test_a_load_more_moves_the_mix_as_the_masses_say() -> None:
    """10 t at 80 % with 2.7 t of straw at 12 % is (8 + 0.324)/12.7 water; one 2 m3 load is 0.27 t."""
    offers = (Offer(MANURE), Offer(STRAW, load_m3=2.0))
    asked = Problem(offers, Targets(), total_kg=1.0)
    stood = Recipe("optimal", {}, {"manure": 10_000.0, "straw": 2_430.0}, 0.0, None, 0.0, None)
    found = {one.name: one for one in moves(asked, stood)}
    assert found["straw"].loads and not found["manure"].loads
    assert found["straw"].moisture_wet == pytest.approx(8.324 / 12.7)
    carbon = 2_000 * 0.456 + 2_700 * 0.88 * 0.52
    assert found["straw"].cn == pytest.approx(carbon / (2_000 * 0.024 + 2_700 * 0.88 * 0.007))
