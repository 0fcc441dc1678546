"""Alarms and open questions of the diary on one day, by row."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.schedule.alarms import alarms, ended_by
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Advice, Complaint, Incident, JobDone, Note


@dataclass(frozen=True)
class Alarms:
    """on_fire  rows of which somebody wrote down smoke or fire, not ended; by_row  jobs, "" of no row"""

    on_fire: frozenset[str]
    by_row: Mapping[str, list[Advice]]

    def of(self, row: str) -> list[Advice]:
        return self.by_row.get(row, [])

    def with_row(self, row: str, jobs: list[Advice]) -> list[Advice]:
        """The row's jobs: while it may burn nothing is done to it; else what was written down comes first."""
        mine = self.of(row)
        if row in self.on_fire:
            return [*mine, *(job for job in jobs if job.job == "fire")]
        return [*mine, *jobs] if mine else jobs


def alarms_of(diary: Diary, day: int, upto_s: int) -> Alarms:
    """What stands on day `day` (an ordinal) by the lines that happened by `upto_s`."""

    ended = ended_by(pair for pair in diary.own_events(JobDone) if pair[0].at <= upto_s)
    standing, jobs = alarms(
        (pair for pair in diary.all_events(Incident) if pair[0].at <= upto_s),
        (pair for pair in diary.all_events(Note) if pair[0].at <= upto_s),
        (pair for pair in diary.all_events(Complaint) if pair[0].at <= upto_s),
        ended,
        day,
    )
    by_row: dict[str, list[Advice]] = {}
    for job in jobs:
        by_row.setdefault(job.row, []).append(job)
    return Alarms(frozenset(one.row for one in standing if one.danger == "fire" and one.row), by_row)
