"""Loads that left as they should not have: of a lot not released then, or called back.

Such a load is not written before somebody says why it left. One that did leave is a fact: with its reason
it is written, and shown here.
"""

from dataclasses import dataclass

from turnrow.yard import days, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, Line
from turnrow.yard.wrongs import Refusal, shown


@dataclass(frozen=True)
class LeftSo:
    """One load out and what was wrong with it, in a sentence; `lines` it rests on."""

    ticket: str
    lot: str
    customer: str
    sentence: str
    lines: tuple[int, ...]


def left_without_release(diary: Diary) -> tuple[LeftSo, ...]:
    """Loads out of lots that were not released by then, or were called back before, by line. Where only the
    days are known a release of the same day is taken to come first."""
    found = []
    for line, out in diary.all(goods.LoadOut):
        said, at = _wrong(diary, out.lot, line.entry)
        if said:
            why = f" It was written why: {out.unreleased}" if out.unreleased else ""
            sentence = f"Load {out.ticket} left (line {line.number}) {said}.{why}"
            found.append(LeftSo(out.ticket, out.lot, out.customer, sentence, (*at, line.number)))
    return tuple(found)


def leaving_wrongs(diary: Diary, entry: Entry) -> tuple[Refusal, ...]:
    """What stands against a load out of a lot that may not leave; empty where its reason is written, and for
    other entries."""
    what = entry.what
    if not isinstance(what, goods.LoadOut) or what.unreleased:
        return ()
    said, _ = _wrong(diary, what.lot, entry)
    if not said:
        return ()
    do = (
        f"It would leave {said}. Release the lot first, on its page; if the load has left all the same, "
        "write why under `unreleased`."
    )
    return (Refusal("field lot", shown(what.lot), do),)


def _wrong(diary: Diary, lot: str, entry: Entry) -> tuple[str, tuple[int, ...]]:
    """Why the lot should not have left at the moment of an entry, and the lines of it; "" where it may."""
    moment = days.seconds(entry.happened)
    day = days.day_of(moment, diary.zone)
    back = [
        at
        for at, what in diary.all(goods.Recalled)
        if what.lot == lot and days.seconds(at.entry.happened) <= moment
    ]
    if back:
        return f"after lot {lot} was called back (line {back[-1].number})", (back[-1].number,)

    def by_then(line: Line) -> bool:
        return days.day_of(days.seconds(line.entry.happened), diary.zone) <= day

    if any(what.lot == lot and by_then(at) for at, what in diary.all(goods.Released)):
        return "", ()
    return f"before anybody had released lot {lot}", ()
