"""One load in, written through the desk: the 10,000th beside the 100th.

A yard takes twenty loads a day and now and then builds a row and weighs one. Ours is what one more load
takes once 10,000 are there, form to sealed line, the median of a window of loads; the baseline is the same
in a book of 100. Beside it stands what one fold of the whole ledger takes at that size.
"""

import statistics
import tempfile
import time
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from typing import Any

from turnrow.foreman.desk import Desk
from turnrow.foreman.matter import typical
from turnrow.journal.book import Book
from turnrow.lots.ledger import ledger
from turnrow.lots.matter import Tolerance
from turnrow.yard.entries import Amount, Entry, LoadIn, Part, RowBuilt, What, YardLaidOut
from turnrow.yard.goods import Weighed

LOADS, FEW, WINDOW, A_DAY = 10_000, 100, 60, 20
MUST = "at most 2 times the 100th load"
START = datetime(2020, 1, 1, 7, tzinfo=UTC)
MATERIALS = ("straw", "horse manure", "leaves", "cow manure")


def run(scale: float = 1.0) -> dict[str, Any]:
    many = max(int(LOADS * scale), 2 * FEW + WINDOW)
    with tempfile.TemporaryDirectory() as folder, ExitStack() as opened:
        small, large = (opened.enter_context(Book.create(f"{folder}/{name}")) for name in ("small", "large"))
        few, late = filled(small, FEW), filled(large, many)
        taken: dict[Desk, list[float]] = {few: [], late: []}
        for turn in range(WINDOW):  # in turns, so that what else the machine does falls on both alike
            taken[few].append(one_more(few, FEW + turn))
            taken[late].append(one_more(late, many + turn))
        ours, baseline = statistics.median(taken[late]), statistics.median(taken[few])
        start = time.perf_counter()
        whole = ledger(late.diary, Tolerance.of(late.settings()), typical)
        return {
            "ours_s": ours,
            "baseline_s": baseline,
            "ratio": ours / baseline,
            "must": MUST,
            "baseline": f"the {FEW}th load in a book of its own, same run, medians of {WINDOW} in turns",
            "loads": many,
            "moves": len(whole.moves),
            "whole_fold_s": time.perf_counter() - start,
            "same_as_whole_fold": late.lots.held == whole.held and late.lots.moves == whole.moves,
        }


def filled(book: Book, loads: int) -> Desk:
    put(book, YardLaidOut(name="Bench", zone="UTC", invented=True), 0)
    fill(book, 0, loads)
    desk = Desk(book)
    if not desk.lots.moves:
        raise ValueError(f"{loads} loads and no move, want one each")
    return desk


def put(book: Book, what: What, load: int) -> None:
    when = moment(load)
    book.append([Entry(id=f"b{book.head().line}", happened=when, who="bench", what=what)], written=when)


def moment(load: int) -> datetime:
    return START + timedelta(days=load // A_DAY, minutes=10 * (load % A_DAY))


def fill(book: Book, first: int, upto: int) -> None:
    """Loads, a row built of one in five of them, one in ten weighed, straight into the book."""
    entries = []
    for load in range(first, upto):
        named, when = f"L{load}", moment(load)
        material, much = MATERIALS[load % len(MATERIALS)], Amount(10_000_000, "t")
        whats: list[What] = [LoadIn(load=named, material=material, amount=much, how="weighed")]
        if load % 5 == 0:
            whats.append(RowBuilt(row=f"R{load}", parts=(Part(material, much, named),)))
        elif load % 10 == 1:
            whats.append(Weighed(load=named, amount=Amount(9_900_000, "t")))
        entries += [
            Entry(id=f"{named}-{n}", happened=when, who="bench", what=what) for n, what in enumerate(whats)
        ]
    book.append(entries, written=moment(upto))


def one_more(desk: Desk, load: int) -> float:
    """Time of one load through the desk, from its form to its sealed line."""
    fields = {
        "load": f"W{load}",
        "material": MATERIALS[load % len(MATERIALS)],
        "amount": "10 t",
        "how": "weighed",
        "happened": moment(load).isoformat(),
    }
    start = time.perf_counter()
    desk.write("load in", fields, now=moment(load) + timedelta(minutes=1), who="bench", id=f"w{load}")
    return time.perf_counter() - start
