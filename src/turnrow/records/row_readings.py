"""Every reading of a row, one by one, with the line it stands on and who wrote it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from turnrow.records.marks import suspect_readings
from turnrow.records.row_paper import RowPaper
from turnrow.yard.days import date_text, moment
from turnrow.yard.entries import Line
from turnrow.yard.numbers import plain
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import UNITS


@dataclass(frozen=True)
class ReadingLine:
    """One reading as typed.

    at       ISO 8601 with the yard's offset; only the date where the time was not said
    counted  False: before the merge or load from which the proof started anew
    """

    at: str
    day: str
    station: str
    depth_cm: str  # empty: not said
    value: str
    unit: str
    line: int
    item: int
    who: str
    device: str
    suspect: str  # the check that flagged it; empty: none
    counted: bool


class RowReadings:
    """The readings of a paper's row in force, with what is needed to print each."""

    def __init__(self, paper: RowPaper) -> None:
        self.paper = paper
        self.readings: Readings = paper.history.readings
        self.by_number: dict[int, Line] = {line.number: line for line in paper.history.lines}

    @cached_property
    def counted(self) -> NDArray[np.bool_]:
        """(n,) which readings the standing is judged on."""
        since, readings = self.paper.since, self.readings
        if since is None:
            return np.ones(len(readings), dtype=np.bool_)
        later = since.timed & readings.timed & (readings.at > since.at)  # as sanitation's Record.of
        return (readings.day > since.day) | later

    @cached_property
    def suspect(self) -> NDArray[np.bool_]:
        return suspect_readings(self.readings, self.paper.standing.suspects)

    @cached_property
    def checks(self) -> dict[int, str]:
        """Index of a suspect reading -> the checks that flagged it."""
        found: dict[int, str] = {}
        for suspect in self.paper.standing.suspects:
            if suspect.fault:
                for i in np.flatnonzero(suspect_readings(self.readings, (suspect,))).tolist():
                    found[i] = f"{found[i]}, {suspect.check}" if i in found else suspect.check
        return found

    def when(self, index: int) -> str:
        if not self.readings.timed[index]:
            return date_text(int(self.readings.day[index]))
        return moment(int(self.readings.at[index]), self.paper.history.zone).isoformat()

    def one(self, index: int) -> ReadingLine:
        readings = self.readings
        number = int(readings.line[index])
        entry = self.by_number[number].entry
        depth = int(readings.depth[index])
        return ReadingLine(
            at=self.when(index),
            day=date_text(int(readings.day[index])),
            station=readings.stations[int(readings.station[index])],
            depth_cm="" if depth < 0 else plain(depth * 100_000),
            value=plain(int(readings.value[index])),
            unit=UNITS[int(readings.unit[index])],
            line=number,
            item=int(readings.item[index]),
            who=entry.who,
            device=entry.device,
            suspect=self.checks.get(index, ""),
            counted=bool(self.counted[index]),
        )

    def every(self) -> list[ReadingLine]:
        """All of them, in the order they happened."""
        return [self.one(index) for index in range(len(self.readings))]
