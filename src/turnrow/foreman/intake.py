"""Through the gate into the book: a file or a form becomes entries, written in one append."""

from dataclasses import dataclass
from typing import Any, Literal

from turnrow.gate import mapping as maps
from turnrow.gate.files import read_temperatures
from turnrow.gate.handed import Handed
from turnrow.gate.lab_columns import EXAMPLE as LAB_EXAMPLE
from turnrow.gate.lab_columns import is_lab_sheet
from turnrow.gate.lab_entries import LabSheet
from turnrow.gate.lab_file import read_lab
from turnrow.gate.mapping import EXAMPLE
from turnrow.gate.packets import Packet, packet
from turnrow.gate.self_heating_file import read_self_heating
from turnrow.gate.text_of import text_of
from turnrow.journal.book import Book, Receipt
from turnrow.yard.diary import Diary
from turnrow.yard.wrongs import refuse

__all__ = ["EXAMPLE", "LAB_EXAMPLE", "Taken", "mapping_from", "take"]


def mapping_from(data: bytes, name: str) -> dict[str, Any]:
    """The mapping in a TOML file's bytes; Refused when it is none."""
    return maps.mapping_from(text_of(data, name), name)


@dataclass(frozen=True)
class Taken:
    """What taking a file did.

    readings  readings written now
    known     readings of the file that the book held already
    notices   what was passed over or taken for granted
    what      "readings", "figures" of a lab's sheet, or "entries": what `readings` and `known` count
    """

    receipt: Receipt
    readings: int
    known: int
    notices: tuple[str, ...]
    what: Literal["readings", "figures", "entries"] = "readings"

    def said(self, number: int) -> str:
        """ "1 reading", "12 entries"."""
        one = {"readings": "reading", "figures": "figure", "entries": "entry"}[self.what]
        return f"{number} {one if number == 1 else self.what}"


def take(book: Book, diary: Diary, handed: Handed) -> Taken:
    """Write a file of temperatures, or a lab's sheet, into `book`; the same file twice adds nothing.

    A lab's sheet is known by its columns or its mapping. With `self_heating` a logger's file becomes the
    result of a test of a lot; `lot` is for these two alone.
    `diary` must hold the book's lines so far; it is not changed.
    Raises Refused, with every reason and nothing written.
    """
    if handed.self_heating or is_lab_sheet(handed.data, handed.mapping):
        sheet = (read_self_heating if handed.self_heating else read_lab)(handed, diary)
        kept = _append(book, sheet, handed)
        return Taken(kept, sheet.figures, sheet.known, sheet.notices, "figures")
    if handed.lot:
        do = "Only a lab's sheet or --self-heating is of a lot; readings are of a row."
        raise refuse("--lot", handed.lot, do)
    intake = read_temperatures(
        handed.data, handed.name, zone=diary.zone, mapping=handed.mapping, row=handed.row
    )
    made = packet(intake, diary, handed)
    return Taken(_append(book, made, handed), made.readings, made.known, made.notices)


def _append(book: Book, made: LabSheet | Packet, handed: Handed) -> Receipt:
    return book.append(made.entries, made.blobs, written=handed.now) if made.entries else Receipt((), ())
