"""What an inspector will ask for and not find."""

from collections.abc import Iterator
from datetime import timedelta

from turnrow.records.daily import daily
from turnrow.records.row_paper import RowPaper
from turnrow.yard import entries
from turnrow.yard.days import short_date

CALIBRATED_FOR = timedelta(days=366)


def missing(paper: RowPaper) -> list[str]:
    """One sentence each, the gravest first; empty when nothing is known to be missing."""
    return [
        *_text(paper),
        *_readings(paper),
        *_probes(paper),
        *_review(paper),
        *_rest(paper),
    ]


def _text(paper: RowPaper) -> Iterator[str]:
    if paper.rule is None:
        yield "No rule is chosen for this row, or the one chosen is not in the handbook."
    elif paper.rule.known == "MEMORY":
        yield (
            f"The text of {paper.rule.id} was not read when the handbook was made; it is shown from memory. "
            "Lay the text itself beside this paper."
        )


def _readings(paper: RowPaper) -> Iterator[str]:
    readings = paper.history.readings
    if not len(readings):
        yield "No temperature has been written down for this row."
        return
    table = daily(readings, paper.history.stations)
    curing = paper.history.curing
    ends = curing.day if curing else int(table.day[-1])
    unread = [short_date(int(d)) for d in table.day[(table.count.sum(axis=1) == 0) & (table.day <= ends)]]
    if unread:
        until = "the move to curing" if curing else "the last"
        yield f"Days between the first reading and {until} on which nothing was read: {_listed(unread)}."
    after = table.count[table.day > ends].sum(axis=1)
    if curing and len(after) and not after.all():
        yield (
            f"After it was moved to curing on {short_date(curing.day)} it was read on "
            f"{int((after > 0).sum())} of the {len(after)} days up to its last reading."
        )
    partly = [
        short_date(int(day))
        for day, row in zip(table.day, table.count, strict=True)
        if row.any() and not row.all()
    ]
    if partly:
        yield f"Days on which not every station was read: {_listed(partly)}."
    never = [name for code, name in enumerate(table.stations) if not table.count[:, code].any()]
    if never:
        yield f"Stations laid out and never read: {_listed(never)}."
    no_depth = int((readings.depth < 0).sum())
    if no_depth:
        yield f"{_many(no_depth, 'reading')} without the depth of the probe."
    no_time = int((~readings.timed).sum())
    if no_time:
        yield f"{_many(no_time, 'reading')} with the date but not the time (21 CFR 112.161(a) asks for both)."


def _probes(paper: RowPaper) -> Iterator[str]:
    rounds = [
        (e, what.probe)
        for e in paper.history.events
        if isinstance(what := e.line.entry.what, entries.Round | entries.LoggerBlock)
    ]
    nameless = [e.line.number for e, probe in rounds if not probe]
    if nameless:
        yield f"The probe is not named on {_many(len(nameless), 'line')}: {_listed(map(str, nameless))}."
    unchecked: dict[str, int] = {}
    for event, probe in rounds:
        if probe and not _checked(paper, probe, event.line.entry.happened):
            unchecked[probe] = unchecked.get(probe, 0) + 1
    for probe, count in sorted(unchecked.items()):
        yield (
            f"Probe {probe} had no check in a bath of known temperature within the 12 months before "
            f"{_many(count, 'line')} of readings made with it."
        )


def _checked(paper: RowPaper, probe: str, at: object) -> bool:
    return any(
        what.probe == probe and timedelta(0) <= at - line.entry.happened <= CALIBRATED_FOR  # type: ignore[operator]
        for line, what in paper.probes
    )


def _review(paper: RowPaper) -> Iterator[str]:
    reviews = paper.history.of(entries.Reviewed)
    matter = [
        e.line
        for e in paper.history.events
        if not isinstance(e.line.entry.what, entries.Reviewed | entries.Struck | entries.Note)
    ]
    last = max((line.number for line in matter), default=0)
    upto = max((what.upto for _, what in reviews), default=0)
    if not reviews:
        yield "No supervisor has reviewed, dated and signed these lines (21 CFR 112.161(b))."
    elif upto < last:
        yield f"Reviewed up to line {upto}; lines after it, up to {last}, are not yet (21 CFR 112.161(b))."
    doers = {line.entry.who for line in matter}
    nameless = sorted(doers - set(paper.named) - {""})
    if nameless:
        yield f"Whose full names these are is not on record: {_listed(nameless)} (21 CFR 112.161(a))."
    own = sorted({e.line.entry.who for e, _ in reviews} & doers)
    if own:
        yield f"Reviewed by someone who also wrote lines of this row: {', '.join(own)}."


def _rest(paper: RowPaper) -> Iterator[str]:
    built = paper.history.built
    if built is None:
        yield "No line says when this row was built and of what."
    else:
        if not built[1].parts:
            yield "What the row was built of is not written down."
        unsourced = [part.material for part in built[1].parts if not part.load and not part.lot]
        yield from (one.sentence for one in paper.made if not one.shown)
        if unsourced:
            yield f"Materials without the load they came in: {_listed(unsourced)}."
        if not built[1].stations:
            yield "Stations were not laid out when the row was built; those read are taken for all."
    nobody = [line.number for line in paper.history.lines if not line.entry.who]
    if nobody:
        yield f"Nobody is named on lines {_listed(map(str, nobody))}."


def _listed(names: object, most: int = 12) -> str:
    every = [str(name) for name in names]  # type: ignore[attr-defined]
    more = f" and {len(every) - most} more" if len(every) > most else ""
    return ", ".join(every[:most]) + more


def _many(count: int, thing: str) -> str:
    return f"{count} {thing}{'' if count == 1 else 's'}"
