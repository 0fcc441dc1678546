"""What is wrong with an entry about matter, before it is written: asked by whoever writes."""

from zoneinfo import ZoneInfo

from turnrow.lots.kept import Kept
from turnrow.lots.ledger import READ, Ledger
from turnrow.yard import history as fold
from turnrow.yard.days import zone
from turnrow.yard.entries import Entry, Line
from turnrow.yard.wrongs import Refusal

UTC = zone("UTC")


def wrongs_of(book: Kept | Ledger, entry: Entry, yard_zone: ZoneInfo = UTC) -> tuple[Refusal, ...]:
    """What the ledger says against an entry; empty where nothing.

    An entry about an earlier day may make a later line wrong (more left the lot than it then holds): that
    is said too, with the line. Entries that move no matter and measure none have nothing against them.
    """
    if not isinstance(entry.what, READ):
        return ()
    kept = book if isinstance(book, Kept) else Kept(book.events, book.tolerance, book.facts.typical)
    number = kept.next_line
    found = []
    for one in kept.wrongs_with(fold.event(Line(number, entry.happened, "", entry), yard_zone)):
        if one.line == number:
            found.append(Refusal(f"field {one.refusal.where}", one.refusal.got, one.refusal.do))
        else:
            do = f"It would make line {one.line} wrong ({one.refusal.got}). {one.refusal.do}"
            found.append(Refusal(f"line {one.line}, field {one.refusal.where}", one.refusal.got, do))
    return tuple(dict.fromkeys(found))
