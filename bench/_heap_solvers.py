"""The heap's equations for SciPy's solvers: one heap, compiled, gas as states or quasi-steady."""

from typing import Any

import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.material import Floats

compiled = njit(fastmath=True, error_model="numpy")
FULL = np.array([*range(k.CO), k.CO])  # rows that are states, the gas among them
QUASI = np.array([*range(k.OG), k.CO])


@compiled
def _weather(t, edges, x):  # type: ignore[no-untyped-def]
    hour = min(int(t / 3600.0), edges.shape[0] - 2)
    part = t / 3600.0 - hour
    for i in range(k.W_DT):
        x[i] = edges[hour, i] * (1.0 - part) + edges[hour + 1, i] * part
    x[k.W_RAIN], x[k.W_HR] = edges[hour, k.W_RAIN], edges[hour, k.W_HR]


@compiled
def full(t, y, q, edges, x):  # type: ignore[no-untyped-def]
    """Slopes of the 41 states with the gas of each zone as a state of its own."""
    _weather(t, edges, x)
    for i in range(k.CO + 1):
        q[i, 0] = y[i]
    k.middle(q, x[k.W_WIND], 0)
    k.heats(q, x[k.W_RHO], x[k.W_WIND], 0)
    k.eats(q, 0)
    for z in range(4):
        gas = q[k.OG + z, 0] / q[k.MG + z, 0]
        q[k.OX + z, 0] = gas
        q[k.FO + z, 0] = max(gas, 0.0) / (q[k.KK + z, 0] + max(gas, 0.0))
    g, eta = q[k.G, 0], q[k.ETA, 0]
    slope = np.zeros(4)
    for z in range(4):
        own, back = q[k.OX + z, 0], 0.0 if z == 0 else eta
        above = 0.2314 if z == 0 else q[k.OX + z - 1, 0]
        inward = g * (q[k.PHI + z, 0] * above - back * q[k.XO + z, 0] * own)
        inward += 0.8 * q[k.FV + z, 0] * (above - own)
        slope[z] += q[k.SHAFT, 0] * q[k.AREA, 0] * mat.SHARE[z] * (0.2314 - own)
        slope[z] += inward - g * (1.0 - back) * q[k.XO + z, 0] * own - q[k.UX + z, 0] * q[k.FO + z, 0]
        if z > 0:
            slope[z - 1] -= inward
    k.slopes(q, x[0], x[1], x[3], x[4], x[5], x[6], True, 0)
    found = np.empty(k.CO + 1)
    for i in range(k.CO + 1):
        found[i] = q[k.D + i, 0]
    found[k.OG : k.OG + 4] = slope
    return found


@compiled
def quasi(t, y, q, edges, x):  # type: ignore[no-untyped-def]
    """Slopes of the 37 slow states; the gas as it would stand if these stood still."""
    _weather(t, edges, x)
    for i in range(k.OG):
        q[i, 0] = y[i]
    q[k.CO, 0] = y[k.OG]
    k.middle(q, x[k.W_WIND], 0)
    k.heats(q, x[k.W_RHO], x[k.W_WIND], 0)
    k.eats(q, 0)
    k.oxygen(q, 3, 0.0, 0)
    k.slopes(q, x[0], x[1], x[3], x[4], x[5], x[6], True, 0)
    found = np.empty(k.OG + 1)
    for i in range(k.OG):
        found[i] = q[k.D + i, 0]
    found[k.OG] = q[k.D + k.CO, 0]
    return found


def solve(equations: Any, rows: Floats, column: Floats, edges: Floats, rtol: float) -> Floats:
    """Zone temperatures (hours, 4) of one heap by LSODA, hourly, from column (GIVEN,); steps at most 1 h."""
    q = np.zeros((k.ROWS, 1))
    q[: k.GIVEN, 0] = column
    q[k.OX : k.OX + 4] = 0.2
    start = column[rows]
    at = np.arange(len(edges)) * 3600.0
    found = solve_ivp(
        equations,
        (0.0, at[-1]),
        start,
        method="LSODA",
        t_eval=at,
        rtol=rtol,
        atol=rtol * 1e-2 * np.maximum(np.abs(start), 1e-2),
        max_step=3600.0,
        args=(q, edges, np.zeros(k.WEATHER)),
    )
    if not found.success:
        raise ValueError(f"LSODA stopped: {found.message}")
    cells = np.repeat(column[:, None], len(at), axis=1)
    cells[rows] = found.y
    return mat.temperature(cells)[:, 1:].T
