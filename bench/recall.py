"""Recall through 10,000 lots and 20 generations, both ways, with shares.

A diary makes lots of lots in generations. Ours asks the ledger for one lot of the last: everything in it
with its share, everything of it, and everything else that shares any of its loads. The baseline asks
recursive SQL queries (sqlite3, in memory, edges indexed both ways, UNION) over the same edges for the same
nodes, without shares, in the same run; both must find the same. Beside it stands the same for one load.
"""

import random
import sqlite3
import time
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple, TypeVar

from turnrow.handbook.book import handbook
from turnrow.lots.ledger import Ledger, ledger
from turnrow.lots.matter import Tolerance
from turnrow.lots.moves import Account
from turnrow.lots.recall import Kin, recall
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry, Line, LoadIn, What
from turnrow.yard.goods import LotMade, Share

LOTS, GENERATIONS, PARENTS = 10_000, 20, 3
MUST = "at most 3 times the recursive query, and at most 0.2 s"
START = datetime(2020, 1, 1, tzinfo=UTC)
BACK = "back(n) AS (VALUES(?) UNION SELECT parent FROM edge JOIN back ON child = n)"
KIN = "kin(n) AS (SELECT n FROM back UNION SELECT child FROM edge JOIN kin ON parent = n)"
FORE = "fore(n) AS (VALUES(?) UNION SELECT child FROM edge JOIN fore ON parent = n)"
QUERIES = (
    f"WITH RECURSIVE {BACK} SELECT n FROM back",
    f"WITH RECURSIVE {BACK}, {KIN} SELECT n FROM kin",
    f"WITH RECURSIVE {FORE} SELECT n FROM fore",
)
Found = TypeVar("Found")


def run(scale: float = 1.0) -> dict[str, Any]:
    count = max(int(LOTS * scale), GENERATIONS * 2)
    start = time.perf_counter()
    book = invented(count)
    folded = time.perf_counter() - start
    lot, load = Account("lot", str(count - 1)), Account("load", "0")
    base = loaded(book)
    of_lot, of_load = both(book, base, lot), both(book, base, load)
    return {
        "name": "recall",
        "ours_s": of_lot.ours_s,
        "baseline_s": of_lot.baseline_s,
        "ratio": of_lot.ours_s / of_lot.baseline_s,
        "must": MUST,
        "baseline": "sqlite3: recursive queries over the same edges, indexed both ways",
        "same_things": of_lot.same and of_load.same,
        "found": of_lot.found,
        "load_ours_s": of_load.ours_s,
        "load_baseline_s": of_load.baseline_s,
        "load_found": of_load.found,
        "lots": count,
        "edges": sum(map(len, book.tree.parents)),
        "generations": GENERATIONS,
        "diary_folded_s": folded,
    }


class Both(NamedTuple):
    ours_s: float
    baseline_s: float
    same: bool
    found: int


def both(book: Ledger, base: sqlite3.Connection, asked: Account) -> Both:
    """One recall beside the queries for what is in it, what holds some of it, and all its kin."""
    node = book.node_of[asked]
    ours_s, ours = best(lambda: recall(book, asked))
    baseline_s, theirs = best(lambda: [{n for (n,) in base.execute(sql, (node,))} for sql in QUERIES])
    back, kin, fore = ({book.nodes[n].account for n in one} for one in theirs)
    same = named(asked, ours.back) == back and named(asked, ours.forward) == fore
    every = named(asked, (*ours.back, *ours.forward, *ours.sharing))
    return Both(ours_s, baseline_s, same and every == kin, len(kin))


def named(asked: Account, kin: Iterable[Kin]) -> set[Account]:
    return {asked, *(one.account for one in kin)}


def invented(count: int) -> Ledger:
    """The first generation are loads; each later lot is made of a few things of the one before."""
    chance = random.Random(1)
    size = count // GENERATIONS
    whats: list[What] = [
        LoadIn(load=str(n), material="straw", amount=Amount(100_000_000, "t")) for n in range(size)
    ]
    for child in range(size, count):
        first = (min(child // size, GENERATIONS - 1) - 1) * size
        chosen = chance.sample(range(first, first + size), min(PARENTS, size))
        parts = [(str(n), Amount(chance.randint(1, 9) * 10_000, "t")) for n in chosen]
        kind = "load" if first == 0 else "lot"
        whats.append(LotMade(lot=str(child), sources=tuple(Share(**{kind: n}, amount=t) for n, t in parts)))
    diary = Diary(lambda name: b"")
    for number, what in enumerate(whats, start=1):
        entry = Entry(id=str(number), happened=START + timedelta(hours=number), who="ana", what=what)
        diary.add([Line(number, entry.happened, "", entry)])
    return ledger(diary, Tolerance.of({key: one.amount for key, one in handbook().settings.items()}))


def loaded(book: Ledger) -> sqlite3.Connection:
    base = sqlite3.connect(":memory:")
    base.execute("CREATE TABLE edge(parent INTEGER, child INTEGER, share REAL)")
    rows = [(up, child, s) for child, ups in enumerate(book.tree.parents) for up, s in ups]
    base.executemany("INSERT INTO edge VALUES (?, ?, ?)", rows)
    base.execute("CREATE INDEX up ON edge(child, parent)")
    base.execute("CREATE INDEX down ON edge(parent, child)")
    return base


def best(work: Callable[[], Found], times: int = 5) -> tuple[float, Found]:
    """The shortest of some runs, and what it found."""
    runs = []
    for _ in range(times):
        start = time.perf_counter()
        found = work()
        runs.append((time.perf_counter() - start, found))
    return min(runs, key=lambda one: one[0])
