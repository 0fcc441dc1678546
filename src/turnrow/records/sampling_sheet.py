"""The sheet that travels with a sample: what of, how taken, what to look for, and every hand it goes through.

Pure: from plain arguments, the same bytes each time. What is not yet known is a line to write on.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from msgspec import Struct

from turnrow.quality.herbicide import HerbicideCheck
from turnrow.quality.sampling import Due
from turnrow.records.marks import amount_words
from turnrow.records.row_paper import HeadSeal
from turnrow.records.seal import head_short, head_text, seal_code
from turnrow.yard.entries import Line, YardLaidOut
from turnrow.yard.goods import Sampled

HANDS = 5  # lines for those it goes through
CAUTION = (
    "Unproven material can hold germs, and dry compost gives off spores: gloves, washed hands, a mask that "
    "fits where it is dusty. Sample only where it is safe to stand and dig: never into a row that smokes or "
    "slides, nor near a turning machine. The lab's own instructions on jars, cooling "
    "and times come before these."
)


class Wanted(Struct, frozen=True):
    """One thing to look for; `why` the limit sets or schemes that ask it; `had` true where it is tested."""

    analyte: str
    unit: str
    basis: str
    why: str
    had: bool


@dataclass(frozen=True)
class SamplingPaper:
    """All a sampling sheet says.

    made    what the lot is and was made of, one sentence, with its lines
    due     None where no plan is chosen or its state cannot be told; `open` says why
    places  sub-samples one composite is made of; steps: how it is taken
    taken   samples of the lot on record, oldest first
    """

    yard: YardLaidOut
    head: HeadSeal
    zone: ZoneInfo
    lot: str
    made: str
    made_lines: tuple[int, ...]
    due: Due | None
    open: str
    places: int
    steps: tuple[str, ...]
    wanted: tuple[Wanted, ...]
    taken: tuple[tuple[Line, Sampled], ...]
    herbicide: HerbicideCheck


class Taken(Struct, frozen=True):
    text: str
    lines: str


class SamplingSheet(Struct, frozen=True):
    title: str
    yard: str
    place: str
    invented: bool
    heading: str
    what: Taken
    due: str
    urgent: bool
    wanted: tuple[tuple[str, str, str, str, str], ...]
    wanted_note: str
    steps: tuple[str, ...]
    places: tuple[str, ...]
    taken: tuple[Taken, ...]
    blanks: tuple[str, ...]
    hands: int
    herbicide: tuple[str, ...]
    caution: str
    seal: str
    seal_short: str
    qr: str
    made: str
    made_from: str


def sampling_sheet(paper: SamplingPaper) -> SamplingSheet:
    """The sheet for a lot's next sample, with those that were taken."""
    title = f"Sampling sheet: lot {paper.lot}, {paper.yard.name or 'a yard without a name'}"
    rows = tuple(
        (one.analyte, one.unit, one.basis, one.why, "tested" if one.had else "") for one in paper.wanted
    )
    none = "The yard asks no test of its lots; ask the buyer and the local rule what to look for."
    return SamplingSheet(
        title=title,
        yard=paper.yard.name or "A yard without a name",
        place=paper.yard.place,
        invented=paper.yard.invented,
        heading=f"Sample of lot {paper.lot}",
        what=Taken(paper.made, _lines(paper.made_lines)),
        due=_due(paper),
        urgent=paper.due is not None and paper.due.overdue,
        wanted=rows,
        wanted_note="" if rows else none,
        steps=paper.steps,
        places=tuple(str(number) for number in range(1, paper.places + 1)),
        taken=tuple(_taken(line, what, paper.zone) for line, what in paper.taken),
        blanks=(
            "Label of this sample",
            "Taken by",
            "Day and hour",
            "Mass",
            "Put in",
            "Weather",
            "Sent to",
            "Sent how",
        ),
        hands=HANDS,
        herbicide=paper.herbicide.sentences if paper.herbicide.advised else (),
        caution=CAUTION,
        seal=head_text(paper.head),
        seal_short=head_short(paper.head),
        qr=seal_code(paper.head),
        made=paper.head.written.astimezone(paper.zone).isoformat(),
        made_from=f"Made from the diary up to line {paper.head.line}.",
    )


def _due(paper: SamplingPaper) -> str:
    if paper.due is None:
        return paper.open or "No sampling plan is chosen."
    due = paper.due
    memory = " The plan's text was not read here; it is from memory." if due.known == "MEMORY" else ""
    when = "" if due.due is None else f"Due by {due.due.isoformat()} under {due.plan}. "
    before = " The result must be in hand before any of it leaves." if due.before_removal else ""
    return f"{when}{due.sentence}{before}{memory}"


def _taken(line: Line, what: Sampled, zone: ZoneInfo) -> Taken:
    when = line.entry.happened.astimezone(zone)
    day = f"{when:%Y-%m-%d}" if line.entry.day_only else f"{when:%Y-%m-%d %H:%M}"
    parts = [f"Sample {what.sample}, taken {day} by {line.entry.who} from {what.increments} places"]
    parts += [amount_words(what.mass)] if what.mass else []
    parts += [f"in {what.container}"] if what.container else []
    parts += ["kept cool"] if what.cooled else []
    parts += [f"sent to {what.sent_to}"] if what.sent_to else []
    return Taken(f"{', '.join(parts)}.", str(line.number))


def _lines(numbers: Sequence[int]) -> str:
    return ", ".join(map(str, sorted(set(numbers))[:6]))
