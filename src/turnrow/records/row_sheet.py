"""The row sheet: what an inspector reads of one row, as text in its places. Pure.

Nothing is left out silently: above FULL_LIST readings the paper prints figures by station and day
and names the CSV that holds every reading by its SHA-256.
"""

from msgspec import Struct

from turnrow.records import row_lists, said
from turnrow.records.curve import curve_words, temperature_curve
from turnrow.records.keeping import CAUTION, keeping_words
from turnrow.records.marks import amount_words
from turnrow.records.missing import missing
from turnrow.records.row_grid import Grid, grids
from turnrow.records.row_lists import FULL_LIST, Rows
from turnrow.records.row_paper import RowPaper
from turnrow.records.row_picture import RowPicture, long_date
from turnrow.records.row_readings import RowReadings
from turnrow.records.row_turns import turn_lines
from turnrow.records.seal import head_short, head_text, seal_code
from turnrow.records.strip import heat_strip, strip_words
from turnrow.records.verdict import STATES, Verdict, verdict
from turnrow.yard import entries, goods

Pair = tuple[str, str]
MOVED = entries.Merged | goods.RowSplit | goods.LotMade | goods.Screened
PAPER_WIDTH = 740.0  # px; narrower than on a page, so that its words stay large enough in print


class Picture(Struct, frozen=True):
    svg: str  # empty: nothing was read
    words: str


class RowSheet(Struct, frozen=True):
    """Each part as it is printed; rows are tuples of text."""

    title: str
    yard: str
    place: str
    invented: bool
    row: str
    laid: str  # one sentence
    built_of: Rows  # material, amount, load, line
    dates: Rows  # what, when, line
    rule: tuple[Pair, ...]
    memory: bool
    verdict: Verdict
    without: Verdict | None  # without the suspect readings
    suspects: Rows  # station, from, to, check, sentence, counted a fault
    strip: Picture
    curve: Picture
    grids: tuple[Grid, ...]
    readings: Rows  # when, station, depth cm, value, unit, line, who, device, marks
    readings_note: str
    turns: Rows  # when, what, who, line, counts
    given: Rows  # waterings and covers: when, what, who, line
    measured: Rows
    others: Rows  # notes, incidents, merges
    struck: Rows  # line, what it said, struck by, why
    late: Rows  # line, what, happened, written, how late
    missing: tuple[str, ...]
    kept: str
    head: tuple[Pair, ...]
    seal: str  # in groups
    seal_short: str
    qr: str  # SVG
    caution: str
    made: str  # the paper's own date, ISO


def row_sheet(paper: RowPaper) -> RowSheet:
    """The sheet of `paper`; the same arguments give the same sheet."""
    drawn = RowPicture.of(paper.history, paper.standing, paper.rule, unit=paper.unit, further=paper.further)
    listed = RowReadings(paper)
    read = len(listed.readings) > 0
    full = len(listed.readings) <= FULL_LIST
    history, zone = paper.history, paper.history.zone
    standing = paper.standing
    return RowSheet(
        title=f"Row sheet: {paper.history.row}, {paper.yard.name or 'a yard without a name'}",
        yard=paper.yard.name or "A yard without a name",
        place=paper.yard.place,
        invented=paper.yard.invented,
        row=history.row,
        laid=_laid(paper),
        built_of=_built_of(paper),
        dates=_dates(paper),
        rule=_rule(paper),
        memory=(paper.rule is not None and paper.rule.known == "MEMORY")
        or standing.standing.known == "MEMORY",
        verdict=verdict(standing.standing),
        without=verdict(standing.without_suspects) if standing.without_suspects else None,
        suspects=row_lists.suspects(listed),
        strip=Picture(heat_strip(drawn, PAPER_WIDTH) if read else "", strip_words(drawn)),
        curve=Picture(temperature_curve(drawn, PAPER_WIDTH) if read else "", curve_words(drawn)),
        grids=grids(listed, standing.standing, with_hottest=not full),
        readings=row_lists.readings(listed) if full else (),
        readings_note=row_lists.readings_note(paper, listed, full=full),
        turns=turn_lines(paper),
        given=row_lists.events(paper, entries.Watered, entries.Covered),
        measured=row_lists.events(paper, entries.Measured),
        others=row_lists.events(paper, entries.Note, entries.Incident, entries.Merged, entries.MovedToCuring),
        struck=row_lists.struck(paper),
        late=row_lists.late(paper),
        missing=tuple(missing(paper)),
        kept=keeping_words(paper.rule.id if paper.rule else "", paper.head.written.astimezone(zone).year),
        head=(
            ("Newest line of the book", str(paper.head.line)),
            ("written", f"{paper.head.written.astimezone(zone):%Y-%m-%d %H:%M %z}"),
            ("Handbook edition", paper.edition),
        ),
        seal=head_text(paper.head),
        seal_short=head_short(paper.head),
        qr=seal_code(paper.head),
        caution=CAUTION,
        made=paper.head.written.astimezone(zone).isoformat(),
    )


def _laid(paper: RowPaper) -> str:
    built = paper.history.built
    if built is None and (part := paper.history.split_from) is not None:
        return (
            f"A part of row {part[1]}, moved apart on {long_date(part[0].day)} (line {part[0].line.number})."
        )
    if built is None:
        return "When it was built is not written down."
    event, what = built
    parts = [part.material for part in what.parts]
    made = (
        f"{', '.join(parts[:-1])} and {parts[-1]}"
        if len(parts) > 1
        else "".join(parts) or "Material not said"
    )
    sizes = [
        f"{amount_words(amount)} {word}"
        for amount, word in (
            (what.length, "long"),
            (what.width, "wide"),
            (what.height, "high"),
            (what.volume, "in all"),
        )
        if amount
    ]
    where = f", on strip {what.strip}" if what.strip else ""
    return (
        f"{made[0].upper()}{made[1:]}, laid {long_date(event.day)}{where}"
        + "".join(f", {s}" for s in sizes)
        + "."
    )


def _built_of(paper: RowPaper) -> Rows:
    return tuple(
        (part.material, amount_words(part.amount), part.load, str(event.line.number))
        for event, what in paper.history.of(entries.RowBuilt)
        for part in what.parts
    )


def _dates(paper: RowPaper) -> Rows:
    history, zone = paper.history, paper.history.zone
    found = [
        ("built", said.happened(event.line.entry, zone), str(event.line.number))
        for event, _ in history.of(entries.RowBuilt)
    ]
    readings = history.readings
    for word, index in (("first reading", 0), ("last reading", -1)):
        if len(readings):
            found.append((word, long_date(int(readings.day[index])), str(readings.line[index])))
    found += [
        ("moved to curing", said.happened(event.line.entry, zone), str(event.line.number))
        for event, _ in history.of(entries.MovedToCuring)
    ]
    found += [
        (said.saying(what), said.happened(event.line.entry, zone), str(event.line.number))
        for event in history.events
        if isinstance(what := event.line.entry.what, MOVED)
    ]
    if paper.standing.since:
        found.append(("proof began anew", "from this line on", str(paper.standing.since)))
    return tuple(found)


def _other(paper: RowPaper, policy: str, value: str) -> str:
    """Another reading of the text, with the verdict it would give where that is known."""
    verdict = paper.otherwise.get((policy, value))
    if verdict is None:
        return value.replace("_", " ")
    return f"{value.replace('_', ' ')} (then: {STATES[verdict].lower()})"


def _rule(paper: RowPaper) -> tuple[Pair, ...]:
    rule, standing = paper.rule, paper.standing.standing
    if rule is None:
        return (("Rule", "none is chosen for this row, or the one chosen is not in the handbook"),)
    read = (
        "read"
        if rule.known == "READ"
        else "the text of this rule was not read; shown from memory, lay the text itself beside this paper"
    )
    pairs = [
        ("Rule", f"{rule.id}, {rule.jurisdiction}"),
        ("Clause", rule.clause),
        ("What it asks", rule.meaning),
        ("Its status", rule.status),
        ("Its text", read),
    ]
    for name, chosen in sorted(standing.policies.items()):
        others = [_other(paper, name, other) for other in rule.open.get(name, ()) if other != chosen]
        left = f"; the text also allows {', '.join(others)}" if others else ""
        pairs.append((f"Read by {name.replace('_', ' ')}", f"{chosen.replace('_', ' ')}{left}"))
    pairs += [(f"Fact: {name.replace('_', ' ')}", value) for name, value in sorted(paper.facts.items())]
    pairs += [("Left open", text) for text in rule.ambiguity]
    pairs += [("Source", paper.sources.get(key, key)) for key in rule.sources]
    return tuple(pairs)
