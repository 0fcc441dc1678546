"""Loads that left as they should not have: of a lot not released then, called back, or as more than it was.

A load that left is a fact and is written; it is shown here, and not hidden by a refusal.
"""

from dataclasses import dataclass

from turnrow.yard import days, goods
from turnrow.yard.diary import Diary


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
    released = [(line, what) for line, what in diary.all(goods.Released)]
    called = [(line, what) for line, what in diary.all(goods.Recalled)]
    for line, out in diary.all(goods.LoadOut):
        moment = days.seconds(line.entry.happened)
        day = days.day_of(moment, diary.zone)
        before = [
            at
            for at, what in released
            if what.lot == out.lot and days.day_of(days.seconds(at.entry.happened), diary.zone) <= day
        ]
        back = [
            at for at, what in called if what.lot == out.lot and days.seconds(at.entry.happened) <= moment
        ]
        if back:
            at = back[-1].number
            left = f"Load {out.ticket} left (line {line.number})"
            said = f"{left} after lot {out.lot} was called back (line {at})."
            found.append(LeftSo(out.ticket, out.lot, out.customer, said, (at, line.number)))
        elif not before:
            said = f"Load {out.ticket} left (line {line.number}) before anybody had released lot {out.lot}."
            found.append(LeftSo(out.ticket, out.lot, out.customer, said, (line.number,)))
    return tuple(found)
