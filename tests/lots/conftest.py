"""A yard's matter, told line by line."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

from turnrow.handbook.book import handbook
from turnrow.lots.ledger import Ledger, ledger
from turnrow.lots.matter import Tolerance, Typical
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry, Line, LoadIn, Part, RowBuilt, What
from turnrow.yard.goods import LabResult, Result, Share

START = datetime(2026, 3, 1, 7, tzinfo=UTC)


def much(text: str) -> Amount:
    """ "45 %" """
    number, unit = text.split()
    return Amount(round(float(number) * 1_000_000), unit)


class Told:
    """A diary of what moved; days are counted from the first of March."""

    def __init__(self, typical: Callable[[str], Typical | None] = lambda material: None) -> None:
        self.diary = Diary(lambda name: b"")
        self.tolerance = Tolerance.of({key: one.amount for key, one in handbook().settings.items()})
        self.typical = typical

    def entry(self, day: float, what: What) -> Entry:
        number = self.diary.head + 1
        return Entry(id=str(number), happened=START + timedelta(days=day), who="ana", what=what)

    def say(self, day: float, *whats: What) -> int:
        for what in whats:
            entry = self.entry(day, what)
            self.diary.add([Line(self.diary.head + 1, entry.happened, "", entry)])
        return self.diary.head

    def load(self, day: float, name: str, material: str, size: str, moisture: str = "") -> int:
        self.say(day, LoadIn(load=name, material=material, amount=much(size), how="weighed"))
        if moisture:
            self.lab(day, f"moisture {moisture}", load=name)
        return self.diary.head

    def row(self, day: float, name: str, *parts: str) -> int:
        """Parts as "straw: 40 t: L3" or, of a lot, "overs: 4 t: lot O1"."""
        made = []
        for text in parts:
            material, size, *of = (one.strip() for one in text.split(":"))
            named = of[0] if of else ""
            lot = named.removeprefix("lot ") if named.startswith("lot ") else ""
            made.append(Part(material, much(size), "" if lot else named, lot))
        return self.say(day, RowBuilt(row=name, parts=tuple(made)))

    def lab(self, day: float, *figures: str, **of: str) -> int:
        """Figures as "ash 20 % dry", "ash 9 % as received"."""
        results = []
        for text in figures:
            basis = next((one for one in ("dry", "as received") if text.endswith(one)), "")
            analyte, number, unit = text.removesuffix(basis).strip().rsplit(" ", 2)
            results.append(Result(analyte=analyte, amount=much(f"{number} {unit}"), basis=basis))
        return self.say(day, LabResult(results=tuple(results), **of))

    @property
    def ledger(self) -> Ledger:
        return ledger(self.diary, self.tolerance, self.typical)


def of(text: str) -> Share:
    """ "row R1", "lot F: 30 t", "row R1: 30 t @ 45 %" """
    name, _, rest = text.partition(":")
    size, _, wet = rest.partition("@")
    kind, name = name.split()
    moisture = much(wet.strip()) if wet else None
    return Share(**{kind: name}, amount=much(size.strip()) if size.strip() else None, moisture=moisture)


@pytest.fixture
def told() -> Told:
    return Told()
