"""A program killed while it writes: what it acknowledged is there once, and the chain holds.

A kill cannot show what a power cut would (the kernel still writes what it was given):
tests/trust/test_power_cut.py lays that out.
"""

import random
import subprocess
import sys
import time
from pathlib import Path

from turnrow.journal.book import Book

KILLS = 30
WRITER = """
import sys
from datetime import UTC, datetime
from turnrow.journal.book import Book
from turnrow.yard import entries

where, start = sys.argv[1], int(sys.argv[2])
now = datetime(2026, 5, 3, tzinfo=UTC)
with Book.open(where) as book:
    print("open", flush=True)
    n = start
    while True:
        ids = [f"{start}-{n + k}" for k in range(1 + n % 7)]
        sent = [entries.Entry(id=i, happened=now, who="Ana", what=entries.Turned(row="R7")) for i in ids]
        book.append(sent, written=now)
        print(*ids, flush=True)  # the acknowledgement
        n += len(ids)
"""


def test_a_writer_killed_at_any_moment_loses_nothing_it_acknowledged(tmp_path: Path):
    where = str(tmp_path / "yard.journal")
    Book.create(where).close()
    chance = random.Random(7)
    acknowledged: list[str] = []
    died_while_writing = 0
    for trial in range(KILLS):
        heard = tmp_path / "heard"
        with heard.open("wb") as out:
            writer = subprocess.Popen(
                [sys.executable, "-c", WRITER, where, str(trial * 1_000_000)], stdout=out
            )
            try:
                while b"open" not in heard.read_bytes() and writer.poll() is None:
                    time.sleep(0.005)
                time.sleep(chance.uniform(0, 0.06))
                died_while_writing += writer.poll() is None
            finally:
                writer.kill()
                writer.wait()
        whole = heard.read_bytes().rpartition(b"\n")[0].decode().split("\n")
        acknowledged += [id for text in whole[1:] for id in text.split()]
        with Book.open(where) as book:
            ids = [line.entry.id for line in book.lines()]
        assert len(ids) == len(set(ids))
        assert set(acknowledged) <= set(ids)
    assert died_while_writing == KILLS
    assert len(acknowledged) > KILLS
    with Book.open(where) as book:
        assert book.verify() == ()
