"""What is wrong with an entry about matter, before it is written: asked by whoever writes."""

from zoneinfo import ZoneInfo

from turnrow.lots.ledger import READ, Ledger, folded, in_order
from turnrow.yard import history as fold
from turnrow.yard.days import zone
from turnrow.yard.entries import Entry, Line
from turnrow.yard.wrongs import Refusal

UTC = zone("UTC")


def wrongs_of(book: Ledger, entry: Entry, yard_zone: ZoneInfo = UTC) -> tuple[Refusal, ...]:
    """What the ledger says against an entry; empty where nothing.

    An entry about an earlier day may make a later line wrong (more left the lot than it then holds): that
    is said too, with the line. Entries that move no matter and measure none have nothing against them.
    """
    if not isinstance(entry.what, READ):
        return ()
    number = 1 + max((event.line.number for event in book.events), default=0)
    new = fold.event(Line(number, entry.happened, "", entry), yard_zone)
    tried = folded(in_order((*book.events, new)), book.tolerance, book.facts.typical)
    before = {(one.line, one.refusal.where) for one in book.wrongs}
    found = []
    for one in tried.wrongs:
        if one.line == number:
            found.append(Refusal(f"field {one.refusal.where}", one.refusal.got, one.refusal.do))
        elif (one.line, one.refusal.where) not in before:
            do = f"It would make line {one.line} wrong ({one.refusal.got}). {one.refusal.do}"
            found.append(Refusal(f"line {one.line}, field {one.refusal.where}", one.refusal.got, do))
    return tuple(dict.fromkeys(found))
