"""Recall on random diaries, written through the gate, against plain sets of loads carried along by hand."""

import random
from collections.abc import Iterable, Mapping
from datetime import timedelta
from fractions import Fraction
from typing import Any

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from turnrow.gate.forms import entry_from
from turnrow.lots.ledger import closes
from turnrow.lots.moves import Account
from turnrow.lots.recall import recall
from turnrow.lots.wrongs import wrongs_of
from turnrow.yard import days, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Line, LoadIn, Merged, RowBuilt
from turnrow.yard.goods import LoadBack, LoadOut, LotMade, RowSplit, Screened
from turnrow.yard.numbers import MICRO
from turnrow.yard.wrongs import Refused

from .conftest import START, Told

Thing = tuple[str, str]
NOTHING = Fraction(1, MICRO)
BUYERS = tuple(f"Buyer {n}" for n in range(12))
KINDS = "load load row row row merge split lot lot mix screen screen out out out out back back"
LATER = (1, 1, 1, 1, 0, -3)  # days after the one before; below 0: told late


class Pencil:
    """What each thing holds: tonnes, and the loads that some of it came in with."""

    def __init__(self) -> None:
        self.much: dict[Thing, Fraction] = {}
        self.loads: dict[Thing, set[str]] = {}
        self.buyer: dict[str, str] = {}
        self.lot_of: dict[str, str] = {}

    def move(self, source: Thing, target: Thing, much: Fraction) -> None:
        if self.much.get(target, Fraction(0)) <= NOTHING:
            self.much[target], self.loads[target] = Fraction(0), set()
        self.loads[target] |= self.loads.get(source, set())
        self.much[target] += much
        self.much[source] = self.much.get(source, Fraction(0)) - much
        if self.much[source] <= NOTHING:
            self.loads[source] = set()

    def gone_through(self, diary: Diary) -> "Pencil":
        lines = [diary.line(n) for n in range(1, diary.head + 1)]
        lines.sort(
            key=lambda one: (
                days.day_of(days.seconds(one.entry.happened), diary.zone),
                not isinstance(one.entry.what, LoadIn), one.entry.happened, one.number,
            )
        )  # fmt: skip
        for line in lines:
            self.step(line.entry.what, line.number)
        return self

    def step(self, what: Any, number: int) -> None:
        if isinstance(what, LoadIn):
            self.much[("load", what.load)] = size(what.amount)
            self.loads[("load", what.load)] = {what.load}
        elif isinstance(what, RowBuilt):
            for part in what.parts:
                source = ("lot", part.lot) if part.lot else ("load", part.load)
                self.move(source, ("row", what.row), size(part.amount))
        elif isinstance(what, Merged):
            for name in what.sources:
                self.move(("row", name), ("row", what.row), self.much[("row", name)])
        elif isinstance(what, RowSplit):
            self.move(("row", what.row), ("row", what.new), size(what.amount))
        elif isinstance(what, LotMade):
            self.shares(what.sources, ("lot", what.lot))
        elif isinstance(what, Screened):
            sieve = ("sieve", str(number))
            self.shares(what.sources, sieve)
            self.move(sieve, ("lot", what.fines), size(what.fines_amount))
            self.move(sieve, ("lot", what.overs), size(what.overs_amount))
        elif isinstance(what, LoadOut):
            self.buyer[what.ticket], self.lot_of[what.ticket] = what.customer, what.lot
            self.move(("lot", what.lot), ("ticket", what.ticket), size(what.amount))
            self.loads[("was", what.ticket)] = set(self.loads[("ticket", what.ticket)])
        elif isinstance(what, LoadBack):
            self.move(("ticket", what.ticket), ("lot", self.lot_of[what.ticket]), size(what.amount))

    def shares(self, shares: Iterable[goods.Share], target: Thing) -> None:
        for one in shares:
            source = ("row", one.row) if one.row else ("lot", one.lot) if one.lot else ("load", one.load)
            self.move(source, target, size(one.amount) if one.amount else self.much[source])


def size(amount: Any) -> Fraction:
    assert amount.unit == "t"
    return Fraction(amount.value, MICRO)


class Gate:
    """Writes what passes the gate and the ledger, and nothing else."""

    def __init__(self) -> None:
        self.told = Told()
        self.made: dict[str, list[str]] = {"load": [], "row": [], "lot": [], "ticket": []}
        self.day = 40
        for who in BUYERS:
            self.write("customer", {"customer": who})

    def write(self, kind: str, fields: Mapping[str, str]) -> bool:
        diary, when = self.told.diary, START + timedelta(days=self.day)
        try:
            entry = entry_from(
                kind, {**fields, "happened": f"{when:%Y-%m-%dT%H:%M}Z"}, diary=diary,
                now=START + timedelta(days=400), who="ana", id=str(diary.head + 1),
            )  # fmt: skip
        except Refused:
            return False
        if wrongs_of(self.told.ledger, entry):
            return False
        diary.add([Line(diary.head + 1, START + timedelta(days=400), "", entry)])
        return True

    def one(self, kind: str, n: int) -> str:
        names = self.made[kind]
        return names[n % len(names)] if names else "none"

    def step(self, kind: str, a: int, b: int, much: int, later: int) -> None:
        self.day = max(0, self.day + later)
        new = str(sum(map(len, self.made.values())))
        row, load, lot = self.one("row", a), self.one("load", b), self.one("lot", a)
        parts = self._parts(load, lot, much)
        steps: dict[str, tuple[str, dict[str, str], dict[str, str]]] = {
            "load": (
                "load in", {"load": f"L{new}", "material": "leaves", "amount": "40 t", "how": "weighed"},
                {"load": f"L{new}"},
            ),
            "row": ("row built", {"row": f"R{new}", "parts": parts}, {"row": f"R{new}"}),
            "merge": ("merged", {"row": row, "sources": self.one("row", b)}, {}),
            "split": ("row split", {"row": row, "new": f"R{new}", "amount": f"{much} t"}, {"row": f"R{new}"}),
            "lot": (
                "lot made", {"lot": f"A{new}", "sources": f"row {row}" + (f": {much} t" if b % 2 else "")},
                {"lot": f"A{new}"},
            ),
            "mix": (
                "lot made",
                {"lot": f"M{new}", "sources": f"lot {lot}: {much} t; lot {self.one('lot', b)}: 2 t"},
                {"lot": f"M{new}"},
            ),
            "screen": (
                "screened",
                {
                    "sources": f"row {row}: {much} t" if b % 2 else f"lot {lot}: {much} t",
                    "fines": f"F{new}", "overs": f"O{new}",
                    "fines_amount": f"{0.75 * much} t", "overs_amount": f"{0.25 * much} t",
                },
                {"lot": f"F{new} O{new}"},
            ),
            "out": (
                "load out",
                {"ticket": f"T{new}", "lot": lot, "amount": f"{much} t", "customer": BUYERS[b % 12]},
                {"ticket": f"T{new}"},
            ),
            "back": ("load back", {"ticket": self.one("ticket", a), "amount": f"{much / 4} t"}, {}),
        }  # fmt: skip
        name, fields, makes = steps[kind]
        if self.write(name, fields):
            for what, names in makes.items():
                self.made[what] += names.split()

    def _parts(self, load: str, lot: str, much: int) -> str:
        """A load; often with overs or another lot, which may be of a row of its own loads."""
        overs = f"; overs: 1 t: lot {lot}" if lot != "none" and much % 2 else ""
        return f"leaves: {much} t: {load}{overs}"


@settings(deadline=None, max_examples=30, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(st.integers(0, 2**32))
def test_every_buyer_of_every_load_is_found_and_no_other(seed: int) -> None:
    drawn, gate = random.Random(seed), Gate()
    for kind in ("load", "load", "row", "row", *(drawn.choice(KINDS.split()) for _ in range(60))):
        gate.step(kind, drawn.randrange(50), drawn.randrange(50), drawn.randint(1, 12), drawn.choice(LATER))
    book, pencil = gate.told.ledger, Pencil().gone_through(gate.told.diary)
    assert closes(book.moves) and not book.wrongs
    in_it = {ticket: pencil.loads[("was", ticket)] for ticket in gate.made["ticket"]}
    for load in gate.made["load"]:
        if Account("load", load) in book.nodes_of:
            found = recall(book, Account("load", load))
            assert {one.account.name for one in found.forward if one.customer} == {
                ticket for ticket, loads in in_it.items() if load in loads
            }
            assert set(found.customers) >= {pencil.buyer[t] for t, loads in in_it.items() if load in loads}
    for ticket in gate.made["ticket"]:
        found = recall(book, Account("ticket", ticket))
        assert {one.account.name for one in found.loads} == in_it[ticket]
        others = {other for other, loads in in_it.items() if other != ticket and loads & in_it[ticket]}
        assert set(found.customers) == {pencil.buyer[other] for other in others}
    for lot in gate.made["lot"]:
        found = recall(book, Account("lot", lot))
        assert {one.account.name for one in found.loads} >= pencil.loads.get(("lot", lot), set())
