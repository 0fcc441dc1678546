"""Every rule on 10 million readings of 100 rows over a year, from one CSV file.

Ours reads the file exactly, splits it by row and judges every rule of the handbook on each. The
baseline is polars alone, in the same run and with the same number of threads: the same file grouped
into row, station and day with the lowest reading of each, the moments read by their format. Beside
it stand two more ways of polars': the day cut off as text, and dates guessed. Each side runs in a
child of its own, so that its peak memory (ru_maxrss) is its own. What each side imports is not
timed; loading the compiled reader, or compiling it the first time, is said as `ready_s`.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

READINGS, ROWS, STATIONS = 10_000_000, 100, 10
RUNS = 3  # of each side, in turn; the quickest of each is taken
THREADS = int(os.environ.get("POLARS_MAX_THREADS", os.cpu_count() or 1))
MUST = "at most 2 times the baseline, under 2 GB"
OURS = """
import json, resource, sys, time
from pathlib import Path
from turnrow.gate.plain import prepare, read_plain
from turnrow.handbook.book import handbook
from turnrow.sanitation.judge import judge_many
from turnrow.sanitation.record import Record
rules = list(handbook().rules.values())
start = time.perf_counter()
prepare()
ready_s = time.perf_counter() - start
start, before = time.perf_counter(), time.process_time()
rows = read_plain(Path(sys.argv[1]))
read = time.perf_counter()
count, said = 0, {}
for _, readings in rows:
    count += len(readings)
    for found in judge_many(rules, Record(readings)).values():
        said[found.verdict] = said.get(found.verdict, 0) + 1
done = time.perf_counter()
cpu_s = time.process_time() - before
print(json.dumps({"s": done - start, "cpu_s": cpu_s, "read_s": read - start, "judge_s": done - read,
    "ready_s": ready_s, "readings": count, "verdicts": said,
    "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}))
"""
BASELINE = """
import json, resource, sys, time
import polars as pl
from polars import col
moment = col("at").str.to_datetime("%Y-%m-%dT%H:%M:%S").dt.date()
ways = {
    "s": (moment, {}),
    "by_text_s": (col("at").str.slice(0, 10), {}),
    "guessed_s": (col("at").dt.date(), {"try_parse_dates": True}),
}
took, cpu = {}, []
for name in sys.argv[2:]:
    day, options = ways[name]
    before = time.process_time()
    start = time.perf_counter()
    cells = (
        pl.scan_csv(sys.argv[1], **options)
        .group_by("row", "station", day.alias("day"))
        .agg(col("value").min())
        .collect(engine="streaming")
    )
    took[name] = time.perf_counter() - start
    cpu.append(time.process_time() - before)
print(json.dumps({**took, "cpu_s": cpu[0], "cells": cells.height,
    "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}))
"""


def run(scale: float = 1.0) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "readings.csv"
        written = write(path, max(int(READINGS * scale), 10_000))
        turns = [(_child(BASELINE, path, "s"), _child(OURS, path)) for _ in range(RUNS)]
        others = _child(BASELINE, path, "by_text_s", "guessed_s")
    baseline, ours = (min(side, key=lambda one: float(one["s"])) for side in zip(*turns, strict=True))
    return {
        "name": "prove",
        "ours_s": ours["s"],
        "baseline_s": baseline["s"],
        "ratio": ours["s"] / baseline["s"],
        "ratio_with_ready": (ours["s"] + ours["ready_s"]) / baseline["s"],
        "ratio_of_cpu": ours["cpu_s"] / baseline["cpu_s"],
        "must": MUST,
        "baseline": "polars: scan_csv, group by row, station and day, minimum",
        "baseline_by_text_s": others["by_text_s"],
        "baseline_guessed_s": others["guessed_s"],
        "ours_cpu_s": ours["cpu_s"],
        "baseline_cpu_s": baseline["cpu_s"],
        "file": "csv",
        "read_s": ours["read_s"],
        "judge_s": ours["judge_s"],
        "ready_s": ours["ready_s"],
        "readings": ours["readings"],
        "written": written,
        "peak_mb": ours["peak_mb"],
        "baseline_peak_mb": baseline["peak_mb"],
        "verdicts": ours["verdicts"],
        "threads": THREADS,
    }


def write(path: Path, readings: int) -> int:
    """An invented year: each row's stations read at even steps, hot for a while after it is built."""
    import numpy as np
    import polars as pl

    moments = readings // (ROWS * STATIONS)
    step = 365 * 86_400_000_000 // moments
    chance = np.random.default_rng(1)
    at = np.repeat(np.arange(moments, dtype=np.int64) * step, STATIONS) + 1_735_689_600_000_000
    age = np.repeat(np.arange(moments) / moments * 365, STATIONS)
    stations = pl.Series([str(n + 1) for n in range(STATIONS)] * moments)
    with path.open("wb") as out:
        for row in range(ROWS):
            built = chance.integers(0, 200)
            hot = np.clip((age - built) / 4, 0, 1) * np.exp(-np.clip(age - built - 25, 0, None) / 40)
            value = np.round(12 + 50 * hot + chance.normal(0, 1.2, len(age)), 1)
            pl.DataFrame(
                {
                    "row": pl.Series([f"R{row + 1}"]).new_from_index(0, len(age)),
                    "at": pl.Series(at).cast(pl.Datetime("us")),
                    "station": stations,
                    "value": value,
                    "unit": pl.Series(["C"]).new_from_index(0, len(age)),
                }
            ).write_csv(out, include_header=row == 0, datetime_format="%Y-%m-%dT%H:%M:%S")
    return moments * ROWS * STATIONS


def _child(program: str, path: Path, *ways: str) -> dict[str, Any]:
    done = subprocess.run(
        [sys.executable, "-c", program, str(path), *ways], capture_output=True, text=True, check=True
    )
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found
