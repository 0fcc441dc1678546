"""A lot's papers: what an inspector reads, and the story anyone may, with nothing private in it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal
from zoneinfo import ZoneInfo

from turnrow.handbook.quality import raw_use
from turnrow.lots.recall import Kin, Recall
from turnrow.lots.standing import Inherited
from turnrow.quality.bioassay import Grown
from turnrow.quality.found import Figure
from turnrow.quality.maturity import SchemeClass, in_schemes
from turnrow.quality.release import Ask, Release, raw_sentences
from turnrow.records import said
from turnrow.records.curve import curve_words, temperature_curve
from turnrow.records.goods_said import found
from turnrow.records.keeping import keeping_words
from turnrow.records.marks import amount_words
from turnrow.records.plain_sheet import Fact, Part, PlainSheet, Table, plain_sheet
from turnrow.records.row_paper import HeadSeal
from turnrow.records.row_picture import RowPicture, long_date
from turnrow.records.verdict import VERDICTS, beside_words, few_lines, line_list
from turnrow.sanitation.standing import Said, Standing
from turnrow.yard import goods
from turnrow.yard.entries import Line, YardLaidOut

WIDTH = 640.0  # px of a row's curve
CARE = (
    "Compost can carry spores and, where heat was not proven, germs: keep dust down, wear a mask that fits, "
    "wash hands, keep cuts covered. Hay, straw and manure can carry herbicides: grow a few beans or tomatoes "
    "in it first. Local rules, certifiers and labs come before anything said here."
)
KNOWN = "READ: the text was seen; MEMORY: recalled, still to be checked against it."
NO_ROW = Fact("No row is in it.")
NOT_RELEASED = Fact("Not released.")
StandsAs = Literal["called back", "not released", "failed", "in doubt", "proven", "treated as raw"]
USABLE: tuple[StandsAs, ...] = ("proven", "treated as raw")
DO_NOT_USE: dict[StandsAs, str] = {
    "called back": "This lot has been called back. Do not use it.",
    "failed": "This lot was found to fail after it was released. Do not use it; ask the yard.",
}
USES: dict[StandsAs, str] = {
    "called back": "Nothing: it has been called back.",
    "not released": "It has not been released; it is not for sale.",
    "failed": "Nothing: it was found to fail after it was released.",
    "in doubt": "It was released as proven, which is not shown any more. Ask the yard before you use it.",
    "proven": "It was released as proven.",
    "treated as raw": "It was released as raw material, with these limits.",
}
STATES = {"proven": "shown", "missing": "missing", "failed": "failed"}


@dataclass(frozen=True, eq=False)
class RowInLot:
    """A row that went into a lot, as it stood when it was taken; `share` of the lot, None where not known."""

    row: str
    share: float | None
    picture: RowPicture
    standing: Standing
    turns: tuple[str, ...]  # "3 May 2026"
    line: int
    beside: tuple[Said, ...] = ()  # what stands beside its verdict wherever it goes
    by: str = ""  # "row R4": what it went into first, where it was not taken into the lot itself


@dataclass(frozen=True, eq=False)
class LotPaper:
    """All that a lot's papers say, gathered by whoever holds the book.

    materials  (what, share of the lot, lines): the loads of one material together
    figures    that speak for the lot
    gives      sentences on what a tonne of it holds, from its analysis
    closes     sentences on its weights
    lost       what is known where it was released as proven and is not shown to be now, each with its lines
    against    the same of releases that stand against what was on record when they were written
    backs      what came back of its loads out
    samples    taken of it, by line
    grown      growth tests of it, each with what it says; herbicide: advice where its inputs ask for one
    """

    yard: YardLaidOut
    head: HeadSeal
    zone: ZoneInfo
    edition: str
    lot: str
    made: Line
    holds: str
    inherited: Inherited
    release: Release
    classes: tuple[SchemeClass, ...]
    recall: Recall
    materials: tuple[tuple[str, float | None, tuple[int, ...]], ...]
    rows: tuple[RowInLot, ...]
    figures: tuple[Figure, ...]
    notes: tuple[str, ...]
    released: tuple[tuple[Line, goods.Released], ...]
    recalled: tuple[tuple[Line, goods.Recalled], ...]
    tickets: tuple[tuple[Line, goods.LoadOut], ...]
    backs: tuple[tuple[Line, goods.LoadBack], ...] = ()
    samples: tuple[tuple[Line, goods.Sampled], ...] = ()
    grown: tuple[tuple[Line, goods.GrowthTest, Grown], ...] = ()
    herbicide: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    lost: tuple[tuple[str, tuple[int, ...]], ...] = ()
    against: tuple[tuple[str, tuple[int, ...]], ...] = ()
    answers: tuple[tuple[str, str, tuple[int, ...]], ...] = ()  # (what an inspector asks, answer, lines)


def lot_sheet(paper: LotPaper) -> PlainSheet:
    """The lot paper for an inspector: every fact beside its lines."""
    return plain_sheet(
        paper.yard,
        paper.head,
        paper.zone,
        title=f"Lot {paper.lot}",
        lead=f"Made {said.happened(paper.made.entry, paper.zone)} (line {paper.made.number}). {paper.holds}",
        parts=(
            *_called_back(paper),
            *_in_doubt(paper),
            Part("May it leave", (_leave(paper.release),), _asks(paper.release.asks)),
            Part("What it was made of", table=_materials(paper, lines=True), after=_gaps(paper)),
            Part("How hot it was", tuple(_row_fact(one) for one in paper.rows) or (NO_ROW,)),
            *(_row_picture(one) for one in paper.rows),
            _samples(paper),
            _tests(paper),
            *_growth(paper),
            Part("Released", _releases(paper)),
            _went(paper),
            *((Part("Its weights", tuple(map(Fact, paper.closes))),) if paper.closes else ()),
            *_answered(paper),
            Part("What is not shown here", _not_shown(paper)),
            Part("", (Fact(f"Handbook edition {paper.edition}. {KNOWN}"),)),
        ),
        caution=CARE,
        sign="Read by",
    )


def story_sheet(paper: LotPaper) -> PlainSheet:
    """The lot's public story: materials, heat, turns, tests, use. No names, no prices, no buyers."""
    return plain_sheet(
        paper.yard,
        paper.head,
        paper.zone,
        title=f"The story of lot {paper.lot}",
        lead=f"Made {long_date(paper.made.entry.happened.astimezone(paper.zone).toordinal())}.",
        parts=(
            *(
                (Part("", (Fact(DO_NOT_USE[how], urgent=True),)),)
                if (how := stands_as(paper)) in DO_NOT_USE
                else ()
            ),
            Part("What went in", table=_materials(paper, lines=False)),
            Part("How hot it was", tuple(Fact(_row_words(one)) for one in paper.rows)),
            *(_row_picture(one) for one in paper.rows),
            _tests(paper, lines=False),
            Part("What it is good for", _good_for(paper)),
        ),
        caution=CARE,
    )


def _do_not_use(paper: LotPaper) -> tuple[Part, ...]:
    said = DO_NOT_USE.get(stands_as(paper))
    return (Part("", (Fact(said, urgent=True),)),) if said else ()


def _called_back(paper: LotPaper) -> tuple[Part, ...]:
    if not paper.recalled:
        return ()
    facts = [
        Fact(f"Called back: {what.reason}", str(line.number), urgent=True) for line, what in paper.recalled
    ]
    buyers = ", ".join(paper.recall.customers)
    told = ", ".join(dict.fromkeys(name for _, what in paper.recalled for name in what.told))
    facts.append(Fact(f"Buyers: {buyers or 'none'}. Told so far: {told or 'none'}."))
    return (Part("", tuple(facts)),)


def _in_doubt(paper: LotPaper) -> tuple[Part, ...]:
    """A release that stands no more, or never could: above all else, and no recall."""
    facts = [Fact(text, line_list(lines), urgent=not n) for n, (text, lines) in enumerate(paper.lost)]
    facts += [Fact(text, line_list(lines), urgent=True) for text, lines in paper.against]
    return (Part("", tuple(facts)),) if facts else ()


def _asks(asks: Sequence[Ask]) -> Table:
    rows = tuple(
        (line_list(ask.lines), STATES[ask.state], ask.what, ask.sentence, f"{ask.rule} ({ask.known})")
        for ask in asks
    )
    return Table(("lines", "", "what", "", "rule, how known"), rows, (0.7, 1.1, 3.6, 1.8))


def _gaps(paper: LotPaper) -> tuple[Fact, ...]:
    """Where a source was not named, so that the list above may lack something."""
    return tuple(Fact(f"Gap in the record: {said}", str(line)) for said, line in paper.recall.gaps)


def _materials(paper: LotPaper, *, lines: bool) -> Table:
    rows = tuple(
        (few_lines(at) if lines else "", what, "not known" if share is None else f"{100 * share:.3g} %")
        for what, share, at in paper.materials
    )
    return Table(
        ("lines" if lines else "", "material", "of the lot’s mass as it was taken"), rows, (2, 1.4), (2,)
    )


def _row_words(one: RowInLot) -> str:
    word, _ = VERDICTS[one.standing.verdict]
    share = "" if one.share is None else f", {100 * one.share:.3g} % of it"
    turns = f"turned {len(one.turns)} times ({', '.join(one.turns)})" if one.turns else "not turned"
    rule = f" under {one.standing.rule}" if one.standing.rule else ""
    by = f", by way of {one.by}" if one.by else ""
    beside = "".join(f" {words}" for words in beside_words(one.beside))
    hot = f"{one.standing.hot_days} days proven hot, " if one.standing.hot_days else ""
    stood = f"{word[:1].lower()}{word[1:]}{rule} when it was taken"
    return f"Row {one.row}{share}{by}: {stood}; {hot}{turns}.{beside}"


def _row_fact(one: RowInLot) -> Fact:
    return Fact(_row_words(one), few_lines((one.line, *one.standing.lines)))


def _row_picture(one: RowInLot) -> Part:
    if not len(one.picture.readings):
        return Part("", (Fact(f"Row {one.row} was never read."),))
    return Part("", picture=temperature_curve(one.picture, WIDTH), words=curve_words(one.picture))


def _tests(paper: LotPaper, *, lines: bool = True) -> Part:
    rows = tuple(
        (
            str(one.line) if lines and one.line else "",
            one.day.isoformat(),
            one.result.analyte,
            found(one.result),
            one.result.method,
            one.lab,
        )
        for one in paper.figures
    )
    if not rows:
        return Part("Tests", (Fact("No lab result is on record for it."),))
    classes = tuple(Fact(one.sentence) for one in paper.classes if one.state == "told")
    table = Table(
        ("line" if lines else "", "sampled", "what", "found", "method", "lab"), rows, (1, 1.4, 1.5, 1.2, 1.7)
    )
    return Part("Tests", table=table, after=(*classes, *(Fact(one) for one in paper.notes)))


def _samples(paper: LotPaper) -> Part:
    """Who took what, from how many places, how it was kept and where it went; what of that nobody wrote."""
    facts = tuple(
        Fact(
            f"{said.happened(line.entry, paper.zone)}, {line.entry.who}: {said.saying(what)}; "
            f"{amount_words(what.mass) if what.mass else 'its mass not written'}, "
            f"{what.container or 'its container not written'}, {'cooled' if what.cooled else 'not cooled'}"
            f"{'' if what.sent_to else ', where it went not written'}.",
            str(line.number),
        )
        for line, what in paper.samples
    )
    return Part(
        "Samples", facts or (Fact("No sampling of it is on record; a result without one has no chain."),)
    )


def _not_shown(paper: LotPaper) -> tuple[Fact, ...]:
    """What an inspector may ask that the diary does not say, so that nobody takes silence for proof."""
    bare = tuple(sorted({one.line for one in paper.figures if one.line and not one.result.method}))
    facts = [
        Fact("Method not written for every figure of these lines.", line_list(bare)) if bare else None,
        Fact("Readings, turns and checks of probes day by day stand on each row’s sheet, with line numbers."),
        Fact("Permits and the yard’s own manual are not recorded."),
        *(
            Fact(keeping_words(rule, paper.head.written.astimezone(paper.zone).year))
            for rule in sorted({one.standing.rule or "" for one in paper.rows} or {""})
        ),
    ]
    return tuple(one for one in facts if one is not None)


def _answered(paper: LotPaper) -> Iterator[Part]:
    """What an inspector asks next, a question a part."""
    for asked in dict.fromkeys(one[0] for one in paper.answers):
        yield Part(asked, tuple(Fact(text, line_list(at)) for of, text, at in paper.answers if of == asked))


def _growth(paper: LotPaper) -> tuple[Part, ...]:
    """Growth tests pot by pot, what they say and what they may not count for; herbicide advice."""
    if not paper.grown and not paper.herbicide:
        return ()
    facts = [_grown(paper, *one) for one in paper.grown]
    if not paper.grown:
        facts.append(Fact("No growth test of it is on record."))
    return (Part("Growth tests", (*facts, *map(Fact, paper.herbicide))),)


def _grown(paper: LotPaper, line: Line, test: goods.GrowthTest, grown: Grown) -> Fact:
    told = said.saying(test)
    words = (*grown.sentences, *in_schemes(paper.classes, line.number), *grown.doubts)
    return Fact(f"{told[:1].upper()}{told[1:]}. {' '.join(words)}", str(line.number), urgent=grown.harm)


def _leave(release: Release) -> Fact:
    return Fact(release.sentence, line_list(release.lines), strong=True)


def _releases(paper: LotPaper) -> tuple[Fact, ...]:
    return tuple(_released(line, what, paper.zone) for line, what in paper.released) or (NOT_RELEASED,)


def _released(line: Line, what: goods.Released, zone: ZoneInfo) -> Fact:
    limits = f" {' '.join(what.limits)}" if what.limits else ""
    when = said.happened(line.entry, zone)
    return Fact(
        f"{when}: by {what.name}, as {what.how}; {what.rule} stood at {what.verdict}, read up to line "
        f"{what.upto}.{limits}",
        str(line.number),
    )


def stands_as(paper: LotPaper) -> StandsAs:
    """What a buyer may take the lot for now, whatever its last release said."""
    if paper.recalled:
        return "called back"
    if not paper.released:
        return "not released"
    if paper.release.of("failed"):
        return "failed"
    return "in doubt" if paper.lost else paper.released[-1][1].how


def until_shown(how: StandsAs) -> tuple[str, ...]:
    """What holds for whoever has some of a lot that is not shown to be proven: it counts as raw."""
    return raw_sentences(raw_use()) if how in ("not released", "in doubt") else ()


def _good_for(paper: LotPaper) -> tuple[Fact, ...]:
    """What to do with it, and what it gives where it may be used."""
    how = stands_as(paper)
    if how not in USABLE:
        return tuple(Fact(one) for one in (USES[how], *until_shown(how)))
    limits = paper.released[-1][1].limits
    return tuple(Fact(one) for one in (USES[how], *limits, *paper.gives))


def _went(paper: LotPaper) -> Part:
    rows = tuple(
        (
            str(line.number),
            said.happened(line.entry, paper.zone),
            out.ticket,
            out.customer,
            amount_words(out.amount),
        )
        for line, out in paper.tickets
    )
    more = (
        *(Fact(_back(line, what, paper.zone), str(line.number)) for line, what in paper.backs),
        *(Fact(_kin(one), str(one.line)) for one in paper.recall.forward if one.account.kind != "ticket"),
    )
    if not rows and not more:
        return Part("Where it went", (Fact("None of it has left, or gone into anything else."),))
    table = Table(("line", "when", "ticket", "to", "how much"), rows, (1.4, 1, 2, 1), (4,)) if rows else None
    return Part("Where it went", table=table, after=more)


def _back(line: Line, what: goods.LoadBack, zone: ZoneInfo) -> str:
    return f"{said.happened(line.entry, zone)}: {said.saying(what)}."


def _kin(one: Kin) -> str:
    share = "not known" if one.share is None else f"{100 * one.share:.3g} %"
    return f"In {one.account.said()}: {share} of that."


def share_of(parts: Sequence[float | None]) -> float | None:
    """The shares of several things together; None where one is not known."""
    total = Fraction(0)
    for one in parts:
        if one is None:
            return None
        total += Fraction(one)
    return float(total)
