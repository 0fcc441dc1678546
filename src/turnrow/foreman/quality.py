"""What a lot is and what it may leave as: gathers figures, samples and heat from the diary, asks the heart.

`lot_quality` looks; `release_wrongs` is asked by the desk before a release is written. It reckons nothing.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol
from zoneinfo import ZoneInfo

from turnrow.foreman.lot_figures import Lab, LotFigures, lot_figures
from turnrow.foreman.rules import Choice
from turnrow.foreman.sampling_state import sampling_state
from turnrow.handbook.analytes import analyte_named
from turnrow.handbook.quality import (
    herbicide_inputs,
    limit_sets,
    raw_use,
    schemes,
    sets_known_for,
    yearly_metals,
)
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.lots.standing import RAW, Beside, inherited
from turnrow.quality import herbicide, part503
from turnrow.quality.found import Figure
from turnrow.quality.herbicide import HerbicideCheck
from turnrow.quality.limits import Judgement, Stream, judge
from turnrow.quality.maturity import SchemeClass, scheme_class
from turnrow.quality.release import (
    Ask,
    Heat,
    Heated,
    LotFacts,
    Release,
    Wanted,
    fails_after_release,
    may_release,
    raw_sentences,
)
from turnrow.quality.sampling import Due
from turnrow.records.verdict import beside_words
from turnrow.sanitation.standing import WORST, RowStanding
from turnrow.yard import goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry
from turnrow.yard.evidence import Certified
from turnrow.yard.goods import QualityAsked, Released, Result
from turnrow.yard.numbers import MICRO
from turnrow.yard.wrongs import Refusal, shown

NOTHING_ASKED = QualityAsked()
GROWTH = ("emergence", "vigour")
BESIDE = ("moisture", "dry matter", "organic matter", "ash")  # that a basis is changed by
UNFOLLOWED = "The diary does not follow what it was made of; put right the line that made it."
HEATS: Mapping[str, Heat] = {one: one for one in WORST}
FOR_EVER = 2**62


class Looking(Protocol):
    """What is needed of the desk."""

    diary: Diary

    @property
    def lots(self) -> Ledger: ...

    @property
    def zone(self) -> ZoneInfo: ...

    def standing(self, row: str, upto_s: int = FOR_EVER) -> RowStanding: ...

    def standing_under(self, row: str, rule: str, upto_s: int = FOR_EVER) -> RowStanding: ...

    def choice(self, row: str, upto_s: int = FOR_EVER) -> Choice: ...


@dataclass(frozen=True)
class LotQuality:
    """All there is to say of a lot's quality.

    asked     what the yard asks, and the line that says so; 0 where none does
    judged    each limit set asked, held against the lot's figures
    classes   every scheme's class, asked or not
    newest    the newest line any of it rests on; a release must have read that far
    """

    lot: str
    asked: QualityAsked
    asked_line: int
    figures: LotFigures
    judged: tuple[Judgement, ...]
    classes: tuple[SchemeClass, ...]
    due: Due | None
    herbicide: HerbicideCheck
    release: Release
    rule: str
    verdict: str
    newest: int


def asked_of_lots(diary: Diary) -> tuple[int, QualityAsked]:
    """(line, what the yard asks of its lots); line 0 and nothing before it was written."""
    told = diary.all(QualityAsked)
    return (told[-1][0].number, told[-1][1]) if told else (0, NOTHING_ASKED)


@dataclass(frozen=True)
class Seen:
    """What is the same for every lot: what is asked, all results, the sampling plan's state."""

    line: int
    asked: QualityAsked
    lab: Lab
    state: Due | str | None

    @classmethod
    def of(cls, desk: Looking, now: datetime) -> "Seen":
        line, asked = asked_of_lots(desk.diary)
        state = sampling_state(desk.diary, desk.lots, asked.plan, now) if asked.plan else None
        return cls(line, asked, Lab(desk.diary), state)


def lot_quality(desk: Looking, lot: str, now: datetime, seen: Seen | None = None) -> LotQuality:
    """A lot's quality as the diary stands. KeyError for a lot it does not make.

    seen  `Seen.of(desk, now)`, for whoever looks at many lots
    """
    seen = seen or Seen.of(desk, now)
    line, asked, lab, state = seen.line, seen.asked, seen.lab, seen.state
    diary, today = desk.diary, now.astimezone(desk.zone).date()
    told = lot_figures(lab, lot)
    figures = (*told.counted, *_cured(diary, told.rows, today))
    classes = tuple(scheme_class(scheme, figures, asked.edge) for scheme in schemes().values())
    due, unplanned = (state, "") if not isinstance(state, str) else (None, state)
    heat, heat_lines, taken, rules = _heat(desk, lot)
    part = _part_503(desk, lot, asked, rules, taken, figures)
    chosen = (*asked.limits, *(name for name in part.sets if name not in asked.limits))
    judged = tuple(_judged(name, told, figures, lab.stream, today) for name in chosen)
    known = tuple(
        _judged(one.id, told, figures, lab.stream, today)
        for one in sets_known_for(rules)
        if one.id not in chosen
    )
    check = _herbicide(desk, lot, told)
    facts = LotFacts(
        lot=lot,
        heat=heat,
        limits=judged,
        known=known,
        asks=part.asks,
        beside=part.beside,
        wanted=tuple(_wanted(classes, scheme, word) for scheme, word in asked.maturity.items()),
        due=due,
        sampled=told.sampled,
        unplanned=unplanned,
        held=tuple((w.reason, at.number) for at, w in diary.all(goods.Recalled) if w.lot == lot),
        herbicide=check,
    )
    release = may_release(facts, raw_use())
    newest = max((line, *told.lines, *release.lines, *heat_lines))
    return LotQuality(
        lot, asked, line, told, judged, classes, due, check, release, heat.rule, heat.verdict, newest
    )


def release_fields(found: LotQuality, name: str) -> dict[str, str]:
    """The fields of a release as it may be written now, for whoever shows the form. ValueError for a lot
    that may not leave at all."""
    if found.release.can_be == "not at all":
        raise ValueError(f"lot {found.lot} may not leave: {found.release.sentence}")
    return {
        "lot": found.lot,
        "name": name,
        "how": found.release.can_be,
        "rule": found.rule,
        "verdict": found.verdict,
        "upto": str(found.newest),
        "limits": "\n".join(found.release.limits),
    }


def release_wrongs(desk: Looking, entry: Entry, now: datetime) -> tuple[Refusal, ...]:
    """What stands against a release, every reason; empty for other entries and for one that may be."""
    what = entry.what
    if not isinstance(what, Released):
        return ()
    if Account("lot", what.lot) not in desk.lots.node_of:
        return (Refusal("field lot", shown(what.lot), UNFOLLOWED),)
    found = lot_quality(desk, what.lot, now)
    release = found.release
    wrongs = []
    if release.can_be == "not at all":
        failed = release.of("failed")
        said = [ask.sentence for ask in failed] or [release.sentence]
        wrongs += [Refusal("field lot", shown(what.lot), f"It may not leave. {one}") for one in said]
    elif what.how == "proven" and release.can_be != "proven":
        wrongs += [
            Refusal(
                "field how", "'proven'", f"It is not proven: {ask.sentence} Or release it treated as raw."
            )
            for ask in release.of("missing")
        ]
    if what.how == "treated as raw" and release.can_be != "not at all":
        wrongs += _unprinted(what, release)
    told = (
        ("rule", what.rule, found.rule),
        ("verdict", what.verdict.upper().replace(" ", "_"), found.verdict),
    )
    wrongs += [
        Refusal(f"field {name}", shown(got), f"It stands at {want} now; look at the lot again.")
        for name, got, want in told
        if got != want
    ]
    if what.upto < found.newest:
        do = f"Line {found.newest} says more of this lot; read up to it, then release."
        wrongs.append(Refusal("field upto", str(what.upto), do))
    return tuple(wrongs)


def to_call_back(desk: Looking, now: datetime) -> tuple[tuple[str, tuple[Ask, ...]], ...]:
    """Lots released and not yet called back that have failed since, each with what failed."""
    released = dict.fromkeys(what.lot for _, what in desk.diary.all(Released))
    called = {what.lot for _, what in desk.diary.all(goods.Recalled)}
    found, seen = [], Seen.of(desk, now)
    for lot in released:
        failed = () if lot in called else fails_after_release(lot_quality(desk, lot, now, seen).release)
        if failed:
            found.append((lot, failed))
    return tuple(found)


def _unprinted(what: Released, release: Release) -> list[Refusal]:
    wanted = release.limits if release.can_be == "treated as raw" else raw_sentences(raw_use())
    given = {" ".join(one.split()) for one in what.limits}
    left = [one for one in wanted if " ".join(one.split()) not in given]
    return [Refusal("field limits", "without it", f"Print with it: {one}") for one in left]


def _judged(name: str, told: LotFigures, figures: tuple[Figure, ...], stream: Stream, on: date) -> Judgement:
    """A limit set held against the lot's figures, and against what fails in a part of it."""
    limits = limit_sets()[name]
    fails = {
        one.analyte for one in judge(limits, told.partial, on).each if one.verdict == "FAIL" and not one.other
    }
    failing = [one for one in told.partial if fails and _named(one) in {*fails, *BESIDE}]
    return judge(limits, (*figures, *failing), on, stream)


def _named(figure: Figure) -> str:
    analyte = analyte_named(figure.result.analyte)
    return "" if analyte is None else analyte.of or analyte.name


def _cured(diary: Diary, rows: tuple[str, ...], today: date) -> tuple[Figure, ...]:
    """Days of curing as a figure, from the latest move to curing among the lot's rows; none where one row
    never was moved."""
    moved = [diary.history(row).curing for row in rows if row in diary.rows]
    latest = [one for one in moved if one is not None]
    if not latest or len(latest) < len(rows):
        return ()
    last = max(latest, key=lambda one: one.at)
    many = max(today.toordinal() - last.day, 0)
    return (Figure(Result(analyte="curing days", amount=Amount(many * MICRO, "d")), today, last.line.number),)


@dataclass(frozen=True)
class _Part503:
    """What Part 503 asks of the lot: limit sets, other asks, and what is printed with it."""

    sets: tuple[str, ...] = ()
    asks: tuple[Ask, ...] = ()
    beside: tuple[str, ...] = ()


def _part_503(
    desk: Looking,
    lot: str,
    wanted: QualityAsked,
    rules: tuple[str, ...],
    taken: tuple[tuple[str, int], ...],
    figures: tuple[Figure, ...],
) -> _Part503:
    if not part503.binds(rules):
        return _Part503()
    if wanted.part_503 == "heat alone":
        return _Part503(beside=(part503.HEAT_ALONE,))
    aired = []
    for row, at_s in taken:
        found = desk.standing_under(row, part503.VECTOR_RULE, at_s).standing
        aired.append(part503.Aired(row, found.verdict, found.short_of, found.lines, found.known))
    signed = [(line.number, what.name) for line, what in desk.diary.all(Certified) if what.lot == lot]
    asks = part503.asked(rules, aired, signed)
    if wanted.part_503 == "all":
        return _Part503(part503.SETS, asks)
    rate, label = part503.yearly_rate(figures, yearly_metals())
    return _Part503(part503.YEARLY_SETS, (*asks, rate), label)


def _heat(
    desk: Looking, lot: str
) -> tuple[Heated, tuple[int, ...], tuple[tuple[str, int], ...], tuple[str, ...]]:
    """The worst standing of what is in the lot, each row under its own rule as it stood when taken; the lines
    read for it, (row, moment taken) of each row, and the rules."""
    rules: dict[str, str] = {}

    def of_row(row: str, at_s: int) -> tuple[str, Beside]:
        if row not in desk.diary.rows:
            return RAW, ()
        found = desk.standing(row, at_s)
        standing = found.standing
        taken.append((row, at_s))
        rules[standing.rule or "none chosen"] = standing.known
        lines.update(standing.lines)
        return standing.verdict, found.beside

    lines: set[int] = set()
    taken: list[tuple[str, int]] = []
    found = inherited(desk.lots, lot, of_row, WORST)
    known = "MEMORY" if "MEMORY" in rules.values() else "READ"
    heat = Heated(
        HEATS[found.verdict],
        ", ".join(rules)[:60] or "none chosen",
        " ".join((*found.because, *beside_words(found.beside))),
        found.lines,
        known,
    )
    return heat, tuple(lines), tuple(dict.fromkeys(taken)), tuple(rules)


def _wanted(classes: tuple[SchemeClass, ...], scheme: str, word: str) -> Wanted:
    found = next(one for one in classes if one.scheme == scheme)
    ranks = [step.rank for ladder in schemes()[scheme].ladders for step in ladder.steps if step.word == word]
    return Wanted(found, max(ranks, default=1))


def _herbicide(desk: Looking, lot: str, told: LotFigures) -> HerbicideCheck:
    book = desk.lots
    back = book.tree.back(book.node_of[Account("lot", lot)])
    materials = []
    for node in back:
        account = book.nodes[node].account
        if account.kind in ("load", "material"):
            named = book.materials.get(account.name, account.name) if account.kind == "load" else account.name
            materials.append((named, book.nodes[node].line))
    own = _growth_tests(desk.diary, told)
    harmed = [line for line, what in own if what.leaves == "cupped or twisted"]
    tested = bool(own) or any(one.result.analyte in GROWTH for one in told.counted)
    return herbicide.check(materials, herbicide_inputs(), tested=tested, harmed=harmed)


def _growth_tests(diary: Diary, told: LotFigures) -> list[tuple[int, goods.GrowthTest]]:
    """Of the lot, or of a row in it whenever that was: turning does not undo a herbicide."""
    of_rows = {what.sample for _, what in diary.all(goods.Sampled) if what.row in told.rows}
    return [
        (line.number, what)
        for line, what in diary.all(goods.GrowthTest)
        if line.number in told.lines or what.row in told.rows or what.sample in of_rows
    ]
