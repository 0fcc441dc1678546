"""The compiled march: the same equations as the plain ones, the same numbers however it is run."""

import json
import os
import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from turnrow.heap import air, ensemble, reference
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.material import Floats, Heap, column
from turnrow.heap.weather import steady, steps

WEATHER = steady(240, air_c=14.0, swing_c=7.0, sun=500.0, rain_mm_day=2.0)


def heaps(n: int, seed: int = 3) -> Floats:
    r = np.random.default_rng(seed)
    some = [
        Heap(base_m=r.uniform(3, 5), height_m=r.uniform(1.2, 2), moisture=r.uniform(0.5, 0.66), temp_c=25.0)
        for _ in range(n)
    ]
    return np.stack([column(one) for one in some], axis=1)


def slopes(c: Floats, wx: Floats) -> Floats:
    """What the kernel makes of a state, with the gas as it stands."""
    q = ensemble.blocks(c)[0]
    for m in range(k.B):
        k.middle(q, wx[k.W_WIND], m)
        k.heats(q, wx[k.W_RHO], wx[k.W_WIND], m)
        k.eats(q, m)
        for z in range(4):
            gas = q[k.OG + z, m] / q[k.MG + z, m]
            q[k.OX + z, m], q[k.FO + z, m] = gas, gas / (q[k.KK + z, m] + gas)
        k.slopes(q, wx[k.W_T], wx[k.W_SUN], wx[k.W_RAIN], wx[k.W_HR], wx[k.W_W], wx[k.W_H], True, m)
    return q[k.D : k.D + k.STATES]


@pytest.mark.parametrize("hour", [1, 60, 100, 200])
def test_slopes_are_those_of_the_plain_equations(hour: int) -> None:
    table = steps(WEATHER, 0.0, 240.0)
    made = ensemble.blocks(heaps(k.B))
    ensemble.carry(made, table[:hour], fresh=True)
    c = ensemble.columns(made, k.B)
    found, plain = slopes(c, table[hour]), reference.rates(c, table[hour])
    implicit = {*range(k.OG, k.OG + 4), k.OI, k.OU}  # the gas is solved for, not marched
    rows = [row for row in range(k.STATES) if row not in implicit]
    size = np.abs(plain).max(axis=1, keepdims=True) + 1e-30
    size[: k.CO] = np.repeat(size[: k.CO].reshape(-1, 4).max(axis=1), 4)[:, None]  # of the four zones
    assert np.max((np.abs(found - plain) / size)[rows]) < 1e-3


def test_quick_functions_agree_with_the_exact_ones() -> None:
    for t in np.linspace(-39.0, 98.0, 300):
        assert k.psat(t) == pytest.approx(float(air.saturation_pa(t)), rel=1e-6)
    for x in np.linspace(-9.0, 9.0, 181):
        assert k.expc(x) == pytest.approx(np.exp(x), rel=1e-4)


def test_temperatures_follow_a_solver_that_takes_oxygen_as_it_is() -> None:
    """Four days from a warm start, through ignition, against LSODA on the plain equations."""
    hours = 96
    c = heaps(1)
    rows = np.arange(k.CO + 1)
    weather = steady(hours, air_c=14.0)
    wx = steps(weather, 0.0, 1.0)[0]

    def equations(_: float, y: Floats) -> Floats:
        now = c.copy()
        now[rows, 0] = y
        return reference.rates(now, wx)[rows, 0]

    start = c[rows, 0]
    at = np.arange(1.0, hours + 1) * 3600.0
    atol = 1e-8 * np.maximum(np.abs(start), 1e-2)
    solved = solve_ivp(
        equations, (0.0, at[-1]), start, "LSODA", t_eval=at, rtol=1e-6, atol=atol, max_step=3600.0
    )
    cells = np.repeat(c, hours, axis=1)
    cells[rows] = solved.y
    made = ensemble.blocks(c)
    mine = ensemble.carry(made, steps(weather, 0.0, float(hours)), fresh=True)[:, :, 0]
    error = np.abs(mine - mat.temperature(cells).T)
    assert mat.temperature(cells).max() > 65.0
    assert error.max() < 0.6
    assert np.sqrt((error**2).mean()) < 0.06


def test_halving_the_step_cuts_the_error_by_more_than_two() -> None:
    c = heaps(k.B)
    runs = {}
    for per in (1, 2, 16):
        made = ensemble.blocks(c)
        runs[per] = ensemble.carry(made, steps(WEATHER, 0.0, 240.0, per), fresh=True, every=per)
    coarse, fine = (np.sqrt(((runs[per] - runs[16]) ** 2).mean()) for per in (1, 2))
    assert fine < 0.45 * coarse


def test_numbers_are_the_same_on_one_thread_and_on_many_and_beside_any_neighbour() -> None:
    c, table = heaps(5 * k.B - 3), steps(WEATHER, 0.0, 48.0)
    alone = ensemble.carry(ensemble.blocks(c), table, fresh=True)
    with ThreadPoolExecutor(4) as pool:
        many = ensemble.carry(ensemble.blocks(c), table, fresh=True, each=pool.map)
    assert np.array_equal(alone, many)
    one = ensemble.carry(ensemble.blocks(c[:, 7:8]), table, fresh=True)
    assert np.array_equal(alone[:, :, 7], one[:, :, 0])


def test_a_march_in_pieces_is_the_march_in_one() -> None:
    table = steps(WEATHER, 0.0, 48.0)
    whole, pieces = ensemble.blocks(heaps(k.B)), ensemble.blocks(heaps(k.B))
    ensemble.carry(whole, table, fresh=True)
    for n in range(0, 48, 6):
        ensemble.carry(pieces, table[n : n + 6], fresh=n == 0)
    assert np.array_equal(ensemble.columns(whole, k.B), ensemble.columns(pieces, k.B))


UNCOMPILED = """
import json
from tests.heap.test_kernel import march_a_day
print(json.dumps(march_a_day().tolist()))
"""


def march_a_day() -> Floats:
    made = ensemble.blocks(heaps(2))
    return ensemble.carry(made, steps(WEATHER, 0.0, 24.0), fresh=True)[-1, :, :2]


def test_the_same_lines_run_uncompiled() -> None:
    plain = {**os.environ, "NUMBA_DISABLE_JIT": "1", "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", UNCOMPILED], env=plain, capture_output=True, text=True, check=True
    )
    assert np.array(json.loads(done.stdout)) == pytest.approx(march_a_day(), rel=1e-9)


SHOWN = """
from turnrow.heap import ensemble, kernel
from tests.heap.test_kernel import march_a_day
march_a_day()
print(*kernel.march.inspect_asm().values())
"""
ARITHMETIC = re.compile(r"\bv?(?:add|sub|mul|div|min|max|sqrt|fn?m(?:add|sub)\w*?)\d*(pd|sd)\b")


def test_the_march_is_made_of_vector_instructions(tmp_path) -> None:
    """Each loop has a vector body and one scalar remainder: as many of the one as of the other.

    Were loops no longer turned into vectors, scalar ones alone would be left.
    """
    own = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path), "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run([sys.executable, "-c", SHOWN], env=own, capture_output=True, text=True, check=True)
    found = ARITHMETIC.findall(done.stdout)
    vector, scalar = found.count("pd"), found.count("sd")
    assert vector > 1500
    assert vector > 0.7 * scalar
