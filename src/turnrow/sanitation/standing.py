"""What a judgement says: the verdict, the figures, and the reasons."""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Verdict = Literal["PASS", "FAIL", "NOT_PROVEN", "REVIEW"]
State = Literal["PASS", "FAIL", "NOT_PROVEN", "REVIEW", "IN_PROGRESS"]
WORST: tuple[Verdict, ...] = ("PASS", "REVIEW", "NOT_PROVEN", "FAIL")  # from best to worst


Said = tuple[str, tuple[int, ...]]  # a sentence, and the lines of the journal it is about


@dataclass(frozen=True, eq=False)
class DayTable:
    """Station minima by day (d days, s stations); days without a reading stand too.

    day      (d,) int32    date ordinals, one after the other
    coldest  (d, s) int64  the station's lowest reading of the day [ninths]
    hottest  (d, s) int64  its highest
    count    (d, s) int32  readings that day; where 0, coldest and hottest mean nothing
    hot      (d,) int8     1 proven hot, 0 proven not, -1 not known (nothing or not all read)
    """

    day: NDArray[np.int32]
    stations: tuple[str, ...]
    coldest: NDArray[np.int64]
    hottest: NDArray[np.int64]
    count: NDArray[np.int32]
    hot: NDArray[np.int8]


@dataclass(frozen=True, eq=False)
class Standing:
    """Where a record stands under one rule and one set of policies."""

    rule: str
    verdict: Verdict
    policies: dict[str, str]
    hot_days: int
    longest_run_days: int
    hot_hours: float
    turns_counted: int
    days_needed: int  # 0 where the rule counts no days
    turns_needed: int
    short_of: tuple[str, ...]  # what is missing, one plain phrase each
    because: tuple[str, ...]  # reasons, one plain sentence each
    lines: tuple[int, ...] = ()  # lines of the journal it rests on; empty for a plain file
    run: tuple[int, int] | None = None  # first and last day of the run it counts
    warnings: tuple[str, ...] = ()  # over-temperature and other cautions, not part of the verdict
    known: str = "READ"  # or MEMORY: the rule's text was not read; said on every screen and paper
    turn_lines: tuple[int, ...] = ()  # lines of the turns counted, one each; 0 for a plain file
    table: DayTable | None = field(default=None, repr=False)
    open: bool = False  # not met, and further days could still meet it
    hot_hours_proven: float = 0.0  # both ends of each interval hot; hot_hours holds a reading to the next
    beside: tuple[Said, ...] = ()  # what must stand beside the verdict wherever it goes

    @property
    def state(self) -> State:
        """The verdict; of what is not met and still can be by days to come, that it is in progress."""
        return "IN_PROGRESS" if self.open else self.verdict


Stood = tuple[Verdict, tuple[Said, ...]]  # a verdict at a moment, and what stands beside it


@dataclass(frozen=True)
class Suspect:
    """A reading (or a span of one station's) that may not be the heap's; kept, counted, flagged."""

    station: str
    first: int  # index into the readings
    last: int
    check: str  # short name: jump, copy, frozen, sensor code, impossible, other unit, freezing (no fault)
    sentence: str
    fault: bool = True  # False: explained, not a fault (a freezing plateau)


@dataclass(frozen=True)
class RowStanding:
    """A row's standing with every reading, and what it would be without the suspect ones."""

    row: str
    standing: Standing
    without_suspects: Standing | None  # None where nothing is suspect
    suspects: tuple[Suspect, ...]
    since: int = 0  # line of the merge or new load from which the proof had to start anew; 0: the start

    @property
    def beside(self) -> tuple[Said, ...]:
        """What must stand beside the verdict wherever it goes, the one without suspect readings too."""
        without = self.without_suspects
        if without is None or without.verdict == self.standing.verdict:
            return self.standing.beside
        other = without.verdict.replace("_", " ")
        said = f"Without the readings that may not be the heap's the verdict would be {other}."
        return (*self.standing.beside, (said, ()))
