"""A hundred rows fitted to their readings and carried two weeks on, 512 members each, on two cores.

The rows are invented, made by other laws than the heap's; their ages go evenly from 2 to 42 days. Baseline,
in the same run: the same members carried once, plainly, over the same hours; the fit alone needs seven such
runs, and the rest is linear algebra, probes and quantiles. Two processes, each with one thread.
"""

import os
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import Any

ROWS, MEMBERS, HOURS, SEED, OLDEST = 100, 512, 336, 4711, 42
LIMITS_C = (55.0, 65.5, 71.0, 80.0)


def run(scale: float = 1.0) -> dict[str, Any]:
    from turnrow.demo.truth.rows import synthetic_rows

    count = max(4, round(ROWS * scale))
    rows = synthetic_rows(SEED, count, OLDEST + 3)
    ages = [2 + round((OLDEST - 2) * i / (count - 1)) for i in range(count)]
    os.environ["OPENBLAS_NUM_THREADS"] = "1"  # of the processes to come
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        list(pool.map(_one, [(rows[0], 2)] * 2))  # loads what is compiled
        began = time.perf_counter()
        found = list(pool.map(_one, zip(rows, ages, strict=True)))
        ours = time.perf_counter() - began
        began = time.perf_counter()
        list(pool.map(_plain, zip(rows, ages, strict=True)))
        plain = time.perf_counter() - began
    fitted, ahead, read = (sum(column) for column in zip(*found, strict=True))
    return {
        "name": "outlook",
        "ours_s": ours,
        "baseline_s": plain,
        "ratio": plain / ours,
        "must": "ours <= 60 s for 100 rows; the ratio is to one plain run of the same members",
        "rows": count,
        "members": MEMBERS,
        "readings_fitted": int(read),
        "cpu_s_each_core": round((fitted + ahead) / 2, 1),
        "cpu_s_fitting": round(fitted, 2),
        "cpu_s_ahead": round(ahead, 2),
        "runs_worth": round(ours / plain, 1),
    }


def _one(given: Sequence[Any]) -> tuple[float, float, int]:
    """CPU seconds of the fit and of the way ahead, and readings fitted."""
    from turnrow.demo.truth.told import told
    from turnrow.heap.ahead import forecast
    from turnrow.heap.fit import fit, prior

    row, age = given
    now = row.built_s + age * 86400
    known = told(row, now)
    began = time.process_time()
    fitted = fit(known, prior(known), now_s=now, members=MEMBERS)
    between = time.process_time()
    forecast(fitted, known, hours=HOURS, limits_c=LIMITS_C)
    return between - began, time.process_time() - between, len(fitted.tidied.temp_c)


def _plain(given: Sequence[Any]) -> None:
    import numpy as np

    from turnrow.demo.truth.told import told
    from turnrow.handbook.heap import heap_parameters
    from turnrow.heap import believed
    from turnrow.heap.expected import weather
    from turnrow.heap.tidied import tidy
    from turnrow.heap.track import Tables, follow

    row, age = given
    now = row.built_s + age * 86400
    known = told(row, now)
    belief = believed.prior(known)
    z = np.random.default_rng(1).standard_normal((len(belief.unknowns), MEMBERS))
    values = believed.values(belief, z)
    tidied = tidy(known, now, belief.length_m or 1.0)
    hours = tidied.now_h + HOURS
    air, _ = weather(known.outside, tidied.start_s, hours, 20.0)
    params = {key: one.value for key, one in heap_parameters().items()} | dict(values)
    follow(believed.made(belief, values), params, Tables(air), tidied.done, (0, hours))
