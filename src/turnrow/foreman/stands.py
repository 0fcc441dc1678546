"""Releases that no longer stand: what was proven once and is not by what the diary says now, and what was
never shown. Neither is a recall: it says what is known, whom it touches and what is to be done."""

from dataclasses import dataclass
from datetime import datetime

from turnrow.foreman.quality import (
    Looking,
    LotQuality,
    Seen,
    lot_quality,
    release_wrongs,
    to_call_back,
)
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.lots.recall import recall
from turnrow.quality.release import Ask
from turnrow.records.said import saying
from turnrow.yard import days, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, Kind, Line, RuleChosen, SettingChosen, Struck, row_of
from turnrow.yard.wrongs import Refusal, shown

PROVEN = "proven"
AFTER: tuple[type[Kind], ...] = (
    goods.Released,
    goods.Recalled,
    goods.LoadOut,
    goods.LoadBack,
    goods.Bagged,
    goods.Spent,
)  # what is done with a lot, and says nothing of its proof
YARDS: tuple[type[Kind], ...] = (goods.QualityAsked, RuleChosen, SettingChosen)


@dataclass(frozen=True)
class Unproven:
    """A lot released as proven that has not failed and is not shown to be proven any more.

    missing  what is not shown now; changed: lines written since the release that speak of it, oldest first
    lies     sentence on what is left of it; customers: who got some of it, or of what was made of it
    """

    lot: str
    line: Line
    released: goods.Released
    missing: tuple[Ask, ...]
    changed: tuple[Line, ...]
    changes: tuple[str, ...]
    lies: str
    customers: tuple[str, ...]

    @property
    def sentences(self) -> tuple[tuple[str, tuple[int, ...]], ...]:
        """What is known, what changed, who has it and what to do, each with its lines."""
        name, number = self.released.name, self.line.number
        since = (
            f"Written since: {'; '.join(self.changes)}."
            if self.changes
            else "No line written since says so: it was not shown then either, or the handbook is another."
        )
        has = f"Some of it went to {', '.join(self.customers)}." if self.customers else "No buyer has any."
        do = (
            f"{name}: let none of it leave, put right or add the line that is wanting, and judge it again. "
            "What cannot be shown again leaves only treated as raw; then tell everybody who has some of it."
        )
        return (
            (
                f"Lot {self.lot} was released as proven (line {number}, {name}) and is not shown to be so "
                "now. Nothing of it is known to have failed, and this is no recall.",
                (number,),
            ),
            *((f"Not shown: {ask.sentence}", ask.lines) for ask in self.missing),
            (since, tuple(line.number for line in self.changed)),
            (f"{self.lies} {has}", ()),
            (do, ()),
        )


@dataclass(frozen=True)
class Stands:
    """Releases that stand no more.

    failed  (lot, what failed since, everybody who has some of it or of the same loads): to be called back
    """

    failed: tuple[tuple[str, tuple[Ask, ...], tuple[str, ...]], ...]
    unproven: tuple[Unproven, ...]


def stands(desk: Looking, now: datetime) -> Stands:
    if not desk.diary.all(goods.Released):
        return Stands((), ())
    failed = tuple(
        (lot, asks, recall(desk.lots, Account("lot", lot)).customers) for lot, asks in to_call_back(desk, now)
    )
    return Stands(failed, no_longer_proven(desk, now))


def no_longer_proven(desk: Looking, now: datetime) -> tuple[Unproven, ...]:
    """Every lot whose newest release says proven and which is not shown to be now, by lot as released."""
    seen = Seen.of(desk, now)
    found = (_unproven(desk, line, what, now, seen) for line, what in _standing(desk.diary))
    return tuple(one for one in found if one is not None)


def unproven(desk: Looking, lot: str, now: datetime) -> Unproven | None:
    """The same of one lot; None where nothing is to be said."""
    pair = next((pair for pair in _standing(desk.diary) if pair[1].lot == lot), None)
    return None if pair is None else _unproven(desk, *pair, now, Seen.of(desk, now))


def against_record(then: Looking, line: Line) -> tuple[str, ...]:
    """Why the release of `line` could not have been written; empty where it could.

    then  the desk as it stood before that line: a release brought in by another book is kept as given,
          and held against what was on record when it was written
    """
    return tuple(
        dict.fromkeys(
            f"{one.where.removeprefix('field ')} {one.got}: {one.do}"
            for one in release_wrongs(then, line.entry, line.written)
        )
    )


def held_back(desk: Looking, entry: Entry, now: datetime) -> tuple[Refusal, ...]:
    """What stands against a load out of a lot whose release no longer stands; empty where its reason is
    written, where it left before that could be known, and for other entries."""
    what = entry.what
    if not isinstance(what, goods.LoadOut) or what.unreleased:
        return ()
    pair = next((pair for pair in _standing(desk.diary) if pair[1].lot == what.lot), None)
    if pair is None or Account("lot", what.lot) not in desk.lots.node_of:
        return ()
    found = lot_quality(desk, what.lot, now)
    asks = found.release.of("failed") or (_wanting(found) if pair[1].how == PROVEN else ())
    since = _changed(desk, found, pair[0])
    if not asks or (since and entry.happened < since[-1].written):
        return ()
    do = (
        f"It was released (line {pair[0].number}) and may not leave as that now: {asks[0].sentence} Judge it "
        "again on its page; if the load has left all the same, write why under `unreleased`."
    )
    return (Refusal("field lot", shown(what.lot), do),)


def _standing(diary: Diary) -> tuple[tuple[Line, goods.Released], ...]:
    """The newest release of every lot that was not called back."""
    called = {what.lot for _, what in diary.all(goods.Recalled)}
    newest = {what.lot: (line, what) for line, what in diary.all(goods.Released)}
    return tuple(pair for lot, pair in newest.items() if lot not in called)


def _wanting(found: LotQuality) -> tuple[Ask, ...]:
    """What is missing of it; that the next sample is due says nothing against one released before."""
    return tuple(ask for ask in found.release.of("missing") if ask.what != "sampling")


def _unproven(desk: Looking, line: Line, what: goods.Released, now: datetime, seen: Seen) -> Unproven | None:
    if what.how != PROVEN or Account("lot", what.lot) not in desk.lots.node_of:
        return None
    found = lot_quality(desk, what.lot, now, seen)
    missing = _wanting(found)
    if not missing or found.release.of("failed"):
        return None
    changed = _changed(desk, found, line)
    forward = recall(desk.lots, Account("lot", what.lot)).forward
    customers = tuple(sorted({one.customer for one in forward if one.customer}))
    changes = tuple(_said(desk.diary, one) for one in changed)
    return Unproven(what.lot, line, what, missing, changed, changes, _lies(desk.lots, what.lot), customers)


def _lies(book: Ledger, lot: str) -> str:
    held = book.of("lot", lot)
    if not held.wet_known:
        return "How much of it still lies there is not known."
    return f"{held.wet:.3g} t of it still lie there." if held.wet >= 0.001 else "All of it has gone."


def _said(diary: Diary, line: Line) -> str:
    what = line.entry.what
    if isinstance(what, Struck):
        return f"line {line.number} struck line {what.line} ({what.reason})"
    return f"line {line.number}, {saying(what)}"


def _changed(desk: Looking, found: LotQuality, released: Line) -> tuple[Line, ...]:
    """Lines after the release that its proof can rest on: of its rows until it was taken, of its samples and
    results, of what the yard asks; and strikes of such lines."""
    diary, book, names = desk.diary, desk.lots, {"lot": {found.lot}, "row": set(found.figures.rows)}
    node = book.node_of[Account("lot", found.lot)]
    for account in (book.nodes[up].account for up in book.tree.back(node)):
        names.setdefault(account.kind, set()).add(account.name)
    samples = {
        what.sample
        for _, what in diary.each(goods.Sampled)
        if what.sample and (what.lot in names["lot"] or what.row in names["row"])
    }

    def speaks(line: Line) -> bool:
        what = line.entry.what
        if isinstance(what, AFTER):
            return False
        if isinstance(what, YARDS) or getattr(what, "sample", "") in samples:
            return True
        if getattr(what, "lot", "") in names["lot"]:
            return True
        of_rows = not names["row"].isdisjoint(row_of(what))
        return of_rows and days.seconds(line.entry.happened) <= book.nodes[node].at_s

    later = (diary.line(n) for n in range(released.number + 1, diary.head + 1) if not diary.is_struck(n))
    return tuple(line for line in later if speaks(_meant(diary, line)))


def _meant(diary: Diary, line: Line) -> Line:
    """What a strike withdraws; any other line itself."""
    what = line.entry.what
    return diary.line(what.line) if isinstance(what, Struck) else line
