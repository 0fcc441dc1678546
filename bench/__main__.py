"""`python -m bench NAME|all [--json] [--scale S]`: runs benchmarks and says what they measured.

A benchmark is a file here with `run(scale) -> dict`: at least name, ours_s, baseline_s, ratio and must.
Both times are of the same run; `must` says what the ratio should come to. With --json, one benchmark is
one object with the machine's facts beside its own keys; `all` is an object with `results`.
"""

import argparse
import importlib
import json
import os
import pkgutil
import platform
import sqlite3
import sys
from collections.abc import Mapping, Sequence
from importlib.metadata import PackageNotFoundError, version
from typing import Any

import bench

CALLED = {"import": "intake"}  # what people type -> the file, where a name is not free in Python
FIRST = ("name", "ours_s", "baseline_s", "ratio", "must")


def names() -> list[str]:
    """Every benchmark, by the name people type."""
    typed = {file: name for name, file in CALLED.items()}
    files = (module.name for module in pkgutil.iter_modules(bench.__path__))
    return sorted(typed.get(name, name) for name in files if not name.startswith("_"))


def machine() -> dict[str, Any]:
    def of(package: str) -> str:
        try:
            return version(package)
        except PackageNotFoundError:
            return "absent"

    return {
        "cores": len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count(),
        "processor": platform.machine(),
        "system": platform.system(),
        "python": platform.python_version(),
        "numpy": of("numpy"),
        "polars": of("polars"),
        "sqlite": sqlite3.sqlite_version,
    }


def run(name: str, scale: float) -> dict[str, Any]:
    found = importlib.import_module(f"bench.{CALLED.get(name, name)}").run(scale)
    return {"name": name, **found}


def rows(results: Sequence[Mapping[str, Any]]) -> str:
    """A table for people: one line a benchmark, what else it measured below it."""
    lines = [f"{'bench':<12} {'ours':>10} {'baseline':>10} {'ratio':>8}   must"]
    for one in results:
        times = f"{one['ours_s']:>9.4f}s {one['baseline_s']:>9.4f}s {one['ratio']:>8.2f}"
        lines.append(f"{one['name']:<12} {times}   {one['must']}")
        lines += [f"             {key}: {value}" for key, value in one.items() if key not in FIRST]
    return "\n".join(lines)


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m bench", description=(__doc__ or "").splitlines()[0])
    parser.add_argument("name", choices=[*names(), "all"])
    parser.add_argument("--json", action="store_true", help="print exactly one JSON object")
    parser.add_argument("--scale", type=float, default=1.0, help="size of the work, 1 as published")
    given = parser.parse_args()
    chosen = names() if given.name == "all" else [given.name]
    results = [run(name, given.scale) for name in chosen]
    facts = machine()
    if given.json:
        whole = {"results": results} if given.name == "all" else results[0]
        print(json.dumps({**whole, "machine": facts}, ensure_ascii=False))
    else:
        print("  ".join(f"{key} {value}" for key, value in facts.items()))
        print(rows(results))
    return 0


if __name__ == "__main__":
    sys.exit(main())
