"""A yard's row under a rule: its diary as a record, what was pushed into it, what may not be the heap's.

Material that is less proven carries its standing into what receives it: a row into which a raw load
or a row not yet proven was pushed proves its heat anew from that line on. A part moved apart carries the
standing its row had at that moment, and from there on proves by its own readings.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.rules import Rule
from turnrow.sanitation import beside
from turnrow.sanitation.counts import with_defaults
from turnrow.sanitation.found import counted, worst
from turnrow.sanitation.judge import NOTHING, judge
from turnrow.sanitation.probe_faults import Fault, doubted, not_counted
from turnrow.sanitation.record import Record
from turnrow.sanitation.standing import RowStanding, Said, Standing, Verdict
from turnrow.sanitation.suspects import Limits, find, marked
from turnrow.yard.entries import Amount, Merged, Reviewed, RowBuilt
from turnrow.yard.goods import RowSplit
from turnrow.yard.history import Event, History

Histories = Callable[[str], History]
SIGNED_BY_SUPERVISOR = "US produce safety"  # jurisdictions whose own-compost records are reviewed


@dataclass(frozen=True)
class _Asked:
    rule: Rule
    histories: Histories
    facts: Mapping[str, str]
    policies: Mapping[str, str]
    settings: Mapping[str, Amount] | None
    wrong: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class _Origin:
    """Where a row's proof starts: the event it starts anew from, if any, and what its material brings.

    brings  the verdict of what was pushed in, until something has been read since; None: nothing
    said    one sentence for each merge and new load that mattered
    beside  what stands beside the verdicts of rows whose proof it carries
    """

    since: Event | None = None
    brings: Verdict | None = None
    said: tuple[str, ...] = ()
    lines: tuple[int, ...] = ()
    beside: tuple[Said, ...] = ()


def row_standing(
    rule: Rule,
    history: History,
    histories: Histories,
    facts: Mapping[str, str] = NOTHING,
    policies: Mapping[str, str] = NOTHING,
    settings: Mapping[str, Amount] | None = None,
    wrong: tuple[Fault, ...] = (),
) -> RowStanding:
    """The row's standing with every reading, and without those that may not be the heap's.

    histories  gives another row's history by name; KeyError where the diary knows none
    wrong      probes known to be off: what they read counts in neither
    Raises Refused for facts or policies that cannot be read.
    """
    asked = _Asked(rule, histories, facts, policies, settings, wrong)
    own = with_defaults(settings)
    origin = _origin(asked, history, frozenset())
    turns = [event.at for event in history.turns if event.timed]
    suspects = find(history.readings, Limits.of(settings) if settings else None, turns=turns)
    suspects = (*suspects, *doubted(history, wrong))

    def judged(keep: NDArray[np.bool_] | None) -> Standing:
        found = _reviewed(rule, history, _standing(asked, history, origin, keep))
        return replace(found, beside=(*origin.beside, *beside.late(history, found, own)))

    standing = judged(None)
    faulty = any(suspect.fault for suspect in suspects)
    without = judged(~marked(history.readings, suspects)) if faulty else None
    since = origin.since.line.number if origin.since else 0
    return RowStanding(history.row, standing, without, tuple(suspects), since)


def _standing(asked: _Asked, history: History, origin: _Origin, keep: NDArray[np.bool_] | None) -> Standing:
    off = not_counted(history, asked.wrong)
    if off.any():
        keep = ~off if keep is None else keep & ~off
    record = Record.of(history, origin.since, keep, asked.settings)
    found = judge(asked.rule, record, asked.facts, asked.policies, asked.settings)
    verdict = found.verdict
    if origin.brings is not None and not len(record.readings):
        verdict = origin.brings
    elif origin.brings == "PASS":  # what was pushed in was proven; what came of it stays so
        verdict = "PASS"
    short = () if verdict == "PASS" else found.short_of
    still = found.open and verdict != "PASS" and history.curing is None and history.gone is None
    lines = tuple(sorted({*found.lines, *origin.lines}))
    return replace(
        found,
        verdict=verdict,
        short_of=short,
        because=(*origin.said, *_unproven_by(off, history, asked.wrong), *found.because),
        lines=lines,
        open=still,
    )


def _unproven_by(off: NDArray[np.bool_], history: History, wrong: tuple[Fault, ...]) -> tuple[str, ...]:
    """What is not counted because of a probe, in a sentence each."""
    if not off.any():
        return ()
    every = [(fault, int(np.count_nonzero(not_counted(history, [fault])))) for fault in wrong]
    return tuple(
        f"{counted(many, 'reading')} of probe {fault.probe} {'is' if many == 1 else 'are'} not counted: it "
        f"{fault.said} (line {fault.line})."
        for fault, many in every
        if many
    )


def _origin(asked: _Asked, history: History, seen: frozenset[tuple[str, int]]) -> _Origin:
    """Follow new loads, merges and the split a row came from, in the order they happened."""
    origin = _Origin()
    for event, what in _changes(history):
        line = event.line.number
        if isinstance(what, RowBuilt):
            said = f"New raw material was laid on it (line {line}): its heat is proven anew from there."
            origin = _Origin(event, None, (*origin.said, said), (*origin.lines, line))
            continue
        before = history.until(event.at)
        mine = _mine(asked, before, event, origin)
        sources = (what.row,) if isinstance(what, RowSplit) else what.sources
        found = {name: _source(asked, name, event, seen) for name in sources if name != history.row}
        others = {name: verdict for name, (verdict, _) in found.items()}
        raw = sorted(name for name, verdict in others.items() if verdict != "PASS")
        every = worst([*others.values(), *([mine] if mine else [])]) if others or mine else None
        if raw:
            said = f"{_came(what, raw, 'not proven')} (line {line}): its heat is proven anew from there."
            origin = _Origin(event, every, (*origin.said, said), (*origin.lines, line))
        elif others:
            said = f"{_came(what, sorted(others), 'proven')} (line {line})."
            brings = every if mine in (None, "PASS") else origin.brings
            carried = (*origin.beside, *(one for _, each in found.values() for one in each))
            origin = _Origin(origin.since, brings, (*origin.said, said), (*origin.lines, line), carried)
    return origin


def _came(what: Merged | RowSplit, rows: list[str], proven: str) -> str:
    if isinstance(what, RowSplit):
        return f"It was a part of row {what.row}, {proven} under this rule, when it was moved apart"
    return f"Row {', '.join(rows)}, {proven} under this rule, was pushed into it"


def _changes(history: History) -> Iterator[tuple[Event, RowBuilt | Merged | RowSplit]]:
    holds = False  # something already, so that raw material laid on it is new
    for event in history.events:
        what = event.line.entry.what
        if isinstance(what, RowBuilt):
            if holds and what.raw:
                yield event, what
            holds = True
        elif (isinstance(what, Merged) and what.row == history.row) or (
            isinstance(what, RowSplit) and what.new == history.row
        ):
            yield event, what
            holds = True


def _mine(asked: _Asked, before: History, event: Event, origin: _Origin) -> Verdict | None:
    """How the receiving row stood as it received; None where it held no material yet."""
    earlier = [e.line.entry.what for e in before.events if e.line.number != event.line.number]
    alive = any(isinstance(w, Merged | RowSplit) or (isinstance(w, RowBuilt) and w.raw) for w in earlier)
    if not alive and not len(before.readings):
        return None
    return _standing(asked, before, origin, None).verdict


def _source(
    asked: _Asked, name: str, event: Event, seen: frozenset[tuple[str, int]]
) -> tuple[Verdict, tuple[Said, ...]]:
    """How a row stood when it was pushed into another, and what stands beside that; not proven where it is
    not known, or where the merges run in a circle."""
    if (name, event.at) in seen:
        return "NOT_PROVEN", ()
    try:
        history = asked.histories(name).until(event.at)
    except KeyError:
        return "NOT_PROVEN", ()
    origin = _origin(asked, history, seen | {(name, event.at)})
    found = _standing(asked, history, origin, None)
    own = beside.late(history, found, with_defaults(asked.settings))
    return found.verdict, (*origin.beside, *((f"Row {name}: {said}", lines) for said, lines in own))


def _reviewed(rule: Rule, history: History, standing: Standing) -> Standing:
    """Warn where the rule wants a supervisor's review of the record and the newest lines have none."""
    if rule.jurisdiction != SIGNED_BY_SUPERVISOR or not standing.lines:
        return standing
    upto = max((what.upto for _, what in history.of(Reviewed)), default=0)
    if upto >= max(standing.lines):
        return standing
    what = f"lines after {upto}" if upto else "this record"
    said = (
        f"No supervisor has reviewed and signed {what}: 21 CFR 112.161(b) asks it of records of one's own "
        "compost, within a reasonable time."
    )
    return replace(standing, warnings=(*standing.warnings, said))
