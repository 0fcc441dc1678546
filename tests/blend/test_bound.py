"""A run in whole numbers that ends before its proof gives a bound, and never its best plan's cost as one."""

import itertools

import numpy as np

from turnrow.blend.budget import Budget
from turnrow.blend.highs import INFINITY, Program

COST = np.array([7.0, 5.0, 9.0, 4.0, 6.0, 8.0])
WEIGHT = np.array([[13.0, 7.0, 17.0, 5.0, 11.0, 15.0], [3.0, 8.0, 5.0, 6.0, 2.0, 7.0]])
LEAST = np.array([101.0, 59.0])
MOST = 6


def cheapest() -> float:
    """Counted out: the least cost of whole numbers 0..6 that reach both weights."""
    plans = np.array(list(itertools.product(range(MOST + 1), repeat=len(COST))))
    good = (plans @ WEIGHT.T >= LEAST).all(axis=1)
    return float((plans[good] @ COST).min())


def program(nodes: int) -> Program:
    n = len(COST)
    wide = np.full(2, INFINITY)
    return Program(
        COST,
        np.zeros(n),
        np.full(n, float(MOST)),
        WEIGHT,
        LEAST,
        wide,
        [True] * n,
        budget=Budget(nodes=nodes),
    )


def test_a_run_to_the_end_is_bounded_by_its_own_cost() -> None:
    solved = program(20_000).solve()
    assert solved.status == "optimal"
    assert abs(solved.cost - cheapest()) < 1e-9 and solved.bound == solved.cost


def test_a_run_cut_short_never_bounds_above_the_cheapest_plan() -> None:
    for nodes in (0, 1, 2):
        solved = program(nodes).solve()
        assert solved.bound <= cheapest() + 1e-9
