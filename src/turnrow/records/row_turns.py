"""The turns of a row as an inspector reads them: when, who, and whether each counts."""

from collections import Counter

from turnrow.handbook.rules import HotDays
from turnrow.records import said
from turnrow.records.row_paper import RowPaper
from turnrow.yard import entries


def turn_lines(paper: RowPaper) -> tuple[tuple[str, ...], ...]:
    """When, what, who, line, "counts" or why not."""
    counted = _counted(paper)
    run = paper.standing.standing.run
    proof = paper.rule.proof if paper.rule else None
    spaced = isinstance(proof, HotDays) and bool(proof.spacing_days)
    one_visit = not spaced and paper.standing.standing.policies.get("turn_count") == "visit"
    rows = []
    for event, what in paper.history.of(entries.Turned):
        number = event.line.number
        if counted is not None and number in counted:
            turns = counted[number]
            word = "counts"
            if what.passes > 1:
                word = f"counts as {turns} turn{'' if turns == 1 else 's'} ({what.passes} passes)"
        elif run is None:
            word = "no run to count in"
        elif event.day < run[0]:
            word = "before the run"
        elif event.day > run[1]:
            word = "after the run"
        elif counted is None:
            word = "in the run"
        elif one_visit:
            word = "in the run, the same visit as one that counts"
        else:
            word = "in the run, does not count"
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
    """Line -> turns that count; None where the rule's own count does not name them."""
    standing = paper.standing.standing
    if standing.run is None or len(standing.turn_lines) != standing.turns_counted:
        return None
    return dict(Counter(standing.turn_lines))
