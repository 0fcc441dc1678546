"""A logger's file of a million readings: bytes -> checked, sealed and on the disk.

Baseline, in the same run: the same rows, already parsed, into one table of a file by `executemany`
in one transaction, with the book's own journal mode and EXTRA sync.
"""

import sqlite3
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from turnrow.foreman.intake import take
from turnrow.gate.handed import Handed
from turnrow.journal.book import Book
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, RowBuilt, YardLaidOut

READINGS = 1_000_000
STATIONS = 8
ZONE = "Europe/Dublin"
START = datetime(2024, 5, 3, tzinfo=UTC)
Row = tuple[str, str, str, str, str]


def run(scale: float = 1.0) -> dict[str, Any]:
    n = max(STATIONS, round(READINGS * scale))
    rows = _rows(n)
    data = ("at,station,depth_cm,value,unit\n" + "".join(",".join(row) + "\n" for row in rows)).encode()
    parsed = [(*_moment_station(row), int(row[2]) * 10, round(float(row[3]) * 1e6), "C") for row in rows]
    with tempfile.TemporaryDirectory() as where:
        ours, mode = _ours(Path(where), data, n)
        baseline = _baseline(Path(where) / "bare.db", parsed, mode)
    return {
        "name": "import",
        "ours_s": ours,
        "baseline_s": baseline,
        "ratio": baseline / ours,
        "must": ">= 0.40 of the speed of a bare executemany of parsed rows",
        "readings": n,
        "bytes": len(data),
        "readings_per_s": round(n / ours),
        "bare_rows_per_s": round(n / baseline),
        "journal_mode": mode,
    }


def _rows(n: int) -> list[Row]:
    """Every 10 minutes, eight stations, sixteenths of a degree: what a 12-bit probe says."""
    zone, drawn = ZoneInfo(ZONE), np.random.default_rng(7)
    steps = 880 + np.cumsum(drawn.integers(-3, 4, size=(-(-n // STATIONS), STATIONS)), axis=0) % 240
    found: list[Row] = []
    for place, values in enumerate(steps.tolist()):
        at = (START + timedelta(minutes=10 * place)).astimezone(zone)
        stamp = (
            at.isoformat() if at.dst() != (at + timedelta(hours=2)).dst() or at.fold else at.isoformat()[:16]
        )
        found += [(stamp, str(s + 1), "60", f"{value / 16:.4f}", "C") for s, value in enumerate(values)]
    return found[:n]


def _moment_station(row: Row) -> tuple[int, int]:
    at = datetime.fromisoformat(row[0])
    aware = at if at.tzinfo else at.replace(tzinfo=ZoneInfo(ZONE))
    return int(aware.timestamp()), int(row[1])


def _ours(where: Path, data: bytes, n: int) -> tuple[float, str]:
    now = START + timedelta(days=365 * 30)
    with Book.create(str(where / "yard.journal")) as book:
        opening = [YardLaidOut(name="bench", zone=ZONE), RowBuilt(row="R1")]
        book.append(
            [
                Entry(id=w.name if isinstance(w, YardLaidOut) else w.row, happened=START, who="bench", what=w)
                for w in opening
            ],
            written=START,
        )
        diary = Diary(book.blob, book.lines())
        start = time.perf_counter()
        taken = take(book, diary, Handed(data, "log.csv", now, "bench", row="R1"))
        spent = time.perf_counter() - start
    if taken.readings != n:
        raise ValueError(f"{taken.readings} readings taken, want {n}")
    with sqlite3.connect(where / "yard.journal") as opened:
        (mode,) = opened.execute("PRAGMA journal_mode").fetchone()
    return spent, str(mode)


def _baseline(where: Path, parsed: list[tuple[int, int, int, int, str]], mode: str) -> float:
    opened = sqlite3.connect(where, isolation_level=None)
    opened.execute(f"PRAGMA journal_mode={mode}")
    opened.execute("PRAGMA synchronous=EXTRA")
    opened.execute(
        "CREATE TABLE reading (at INTEGER, station INTEGER, depth INTEGER, value INTEGER, unit TEXT)"
    )
    start = time.perf_counter()
    opened.execute("BEGIN IMMEDIATE")
    opened.executemany("INSERT INTO reading VALUES (?, ?, ?, ?, ?)", parsed)
    opened.execute("COMMIT")
    spent = time.perf_counter() - start
    opened.close()
    return spent
