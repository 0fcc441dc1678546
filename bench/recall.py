"""Recall through 10,000 lots and 20 generations, both ways, with shares.

Ours takes the lot with the most in it: everything it holds with its share, every other thing that shares
any of that, and the load with the most buyers followed forward. The baseline asks a recursive SQL query
(sqlite3, in memory, edges indexed both ways, UNION) over the same edges for the same things without
shares, in the same run; both must name the same things.
"""

import random
import sqlite3
import time
from typing import Any

from turnrow.lots.tree import Edge, Tree

LOTS, GENERATIONS, PARENTS = 10_000, 20, 3
MUST = "at most 3 times the recursive query, and at most 0.2 s"
BACK = """back(n) AS (VALUES(?) UNION SELECT parent FROM edge JOIN back ON child = n)"""
KIN = """kin(n) AS (SELECT n FROM back UNION SELECT child FROM edge JOIN kin ON parent = n)"""
FORE = """fore(n) AS (VALUES(?) UNION SELECT child FROM edge JOIN fore ON parent = n)"""
QUERIES = (
    f"WITH RECURSIVE {BACK} SELECT n FROM back",
    f"WITH RECURSIVE {BACK}, {KIN} SELECT n FROM kin",
    f"WITH RECURSIVE {FORE} SELECT n FROM fore",
)


def run(scale: float = 1.0) -> dict[str, Any]:
    count = max(int(LOTS * scale), GENERATIONS * 2)
    edges = invented(count)
    start = time.perf_counter()
    tree = Tree.of(count, edges)
    built = time.perf_counter() - start
    lot, load = count - 1, 0
    ours_s, ours = _best(lambda: (set(tree.back(lot)), tree.kin(lot), set(tree.forward(load))))
    base = sqlite3.connect(":memory:")
    base.execute("CREATE TABLE edge(parent INTEGER, child INTEGER, share REAL)")
    base.executemany("INSERT INTO edge VALUES (?, ?, ?)", edges)
    base.execute("CREATE INDEX up ON edge(child, parent)")
    base.execute("CREATE INDEX down ON edge(parent, child)")

    def asked(sql: str, node: int) -> set[int]:
        return {n for (n,) in base.execute(sql, (node,))}

    asks = list(zip(QUERIES, (lot, lot, load), strict=True))
    baseline_s, theirs = _best(lambda: tuple(asked(sql, node) for sql, node in asks))
    return {
        "name": "recall",
        "ours_s": ours_s,
        "baseline_s": baseline_s,
        "ratio": ours_s / baseline_s,
        "must": MUST,
        "baseline": "sqlite3, recursive common table expressions over the same edges, indexed both ways",
        "same_things": ours == theirs,
        "found": [len(one) for one in ours],
        "lots": count,
        "edges": len(edges),
        "generations": GENERATIONS,
        "tree_built_s": built,
    }


def invented(count: int) -> list[Edge]:
    """Lots in generations; each is made of a few of the generation before, in random shares."""
    chance = random.Random(1)
    size = count // GENERATIONS
    edges: list[Edge] = []
    for child in range(size, count):
        first = (min(child // size, GENERATIONS - 1) - 1) * size
        parents = chance.sample(range(first, first + size), min(PARENTS, size))
        parts = [chance.random() + 0.01 for _ in parents]
        edges += [(p, child, part / sum(parts)) for p, part in zip(parents, parts, strict=True)]
    return edges


def _best(work: Any, times: int = 5) -> tuple[float, Any]:
    """The shortest of some runs, and what the last gave."""
    took = []
    found = None
    for _ in range(times):
        start = time.perf_counter()
        found = work()
        took.append(time.perf_counter() - start)
    return min(took), found
