"""A record of temperatures judged under a rule."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from types import MappingProxyType
from typing import Any

import numpy as np
import polars as pl

from turnrow.api.given import Source, table_bytes
from turnrow.api.readings import Readings
from turnrow.api.shown import html
from turnrow.gate.turn_file import read_turns
from turnrow.handbook.book import handbook
from turnrow.handbook.rules import Rule
from turnrow.records.row_picture import RowPicture, rule_limits
from turnrow.records.strip import heat_strip
from turnrow.records.verdict import beside_words, words
from turnrow.sanitation import facts as given
from turnrow.sanitation import policies as choices
from turnrow.sanitation.alone import suspects_of, without
from turnrow.sanitation.judge import judge as standing_of
from turnrow.sanitation.record import Record, TurnAt
from turnrow.sanitation.standing import Standing, Suspect
from turnrow.yard.temperature import NINTH
from turnrow.yard.wrongs import Refused, refuse

NONE: Mapping[str, str] = MappingProxyType({})
LEGAL = "A reading of the clause, not legal advice: the authority or certifier decides."


@dataclass(frozen=True, eq=False)
class Judgement:
    """Where a record stands under a rule, with its reasons.

    verdict  PASS, FAIL, NOT_PROVEN (something was not shown) or REVIEW (a person decides)
    without_suspects  the verdict without readings that may not be the heap's; None where there are none
    """

    rule: str
    clause: str
    known: str
    verdict: str
    without_suspects: str | None
    hot_days: int
    longest_run_days: int
    days_needed: int
    hot_hours: float
    turns_counted: int
    turns_needed: int
    policies: Mapping[str, str]
    short_of: tuple[str, ...]
    because: tuple[str, ...]
    warnings: tuple[str, ...]
    beside: tuple[str, ...]
    suspects: tuple[str, ...]
    _drawn: RowPicture = field(repr=False)
    _standing: Standing = field(repr=False)

    @property
    def days(self) -> pl.DataFrame:
        """A polars frame, a station a day: day, station, coldest and hottest [°C], readings, hot (true: the
        day is proven hot, null: not known). Empty where the rule counts no days."""
        table = self._standing.table
        if table is None:
            return pl.DataFrame(schema=_DAYS)
        read = table.count > 0
        places = len(table.stations)
        hot = [None if one < 0 else bool(one) for one in table.hot.tolist()]
        return pl.DataFrame(
            {
                "day": [date.fromordinal(one) for one in np.repeat(table.day, places).tolist()],
                "station": [*table.stations] * len(table.day),
                "coldest": np.where(read, table.coldest / NINTH, np.nan).ravel(),
                "hottest": np.where(read, table.hottest / NINTH, np.nan).ravel(),
                "readings": table.count.ravel(),
                "hot": [one for one in hot for _ in range(places)],
            },
            schema=_DAYS,
        ).with_columns(pl.col("coldest", "hottest").fill_nan(None))

    @property
    def picture(self) -> str:
        """Stations by days as SVG."""
        return heat_strip(self._drawn)

    def _repr_html_(self) -> str:
        word, sentence = words(self._standing)
        memory = "" if self.known == "READ" else "From MEMORY: the text itself was not read."
        said = [sentence, *self.beside, *self.because, *self.short_of, *self.warnings, *self.suspects[:5]]
        figures = [
            ("hot days", self.hot_days),
            ("longest run of days", self.longest_run_days),
            ("turns counted", f"{self.turns_counted} of {self.turns_needed}"),
        ]
        title = f"{word}: {self.rule}, {self.clause}"
        return html(title, filter(None, [memory, *said, LEGAL]), figures, self.picture)


_DAYS = {
    "day": pl.Date,
    "station": pl.String,
    "coldest": pl.Float64,
    "hottest": pl.Float64,
    "readings": pl.Int64,
    "hot": pl.Boolean,
}


def rules() -> pl.DataFrame:
    """The rules of the handbook as a polars frame: rule, jurisdiction, clause, meaning, known (READ: the text
    itself; MEMORY: not), policies and facts that a judgement may be given."""
    return pl.DataFrame(
        [
            {
                "rule": rule.id,
                "jurisdiction": rule.jurisdiction,
                "clause": rule.clause,
                "meaning": rule.meaning,
                "known": rule.known,
                "policies": list(choices.asked(rule)),
                "facts": list(given.asked(rule)),
            }
            for rule in handbook().rules.values()
        ]
    )


def judge(
    readings: Readings,
    rule: str,
    *,
    turns: Source | Iterable[date | datetime] = (),
    facts: Mapping[str, str] = NONE,
    policies: Mapping[str, str] = NONE,
) -> Judgement:
    """Judge readings under a rule, as `turnrow prove` does.

    turns     a file or data frame with the column `at`, or days and moments; each is one pass
    facts     what the rule asks for, as typed: {"cn_initial": "28"}
    policies  how open points of its text are read: {"continuity": "cumulative"}

    >>> import turnrow as tr
    >>> log = tr.read_readings(b"at,station,value,unit\\n2026-05-01,1,56,C\\n2026-05-02,1,57,C\\n")
    >>> found = tr.judge(log, "US-503-PFRP-STATIC")
    >>> found.verdict, found.hot_days
    ('FAIL', 2)

    Raises Refused for an unknown rule, and for turns, facts or policies that cannot be read.
    """
    book = handbook()
    chosen = book.rules.get(rule)
    if chosen is None:
        raise refuse("rule", rule, "Give one of turnrow.rules()['rule'].")
    if wrong := choices.refusals(chosen, policies):
        raise Refused(wrong)
    record = Record(readings.columns, _turns(turns, readings))
    suspects = suspects_of(chosen, record)
    found = standing_of(chosen, record, facts, policies)
    other = without(record, suspects)
    verdict = None if other is None else standing_of(chosen, other, facts, policies).verdict
    return _judgement(chosen, found, verdict, suspects, readings)


def _turns(turns: Source | Iterable[date | datetime], readings: Readings) -> tuple[TurnAt, ...]:
    if isinstance(turns, (list, tuple)):
        rows = [one.isoformat() for one in turns]
        turns = "\n".join(["at", *rows]).encode()
    data, name = table_bytes(turns, "turns")
    file = read_turns(data, name, zone=readings.zone)
    moments = zip(file.at.tolist(), file.day.tolist(), file.timed.tolist(), strict=True)
    return tuple(TurnAt(*one) for one in moments)


def _judgement(
    rule: Rule, found: Standing, other: str | None, suspects: tuple[Suspect, ...], readings: Readings
) -> Judgement:
    drawn = RowPicture(
        row=readings.row,
        readings=readings.columns,
        stations=readings.columns.stations,
        zone=readings.zone,
        suspects=suspects,
        limits=rule_limits(rule),
        standing=found,
    )
    same: dict[str, Any] = {
        name: getattr(found, name)
        for name in (
            "verdict", "hot_days", "longest_run_days", "days_needed", "hot_hours", "turns_counted",
            "turns_needed", "policies", "short_of", "because", "warnings",
        )
    }  # fmt: skip
    return Judgement(
        rule=rule.id,
        clause=rule.clause,
        known=rule.known,
        without_suspects=other,
        beside=beside_words(found.beside),
        suspects=tuple(one.sentence for one in suspects),
        _drawn=drawn,
        _standing=found,
        **same,
    )
