"""A small diary language, so that the tests' days can be read.

    d0 built length=120m height=1.5m stations=1,2    row R7 unless another is named: "R8 d0 built"
    d1 54.9 61 -          a round at 07:00, stations 1, 2 and 3; "-" passed over
    d1-4 F 131 140        the same round on each of four days, in °F
    d2 turn               at 09:00; d2 turn day-only: without a time of day
    d3 squeeze 2          d3 moisture 38 %        d3 water 2 m3        d3 cure
    d4 wind 12 m/s        d4 air -11 C            d4 rain 5 mm
    d5 merge R8           R8 is pushed into the row
    d6 choose continuity=cumulative      the rule of the test, with a policy

d1 is 1 May 2026, on UTC.
"""

import re
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta

import pytest

from turnrow.handbook.book import handbook
from turnrow.sanitation.ledger import row_standing
from turnrow.schedule.around import around
from turnrow.schedule.jobs import row_jobs
from turnrow.yard import days
from turnrow.yard import entries as e
from turnrow.yard.diary import Diary
from turnrow.yard.numbers import parse_micro

D0 = datetime(2026, 4, 30, tzinfo=UTC)


def at(day: int, hour: int = 7) -> datetime:
    return D0 + timedelta(days=day, hours=hour)


def amount(text: str) -> e.Amount:
    number, unit = re.fullmatch(r"([-+.0-9]+) ?(.*)", text).groups()  # type: ignore[union-attr]
    return e.Amount(parse_micro(number), unit)


class Told:
    """A diary told in words, and what the schedule says of it."""

    def __init__(self, text: str) -> None:
        self.diary = Diary(lambda name: b"")
        for words in filter(None, (line.split("#")[0].split() for line in text.splitlines())):
            row = words.pop(0) if not words[0].startswith("d") else "R7"
            first, _, last = words.pop(0)[1:].partition("-")
            for day in range(int(first), int(last or first) + 1):
                self._write(row, day, words)

    def _write(self, row: str, day: int, words: list[str]) -> None:
        day_only = "day-only" in words
        words = [word for word in words if word != "day-only"]
        what, hour = _what(row, words)
        self.say(day, what, hour, day_only=day_only)

    def say(self, day: int, what: e.What, hour: int = 7, *, day_only: bool = False) -> None:
        """One more line, in an entry's own terms."""
        number = self.diary.head + 1
        entry = e.Entry(id=str(number), happened=at(day, hour), who="ana", what=what, day_only=day_only)
        self.diary.add([e.Line(number, at(day, 20), "", entry)])

    def moment(self, day: int, hour: int) -> datetime:
        return at(day, hour)

    def jobs(
        self,
        day: int,
        row: str = "R7",
        rule: str | None = "US-503-PFRP-WINDROW",
        *,
        settings: Mapping[str, str] | None = None,
        facts: Mapping[str, str] | None = None,
        hour: int = 8,
        **policies: str,
    ) -> dict[str, e.Advice]:
        """Key without the row -> advice, in the order the row's jobs are given."""
        book, now_s = handbook(), days.seconds(at(day, hour))
        history = self.diary.history(row).until(now_s)
        chosen = book.rules[rule] if rule else None
        standing = row_standing(
            chosen or book.rules["US-503-PFRP-WINDROW"], history, self.diary.history, facts or {}, policies
        )
        values = {name: setting.amount for name, setting in book.settings.items()}
        values |= {name: amount(text) for name, text in (settings or {}).items()}
        weather = around(self.diary.own_events(e.Weather), at(day).toordinal())
        found = row_jobs(history, standing, chosen, values, now_s, now=weather, facts=facts)
        keys = [advice.key for advice in found]
        assert len(set(keys)) == len(keys), f"two jobs of one key: {keys}"
        return {advice.key.removeprefix(f"{row} "): advice for advice in found}


def _what(row: str, words: list[str]) -> tuple[e.What, int]:
    verb, rest = words[0], words[1:]
    if verb == "built":
        said = dict(word.split("=", 1) for word in rest)
        sizes = {k: amount(v) for k, v in said.items() if k in ("length", "height", "volume", "width")}
        parts = tuple(
            e.Part(material=part.split(":")[0], amount=amount(part.split(":")[1]))
            for part in said.get("parts", "").split(",")
            if part
        )
        stations = tuple(filter(None, said.get("stations", "").split(",")))
        process = said.get("process", "turned")
        return e.RowBuilt(row=row, parts=parts, stations=stations, process=process, **sizes), 6  # type: ignore[arg-type]
    if verb == "turn":
        return e.Turned(row=row, passes=int(rest[0]) if rest else 1), 9
    if verb == "water":
        return e.Watered(row=row, water=amount("".join(rest))), 10
    if verb in ("squeeze", "moisture", "cn", "height", "mass"):
        text = "".join(rest) + ("score" if verb == "squeeze" else "")
        return e.Measured(row=row, quantity=verb, amount=amount(text)), 7
    if verb == "cure":
        return e.MovedToCuring(row=row), 12
    if verb == "merge":
        return e.Merged(row=row, sources=(row, *rest)), 11
    if verb in ("wind", "air", "rain"):
        return e.Weather(**{verb: amount("".join(rest))}), 6
    unit = "F" if verb == "F" else "C"
    given = rest if verb == "F" else words
    read = [
        e.Reading(str(place), 600, parse_micro(text)) for place, text in enumerate(given, 1) if text != "-"
    ]
    skipped = tuple(str(place) for place, text in enumerate(given, 1) if text == "-")
    return e.Round(row=row, unit=unit, readings=tuple(read), skipped=skipped, probe="P1"), 7  # type: ignore[arg-type]


@pytest.fixture
def diary() -> Callable[[str], Told]:
    return Told
