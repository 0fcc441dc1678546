"""The turns of a row as an inspector reads them: when, who, and whether each counts."""

import numpy as np

from turnrow.handbook.rules import HotDays
from turnrow.records import said
from turnrow.records.row_paper import RowPaper
from turnrow.sanitation.record import Record
from turnrow.sanitation.turns import counting
from turnrow.yard import entries


def turn_lines(paper: RowPaper) -> tuple[tuple[str, ...], ...]:
    """When, what, who, line, "counts" or why not; a line of several passes counts as many turns."""
    counted = _counted(paper)
    run = paper.standing.standing.run
    rows = []
    for event, what in paper.history.of(entries.Turned):
        number = event.line.number
        if counted is not None and number in counted:
            passes = counted[number]
            word = "counts" if passes == what.passes == 1 else f"counts {passes} of {what.passes} passes"
        elif run is None:
            word = "no run to count in"
        elif event.day < run[0]:
            word = "before the run"
        elif event.day > run[1]:
            word = "after the run"
        else:
            word = "in the run" if counted is None else "in the run, does not count"
        rows.append(
            (
                said.happened(event.line.entry, paper.history.zone),
                said.saying(what),
                event.line.entry.who,
                str(number),
                word,
            )
        )
    return tuple(rows)


def _counted(paper: RowPaper) -> dict[int, int] | None:
    """Line -> passes that count; None where this is not the rule's own count and so cannot be said."""
    standing = paper.standing.standing
    proof = paper.rule.proof if paper.rule else None
    if not isinstance(proof, HotDays) or standing.run is None:
        return None
    recovery = None
    if standing.policies.get("turn_count") == "recovery":
        if standing.table is None:
            return None
        hot = np.asarray(standing.table.hot == 1)
        recovery = (hot, int(standing.table.day[0]), paper.recovery_days)
    record = Record.of(paper.history, paper.since)
    within = standing.run if proof.turns_inside else None
    found = counting(record.turns, within, proof.spacing_days, recovery)
    if len(found) != standing.turns_counted:
        return None
    return {line: sum(turn.line == line for turn in found) for line in {turn.line for turn in found}}
