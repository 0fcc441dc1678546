"""A file with an entry a row into the book: every row as if it had been typed, all of them or none."""

from turnrow.foreman.desk import Desk
from turnrow.foreman.intake import Taken, take
from turnrow.gate.entry_columns import EXAMPLE, is_entry_file
from turnrow.gate.entry_file import EntryRow, read_entries
from turnrow.gate.handed import Handed
from turnrow.gate.headings import headings_of
from turnrow.journal.book import Book, Receipt
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Line
from turnrow.yard.wrongs import Refusal, Refused, shown

__all__ = ["EXAMPLE", "enter", "take_any"]


def take_any(book: Book, diary: Diary, handed: Handed) -> Taken:
    """A file of whatever kind: of entries as `enter` writes them, of all else as `intake.take` does."""
    told = handed.mapping is not None or handed.kind or handed.self_heating
    headings = () if told else headings_of(handed.data)
    if handed.self_heating or not is_entry_file(headings, handed.mapping, handed.kind):
        return take(book, diary, handed)
    whole = [(option, given) for option, given in (("--row", handed.row), ("--lot", handed.lot)) if given]
    if whole:
        do = "Entries say themselves what they are of: a column row or lot, or `always` in a mapping."
        raise Refused([Refusal(option, shown(given), do) for option, given in whole])
    return enter(book, diary, handed)


def enter(book: Book, diary: Diary, handed: Handed) -> Taken:
    """Write the rows of a file in its order, each held against all before it; known ones are passed over.

    Raises Refused with what is wrong in every row, and nothing written.
    """
    sheet = read_entries(handed.data, handed.name, diary, mapping=handed.mapping, kind=handed.kind)
    held = book.store.with_ids([row.id for row in sheet.rows])
    struck = [row for row in sheet.rows if row.id in held and diary.is_struck(held[row.id].number)]
    fresh = [row for row in sheet.rows if row.id not in held]
    notices = list(sheet.notices)
    if handed.again:
        anew = [(row, _turn(book, diary, row.id)) for row in struck]
        fresh += [EntryRow(row.item, row.kind, row.fields, id_) for row, id_ in anew if id_]
        fresh.sort(key=lambda row: row.item)
    elif struck:
        notices.append(f"{len(struck)} of these lines are struck in the book; --again writes them anew.")
    lines = list[Line]()
    with book.store.alone():
        desk = Desk(book)  # its own, as it is of no use once a row is refused
        for row in fresh:
            try:
                put = desk.put(
                    row.kind, row.fields, now=handed.now, who=handed.who, device=handed.device, id=row.id
                )
            except Refused as wrong:
                sheet.refuse(row, wrong.refusals)
            else:
                lines += put.lines
        sheet.wrongs.raise_any()
    return Taken(
        Receipt(tuple(lines), ()), len(lines), len(sheet.rows) - len(fresh), tuple(notices), "entries"
    )


def _turn(book: Book, diary: Diary, id_: str) -> str:
    """The id under which a struck entry is written anew; "" where it stands in the book again already."""
    for turn in range(1, 100):
        new = f"{id_}-{turn}"
        row = book.store.with_ids([new]).get(new)
        if row is None:
            return new
        if not diary.is_struck(row.number):
            return ""
    return ""
