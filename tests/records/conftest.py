"""Rows built by hand for the records room; all of them invented."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from turnrow.handbook.rules import HotDays, Rule
from turnrow.records.row_paper import HeadSeal, RowPaper
from turnrow.sanitation.standing import DayTable, RowStanding, Standing, Suspect
from turnrow.yard import entries
from turnrow.yard.days import zone
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry, Line
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO
from turnrow.yard.temperature import Limit, Unit

START = datetime(2026, 5, 3, 8, 0, tzinfo=UTC)
ZONE = "Europe/Dublin"

WINDROW = Rule(
    id="US-503-PFRP-WINDROW",
    jurisdiction="United States",
    status="in force",
    clause="40 CFR 503, Appendix B, B.1",
    meaning="At 55 °C or higher for 15 days or longer, with at least five turns in that time.",
    process="windrow",
    feedstock="any",
    known="READ",
    sources=("ecfr503",),
    proof=HotDays(limit=Limit(">=", 55 * MICRO, "C"), days=15, turns=5),
    open={"continuity": ("consecutive", "cumulative"), "turn_count": ("literal", "recovery")},
    ambiguity=("whether the fifteen days must follow one another",),
)


class Pages:
    """A diary being written: `write` adds a line on a day counted from 1."""

    def __init__(self, invented: bool = True, name: str = "Larkhill yard") -> None:
        self.lines: list[Line] = []
        self.write(1, entries.YardLaidOut(name=name, zone=ZONE, place="Above the mill", invented=invented))

    def write(
        self, day: float, what: entries.What, *, who: str = "Ana", late: float = 0.0, day_only: bool = False
    ) -> int:
        happened = START + timedelta(days=day - 1)
        number = len(self.lines) + 1
        entry = Entry(
            id=f"x{number}", happened=happened, who=who, what=what, device="phone 2", day_only=day_only
        )
        written = happened + timedelta(days=late, minutes=2)
        self.lines.append(Line(number, written, f"{number:064x}", entry))
        return number

    def round(
        self, day: float, row: str, temps: Sequence[float | None], unit: Unit = "C", **more: float
    ) -> int:
        read = tuple(
            entries.Reading(str(s), 900, round(t * MICRO)) for s, t in enumerate(temps, 1) if t is not None
        )
        return self.write(day, entries.Round(row=row, unit=unit, readings=read, probe="P1"), **more)

    def diary(self) -> Diary:
        return Diary(lambda name: b"", self.lines)

    def history(self, row: str) -> History:
        return self.diary().history(row)


def heated(day: int, station: int, stations: int) -> float:
    """An invented temperature: warming, hot, dipping after each turn, the last station the coldest."""
    base = min(66.0, 12 + 9.5 * (day - 1)) - (10 if day in (6, 10, 14, 18) else 0)
    return round(base + 3 * np.sin(station * 2.1 + day) - (5 if station == stations else 0), 1)


def standing_of(history: History, **other: object) -> Standing:
    """A standing built by hand from a history's readings: a day counts when its coldest is 55 °C or more."""
    readings = history.readings
    days = np.arange(readings.day.min(), readings.day.max() + 1, dtype=np.int32)
    names = history.stations
    shape = (len(days), len(names))
    coldest, hottest = np.zeros(shape, np.int64), np.zeros(shape, np.int64)
    count = np.zeros(shape, np.int32)
    for i in range(len(readings)):
        cell = int(readings.day[i] - days[0]), names.index(readings.stations[readings.station[i]])
        heat = int(readings.heat[i])
        coldest[cell] = heat if not count[cell] else min(int(coldest[cell]), heat)
        hottest[cell] = heat if not count[cell] else max(int(hottest[cell]), heat)
        count[cell] += 1
    hot = np.where((count == 0).any(axis=1), -1, (coldest >= 55 * 9 * MICRO).all(axis=1)).astype(np.int8)
    counted = days[hot == 1].tolist()
    settled: dict[str, object] = {
        "rule": WINDROW.id,
        "verdict": "FAIL",
        "policies": {"continuity": "consecutive", "turn_count": "literal"},
        "hot_days": len(counted),
        "longest_run_days": len(counted),
        "hot_hours": 24.0 * len(counted),
        "turns_counted": len(history.turns),
        "days_needed": 15,
        "turns_needed": 5,
        "short_of": ("one hot day",),
        "because": ("Station 5 was the coldest on most days.",),
        "run": (counted[0], counted[-1]) if counted else None,
        "table": DayTable(days, names, coldest, hottest, count, hot),
    }
    return Standing(**{**settled, **other})  # type: ignore[arg-type]


def stand(history: History, suspects: tuple[Suspect, ...] = (), **other: object) -> RowStanding:
    return RowStanding(history.row, standing_of(history, **other), None, suspects)


def build(pages: Pages, row: str, stations: int, **more: object) -> int:
    what = entries.RowBuilt(
        row=row,
        parts=(
            entries.Part("goat bedding", Amount(24 * MICRO, "t"), "load 31"),
            entries.Part("oat straw", Amount(6_500_000, "t")),
        ),
        length=Amount(62 * MICRO, "m"),
        height=Amount(1_700_000, "m"),
        stations=tuple(str(s) for s in range(1, stations + 1)),
        **more,  # type: ignore[arg-type]
    )
    return pages.write(1, what)


def ordinary(
    days: int = 24, stations: int = 5, row: str = "R7", unit: Unit = "C", pages: Pages | None = None
) -> History:
    """A row read once a day, day 7 not read, station 4 not read on day 11, turned four times."""
    pages = pages or Pages()
    build(pages, row, stations)
    for day in range(1, days + 1):
        if day == 7:
            continue
        temps: list[float | None] = [heated(day, s, stations) for s in range(1, stations + 1)]
        if day == 11 and stations > 3:
            temps[3] = None
        if unit == "F":
            temps = [None if t is None else round(t * 1.8 + 32, 1) for t in temps]
        pages.round(day, row, temps, unit)
        if day in (5, 9, 13, 17):
            pages.write(day + 0.1, entries.Turned(row=row, machine="loader"))
        if day == 15:
            pages.write(day + 0.2, entries.Watered(row=row, water=Amount(2_500_000, "m3")))
    return pages.history(row)


@pytest.fixture
def dublin() -> object:
    return zone(ZONE)


def first_day() -> int:
    return date(2026, 5, 3).toordinal()


def paper_of(
    pages: Pages, row: str, standing: RowStanding | None = None, rule: Rule | None = WINDROW
) -> RowPaper:
    """The row's paper; without a standing, one built by hand from the readings."""
    diary, last = pages.diary(), pages.lines[-1]
    history = diary.history(row)
    checks = [(event.line, what) for event, what in diary.own_events(entries.ProbeChecked)]
    return RowPaper(
        yard=diary.yard,
        history=history,
        standing=standing or stand(history),
        rule=rule,
        head=HeadSeal(last.number, "3f9c" * 16, last.written),
        edition="0123456789ab",
        sources={"ecfr503": "40 CFR part 503, as read in May 2026 (invented)"},
        probes=tuple(checks),
    )
