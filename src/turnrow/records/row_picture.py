"""All that a row's pictures are drawn from, gathered once so that picture, sentence and table agree."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook import rules
from turnrow.handbook.rules import Rule
from turnrow.records.daily import Daily, daily
from turnrow.records.marks import Mark, marks_of, suspect_readings
from turnrow.sanitation.standing import RowStanding, Standing, Suspect
from turnrow.yard.days import short_date
from turnrow.yard.history import History
from turnrow.yard.numbers import plain
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import NINTH, Limit, Unit, from_ninths, ninths

MICRO = NINTH // 9
SIGN = {"C": "°C", "F": "°F", "K": "K"}


@dataclass(frozen=True)
class LimitLine:
    """A limit and the words that stand on it: "55 °C or hotter, the rule"."""

    heat: int  # ninths of a millionth of a degree Celsius
    words: str


@dataclass(frozen=True, eq=False)
class RowPicture:
    """What is drawn of one row.

    stations  in the order they stand along the row; one never read is drawn as unread
    unit      what the person reads in; C or F (K is drawn too)
    limits    lines with their words; the first is the rule's own
    standing  None where no rule is chosen
    """

    row: str
    readings: Readings
    stations: tuple[str, ...]
    zone: ZoneInfo
    unit: Unit = "C"
    marks: tuple[Mark, ...] = ()
    suspects: tuple[Suspect, ...] = ()
    limits: tuple[LimitLine, ...] = ()
    standing: Standing | None = None
    days: tuple[int, int] | None = field(default=None)  # first and last to draw; None: all there is

    @classmethod
    def of(
        cls,
        history: History,
        row_standing: RowStanding | None,
        rule: Rule | None,
        *,
        unit: Unit = "C",
        further: Sequence[LimitLine] = (),
    ) -> "RowPicture":
        """The picture of a history; `further` limits (the turning limit) are drawn with the rule's own."""
        return cls(
            row=history.row,
            readings=history.readings,
            stations=history.stations,
            zone=history.zone,
            unit=unit,
            marks=marks_of(history),
            suspects=row_standing.suspects if row_standing else (),
            limits=(*(rule_limits(rule) if rule else ()), *further),
            standing=row_standing.standing if row_standing else None,
        )

    @cached_property
    def daily(self) -> Daily:
        return daily(self.readings, self.stations)

    @cached_property
    def suspect(self) -> NDArray[np.bool_]:
        """(n,) which readings are suspect."""
        return suspect_readings(self.readings, self.suspects)

    @cached_property
    def suspect_cells(self) -> frozenset[tuple[int, int]]:
        """Day and station (index into `daily.stations`) of every cell with a suspect reading."""
        where = np.flatnonzero(self.suspect)
        names = self.daily.stations
        place = [names.index(name) for name in self.readings.stations]
        return frozenset(
            (int(self.readings.day[i]), place[int(self.readings.station[i])]) for i in where.tolist()
        )

    @cached_property
    def span(self) -> tuple[int, int] | None:
        """First and last day drawn: those read, and those on which something was done."""
        if self.days:
            return self.days
        found = [mark.day for mark in self.marks]
        if len(self.readings):
            found += [int(self.readings.day.min()), int(self.readings.day.max())]
        return (min(found), max(found)) if found else None

    @cached_property
    def hot(self) -> dict[int, int]:
        """Per day of the standing's table: 1 proven hot, 0 proven not, -1 not known."""
        table = self.standing.table if self.standing else None
        return {} if table is None else dict(zip(table.day.tolist(), table.hot.tolist(), strict=True))

    def cell(self, day: int, station: int) -> int:
        """Index of the coldest reading of a station on a day; -1 where nothing was read."""
        row = day - int(self.daily.day[0]) if len(self.daily.day) else -1
        return int(self.daily.coldest[row, station]) if 0 <= row < len(self.daily.day) else -1

    def whole(self, heat: int) -> str:
        """Whole degrees in the person's unit, rounded down: 54.9 is never shown as 55."""
        return str(whole_degrees(heat, self.unit))

    def exact(self, heat: int) -> str:
        """With one decimal and the sign, for sentences; rounded for the eye only."""
        return from_ninths(heat, self.unit, 1).replace(".0 ", " ")

    def typed(self, index: int) -> str:
        """The reading as typed: "54.9"."""
        return plain(int(self.readings.value[index]))

    @property
    def sign(self) -> str:
        return SIGN[self.unit]


def whole_degrees(heat: int, unit: Unit) -> int:
    """Whole degrees of `unit` at or below a temperature [ninths], exactly."""
    if unit == "F":
        return (heat + 160 * MICRO) // (5 * MICRO)
    return (heat - ninths(0, unit)) // NINTH


def rule_limits(rule: Rule) -> tuple[LimitLine, ...]:
    """The temperatures a rule's text names, each with words in the text's own unit."""
    proof = rule.proof
    named: list[tuple[Limit, str]] = []
    if isinstance(proof, rules.HotDays):
        named.append((proof.limit, f"{proof.days} days"))
        if proof.upper:
            named.append((proof.upper, "or the day does not count"))
        if proof.peak:
            named.append((proof.peak, f"{proof.peak_hours} hours"))
    elif isinstance(proof, rules.Profiles):
        named += [(each.limit, f"{each.days} days") for each in proof.profiles]
    elif isinstance(proof, rules.Blocks):
        named.append((proof.limit, f"{proof.blocks} blocks of {proof.days} days"))
    elif isinstance(proof, rules.TotalHours):
        named.append((proof.limit, f"{proof.hours} hours"))
    elif isinstance(proof, rules.Held):
        named.append((proof.limit, f"{proof.minutes} minutes"))
    elif isinstance(proof, rules.HeldByEquation):
        named.append((proof.floor, "the least the equation is for"))
    return tuple(LimitLine(limit.ninths, f"{limit.words()}, {tail}") for limit, tail in named)


def run_words(standing: Standing) -> str:
    """Under the bracket: "14 hot days, 15 needed; 4 turns, 5 needed"; days in a row where they must be."""
    in_a_row = standing.policies.get("continuity") == "consecutive"
    days = standing.longest_run_days if in_a_row else standing.hot_days
    said = _counted(days, "hot day", standing.days_needed, " in a row" if in_a_row else "")
    if standing.turns_needed or standing.turns_counted:
        said += "; " + _counted(standing.turns_counted, "turn", standing.turns_needed)
    return said


def _counted(count: int, thing: str, needed: int, tail: str = "") -> str:
    return f"{count} {thing}{'' if count == 1 else 's'}{tail}" + (f", {needed} needed" if needed else "")


def station_words(name: str) -> str:
    """ "station 3"; a station that has a name of its own is called by it."""
    return f"station {name}" if name.isdigit() else name


def long_date(day: int) -> str:
    """ "3 May 2026"."""
    return f"{short_date(day)} {date.fromordinal(day).year}"
