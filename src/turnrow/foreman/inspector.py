"""What an inspector asks next of a lot, each answered from the diary or told as not on record."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from turnrow.foreman.desk import Desk
from turnrow.handbook.quality import made_inputs, raw_days
from turnrow.lots.bought import Made, made_parts
from turnrow.lots.moves import Account
from turnrow.records.evidence_said import saying
from turnrow.records.marks import amount_words
from turnrow.sanitation.probe_faults import off_by
from turnrow.schedule.limits import Limits
from turnrow.yard import days, goods
from turnrow.yard.entries import Line, LoadIn, LoggerBlock, ProbeChecked, Reviewed, Round, RowBuilt
from turnrow.yard.evidence import Certificate, Cleaned, Spread, Trained

CLEANED_WITHIN = timedelta(days=31)  # before a lot was made; common practice, no source


@dataclass(frozen=True)
class Answer:
    """One sentence under the question it answers; `shown` False where the diary does not say."""

    asked: str
    sentence: str
    lines: tuple[int, ...] = ()
    shown: bool = True


def answers(desk: Desk, lot: str, figures: Iterable[int]) -> tuple[Answer, ...]:
    """KeyError where the diary makes no such lot.

    figures  lines of the lab results that speak for it
    """
    book, node = desk.lots, desk.lots.node_of[Account("lot", lot)]
    back = {book.nodes[up].account for up in book.tree.back(node)}
    rows = sorted(account.name for account in back if account.kind == "row")
    made = desk.diary.line(book.nodes[node].line)
    own = [line for row in rows if row in desk.diary.rows for line in desk.diary.history(row).lines]
    return (
        *_people(desk, own, rows, made),
        *_probes(desk, own),
        *_labs(desk, figures),
        *_inputs(desk, rows),
        *_cleaning(desk, made),
        *_fields(desk, lot),
    )


def by_question(found: Iterable[Answer]) -> dict[str, list[Answer]]:
    """Answers under what is asked, in the order they came."""
    asked: dict[str, list[Answer]] = {}
    for one in found:
        asked.setdefault(one.asked, []).append(one)
    return asked


def made_of(desk: Desk, rows: Iterable[str]) -> tuple[Made, ...]:
    """What went into these rows that is itself made of something."""
    zone = desk.zone
    loads = {
        what.load: (line.number, line.entry.happened.astimezone(zone).date())
        for line, what in desk.diary.all(LoadIn)
    }
    certificates = [(line.number, what) for line, what in desk.diary.all(Certificate)]
    wanted = set(rows)
    return tuple(
        one
        for line, what in desk.diary.all(RowBuilt)
        if what.row in wanted
        for one in made_parts(what.parts, line.number, loads, certificates, made_inputs())
    )


def field_words(what: Spread, raw: bool) -> str:
    """When what grows there may be harvested, where the lot counts as raw."""
    if not raw:
        return ""
    wait = raw_days()[what.touches_soil]
    if what.worked_in is None:
        return (
            f" Treated as raw: {wait} days from working it into the soil to harvest; when it was worked in "
            "is not written."
        )
    first = what.worked_in + timedelta(days=wait)
    early = what.harvest is not None and what.harvest < first
    said = f" Treated as raw: no harvest for people before {first}, {wait} days after it was worked in."
    return said + (f" The harvest of {what.harvest} is too early." if early else "")


def _people(desk: Desk, own: list[Line], rows: list[str], made: Line) -> list[Answer]:
    named = {what.short or what.name: (line, what) for line, what in desk.diary.all(Trained)}
    wrote: dict[str, list[int]] = {}
    for line in (*own, made):
        wrote.setdefault(line.entry.who, []).append(line.number)
    found = []
    for who, lines in sorted(wrote.items()):
        many = "one line" if len(lines) == 1 else f"{len(lines)} lines"
        if who in named:
            line, what = named[who]
            until = what.until
            last = max(desk.diary.line(no).entry.happened for no in lines).astimezone(desk.zone).date()
            over = (
                f" It ended {until.isoformat()}, before the last of them." if until and until < last else ""
            )
            said = f"{who} ({what.name}) wrote {many}; trained in {what.subject}.{over}"
            found.append(Answer("Who wrote, and were they trained", said, (line.number,), not over))
        else:
            said = f"{who} wrote {many}; no full name and no training of theirs is on record."
            found.append(Answer("Who wrote, and were they trained", said, (), False))
    reviews = [(line, what) for line, what in desk.diary.all(Reviewed) if what.row in rows]
    for row in rows:
        of_row = [(line, what) for line, what in reviews if what.row == row]
        if of_row:
            line, review = of_row[-1]
            said = f"Row {row} was read through and signed for by {line.entry.who}, up to line {review.upto}."
            found.append(Answer("Who signed", said, (line.number,)))
        else:
            said = f"Nobody has read row {row} through and signed for it (21 CFR 112.161(b))."
            found.append(Answer("Who signed", said, (), False))
    return found


def _probes(desk: Desk, own: list[Line]) -> list[Answer]:
    """Each probe's checks around the readings it made for the lot's rows."""
    used: dict[str, list[datetime]] = {}
    for line in own:
        what = line.entry.what
        if isinstance(what, Round | LoggerBlock):
            used.setdefault(what.probe, []).append(line.entry.happened)
    checks = sorted(desk.diary.all(ProbeChecked), key=lambda pair: pair[0].entry.happened)
    found, asked, limits = [], "Was the probe right that day", Limits(desk.settings())
    for probe, moments in sorted(used.items()):
        if not probe:
            found.append(Answer(asked, f"{len(moments)} rounds name no probe.", (), False))
            continue
        of_it = [(line, what) for line, what in checks if what.probe == probe]
        before = [pair for pair in of_it if pair[0].entry.happened <= min(moments)][-1:]
        after = [pair for pair in of_it if pair[0].entry.happened > max(moments)][:1]
        between = [pair for pair in of_it if min(moments) < pair[0].entry.happened <= max(moments)]
        worst = sorted(between, key=lambda pair: off_by(pair[1]))[-1:]
        told = [*before, *worst, *after]
        said = "; ".join(
            f"{line.entry.happened.astimezone(desk.zone).date().isoformat()} bath {amount_words(what.bath)}, "
            f"it read {amount_words(what.read)}"
            for line, what in told
        )
        lacking = "" if before else " None is on record before its first reading."
        off = any(off_by(what) > limits.step("probe_off") for _, what in told)
        lacking += f" It was off by more than the {limits.words('probe_off')} allowed." if off else ""
        many = f" Checked {len(between)} times in between; the worst is told." if len(between) > 1 else ""
        words = f"Probe {probe}: {said or 'never checked'}.{many}{lacking}"
        found.append(Answer(asked, words, tuple(line.number for line, _ in told), not lacking))
    return found


def _labs(desk: Desk, figures: Iterable[int]) -> list[Answer]:
    found, asked = [], "Which lab, by which method, accredited"
    for number in sorted(set(figures)):
        what = desk.diary.line(number).entry.what if number else None
        if not isinstance(what, goods.LabResult):
            continue
        methods = sorted({one.method for one in what.results if one.method})
        bare = sum(1 for one in what.results if not one.method)
        said = f"{what.lab[:1].upper()}{what.lab[1:]}" if what.lab else "A lab that is not named"
        said += f", accredited: {what.accredited}" if what.accredited else ", no accreditation on record"
        said += f"; methods: {', '.join(methods)}" if methods else "; no method written"
        said += f", none for {bare} figures." if methods and bare else "."
        found.append(Answer(asked, said, (number,), bool(what.accredited and methods and not bare)))
    return found


def _inputs(desk: Desk, rows: list[str]) -> list[Answer]:
    asked = "What was made of something already"
    return [Answer(asked, one.sentence, one.lines, one.shown) for one in made_of(desk, rows)]


def _cleaning(desk: Desk, made: Line) -> list[Answer]:
    asked = "What was cleaned between raw and finished"
    when = made.entry.happened
    near = [
        (line, what)
        for line, what in desk.diary.all(Cleaned)
        if timedelta(0) <= when - line.entry.happened <= CLEANED_WITHIN
    ]
    if near:
        return [
            Answer(asked, f"{_day(desk, line)}: {saying(what)}.", (line.number,)) for line, what in near[-6:]
        ]
    said = (
        f"No cleaning is on record in the {CLEANED_WITHIN.days} days before the lot was made (21 CFR 112.51)."
    )
    return [Answer(asked, said, (), False)]


def _fields(desk: Desk, lot: str) -> list[Answer]:
    released = [what for _, what in desk.diary.all(goods.Released) if what.lot == lot]
    raw = not released or released[-1].how != "proven"
    asked, found = "Which field, worked in when", []
    told = [(line, what) for line, what in desk.diary.all(Spread) if what.lot == lot]
    for line, what in told:
        words = field_words(what, raw)
        late = "too early" in words or "is not written" in words
        said = f"{_day(desk, line)}: {saying(what)}.{words}"
        found.append(Answer(asked, said, (line.number,), not late))
    if not told and raw and any(what.lot == lot for _, what in desk.diary.all(goods.LoadOut)):
        said = "No field is on record for what left of it treated as raw: ask its buyers where and when."
        found.append(Answer(asked, said, (), False))
    return found


def _day(desk: Desk, line: Line) -> str:
    day: date = line.entry.happened.astimezone(desk.zone).date()
    return days.short_date(day.toordinal())
