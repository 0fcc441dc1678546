"""What rests on a line: a lot that left, or became another, must not lose the line that says what it is."""

from collections.abc import Iterator

from turnrow.yard import goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Kind, RowBuilt


def resting_on(diary: Diary, number: int) -> tuple[str, tuple[int, ...]]:
    """(what line `number` made, lines in force that rest on it): a lot and what was made or sold of it,
    released or called back; a load out and what came back of it or was billed; a return and the
    invoice written after it. Nothing for other lines."""
    what = diary.line(number).entry.what
    if isinstance(what, goods.LoadOut):
        return f"load {what.ticket}", tuple(sorted(_of_ticket(diary, what.ticket)))
    if isinstance(what, goods.LoadBack):
        bills = [line.number for line, bill in diary.all(goods.Invoiced) if what.ticket in bill.tickets]
        return f"the return of {what.ticket}", tuple(line for line in bills if line > number)
    made = _lots_of(what)
    lines = sorted({line for lot in made for line in _of_lot(diary, lot)} - {number})
    return f"lot {' and lot '.join(made)}" if made else "", tuple(lines)


def _lots_of(what: Kind) -> tuple[str, ...]:
    if isinstance(what, goods.LotMade):
        return (what.lot,)
    if isinstance(what, goods.Screened):
        return tuple(filter(None, (what.fines, what.overs)))
    return ()


def _of_lot(diary: Diary, lot: str) -> Iterator[int]:
    for named in (goods.LoadOut, goods.Released, goods.Recalled, goods.Bagged):
        for line, what in diary.all(named):
            if getattr(what, "lot", "") == lot:
                yield line.number
    for made in (goods.LotMade, goods.Screened):
        for line, what in diary.all(made):
            if any(share.lot == lot for share in getattr(what, "sources", ())):
                yield line.number
    for line, built in diary.all(RowBuilt):
        if any(part.lot == lot for part in built.parts):
            yield line.number


def _of_ticket(diary: Diary, ticket: str) -> Iterator[int]:
    for line, back in diary.all(goods.LoadBack):
        if back.ticket == ticket:
            yield line.number
    for line, bill in diary.all(goods.Invoiced):
        if ticket in bill.tickets:
            yield line.number
