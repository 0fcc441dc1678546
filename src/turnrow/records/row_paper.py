"""What a row's papers are made from: plain arguments, gathered by whoever holds the book."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

from msgspec import Struct

from turnrow.handbook.rules import Rule
from turnrow.lots.bought import Made
from turnrow.records.row_picture import LimitLine
from turnrow.sanitation.standing import RowStanding, State
from turnrow.yard import entries
from turnrow.yard.entries import Amount, Line
from turnrow.yard.history import Event, History
from turnrow.yard.temperature import Unit


class HeadSeal(Struct, frozen=True):
    """The newest line of the book when the paper was made; its `written` is the paper's own date."""

    line: int
    seal: str
    written: datetime


@dataclass(frozen=True, eq=False)
class RowPaper:
    """All a row sheet says.

    rule      None where none is chosen or known; the sheet says so
    sources   what each key in `rule.sources` stands for, in words
    probes    every probe check of the yard's own, oldest first
    further   limits drawn beside the rule's own (the yard's turning limit)
    unit      the reader's; readings are printed as typed all the same
    made      parts that are themselves made of something; named: full names by who stands in the lines
    otherwise (policy, value) -> the verdict, where the text may be read in another way
    """

    yard: entries.YardLaidOut
    history: History
    standing: RowStanding
    rule: Rule | None
    head: HeadSeal
    edition: str
    sources: Mapping[str, str] = field(default_factory=dict)
    facts: Mapping[str, str] = field(default_factory=dict)
    probes: tuple[tuple[Line, entries.ProbeChecked], ...] = ()
    further: tuple[LimitLine, ...] = ()
    unit: Unit = "C"
    settings: Mapping[str, Amount] = field(default_factory=dict)  # the yard's own
    otherwise: Mapping[tuple[str, str], State] = field(default_factory=dict)
    made: tuple[Made, ...] = ()
    named: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def since(self) -> Event | None:
        """The merge or new load from which the proof started anew; None: from the start."""
        line = self.standing.since
        return next((e for e in self.history.events if line and e.line.number == line), None)


@dataclass(frozen=True, eq=False)
class DayPaper:
    """All a day sheet says: the sheet as issued, and what has been ticked since, by key."""

    yard: entries.YardLaidOut
    sheet: Line
    head: HeadSeal
    done: Mapping[str, Line] = field(default_factory=dict)
