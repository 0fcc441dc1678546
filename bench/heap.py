"""Many heaps for 60 days at one hour: how near to SciPy's LSODA with full oxygen, and how much faster.

Baselines, in the same run and of the same equations: LSODA with a compiled right-hand side and quasi-steady
oxygen, one heap at a time (the headline, at rtol 1e-6 as the reference; at 1e-4 it is quicker and as near,
for quasi-steady oxygen sets its error: both are shown); NumPy vectorised over all heaps
(`turnrow.heap.reference`).
All times are CPU time of one thread, but for the second core.
"""

import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np

from bench._heap_solvers import FULL, QUASI, full, quasi, solve
from turnrow.heap import air, ensemble, reference
from turnrow.heap import kernel as k
from turnrow.heap.material import Floats, Heap, column
from turnrow.heap.weather import Weather, steady, steps

DAYS, CHECKED, TIMED, MANY = 60, 100, 20, 1024


def run(scale: float = 1.0) -> dict[str, Any]:
    days, checked, many = DAYS, max(4, round(CHECKED * scale)), max(8 * k.B, round(MANY * scale))
    timed = min(checked, max(2, round(TIMED * scale)))
    weather = steady(days * 24, air_c=14.0, swing_c=7.0, sun=500.0, rain_mm_day=1.7)
    table, edges = steps(weather, 0.0, days * 24.0), on_the_hour(weather)
    columns = np.stack([drawn(n) for n in range(many)], axis=1)
    short = np.zeros((1, 4, k.B))
    k.march(ensemble.blocks(columns[:, : k.B])[0], table[:1], True, short, 1)
    for equations, rows in ((full, FULL), (quasi, QUASI)):
        solve(equations, rows, columns[:, 0], edges[:3], 1e-4)

    mine = ensemble.carry(ensemble.blocks(columns[:, :checked]), table, fresh=True)[:, :, :checked]
    exact = [solve(full, FULL, columns[:, n], edges, 1e-6) for n in range(checked)]
    error = np.stack([mine[:, :, n] - exact[n] for n in range(checked)])
    theirs = {
        rtol: [np.abs(solve(quasi, QUASI, columns[:, n], edges, rtol) - exact[n]).max() for n in range(timed)]
        for rtol in (1e-4, 1e-6)
    }
    worst, rms = np.abs(error).max(axis=(1, 2)), np.sqrt((error**2).mean(axis=(1, 2)))

    made = ensemble.blocks(columns)
    ours = min(_cpu(lambda: _march(made, table)) for _ in range(3)) / many
    lsoda = {
        rtol: _cpu(lambda rtol=rtol: [solve(quasi, QUASI, columns[:, n], edges, rtol) for n in range(timed)])  # type: ignore[misc]
        / timed
        for rtol in (1e-4, 1e-6)
    }
    part = table[: max(12, round(48 * scale))]
    numpy_s = _cpu(lambda: reference.march(columns, part)) / many * len(table) / len(part)
    walls = [_wall(lambda: _march(made, table)) for _ in range(3)]
    with ThreadPoolExecutor(2) as pool:
        both = [_wall(lambda: _march(made, table, pool.map)) for _ in range(3)]
    return {
        "name": "heap",
        "ours_s": ours,
        "baseline_s": lsoda[1e-6],
        "ratio": lsoda[1e-6] / ours,
        "must": ">= 300 x LSODA (compiled, quasi-steady oxygen, rtol 1e-6), >= 28 x NumPy",
        "ratio_lsoda_rtol_1e-4": round(lsoda[1e-4] / ours, 1),
        "ratio_numpy": round(numpy_s / ours, 1),
        "second_core": round(min(walls) / min(both), 2),
        "ns_per_member_step": round(ours / len(table) * 1e9, 1),
        "member_days_per_s": round(days / ours),
        "members_checked": checked,
        "max_error_c_median": round(float(np.median(worst)), 4),
        "max_error_c_worst": round(float(worst.max()), 4),
        "lsoda_max_error_c_median": {
            f"rtol {rtol:g}": round(float(np.median(e)), 3) for rtol, e in theirs.items()
        },
        "rms_error_c_median": round(float(np.median(rms)), 5),
    }


def drawn(seed: int) -> Floats:
    """One heap at random."""
    r = np.random.default_rng([7, seed])
    own = {
        "k1": 0.25 * float(np.exp(0.3 * r.normal())),
        "k2": 0.012 * float(np.exp(0.3 * r.normal())),
        "pore_size": 2.0 * float(np.exp(0.3 * r.normal())),
        "dry_density": 195.0 * float(np.exp(0.12 * r.normal())),
        "hot": r.uniform(68.0, 75.0),
        "active0": r.uniform(0.05, 0.6),
    }
    return column(
        Heap(
            base_m=r.uniform(3.2, 5.0),
            height_m=r.uniform(1.2, 2.2),
            moisture=r.uniform(0.5, 0.68),
            cn=r.uniform(20.0, 40.0),
            temp_c=r.uniform(8.0, 25.0),
            own=own,
        )
    )


def on_the_hour(weather: Weather) -> Floats:
    """Weather as the solvers read it: columns as in the kernel's steps, on each hour."""
    edges = np.zeros((weather.hours + 1, k.WEATHER))
    t = weather.air_c
    w = air.humidity_ratio(t, weather.humid)
    edges[:, k.W_T], edges[:, k.W_SUN], edges[:, k.W_WIND] = t, weather.sun, weather.wind
    edges[:-1, k.W_RAIN] = weather.rain_mm / 3600.0
    middle = 0.5 * (t[1:] + t[:-1])
    edges[:-1, k.W_HR] = np.where(middle >= 0.0, k.CW * middle, k.CI * middle - k.LF)
    edges[:, k.W_W], edges[:, k.W_H] = w, air.enthalpy(t, w)
    edges[:, k.W_RHO] = air.density(t, w * air.PRESSURE / (0.622 + w))
    return edges


def _march(made: Floats, table: Floats, each: Any = ensemble.one_after_another) -> None:
    ensemble.carry(made.copy(), table, fresh=True, every=24, each=each)


def _cpu(work: Callable[[], Any]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def _wall(work: Callable[[], Any]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began
