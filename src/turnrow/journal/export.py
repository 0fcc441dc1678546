"""A book as JSON lines and back, without loss: seals, bytes and blobs as they are.

    {"book":"turnrow","form":1,"lines":N,"head":SEAL}
    {"blob":NAME,"bytes":BASE64}                              before the first line that names it
    {"line":N,"written":MICROSECONDS,"seal":SEAL,"entry":{the stored bytes, verbatim}}

One line or blob is held at a time, never the book.
"""

from base64 import b64decode, b64encode
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

import msgspec

from turnrow.journal import kept_head, seal, upgrade
from turnrow.journal.book import Book, Head, sound
from turnrow.journal.check import MOST, Walk
from turnrow.journal.store import Row
from turnrow.yard import blocks
from turnrow.yard.entries import Struck
from turnrow.yard.wrongs import DamagedJournal, Refusal, Refused, refuse

FORM = 1
LONGEST = 1_000_000_000  # bytes of one line of the file


class Top(msgspec.Struct, forbid_unknown_fields=True):
    book: str
    form: int
    lines: int
    head: str


class BlobOut(msgspec.Struct, forbid_unknown_fields=True):
    blob: str
    bytes: str


class LineOut(msgspec.Struct, forbid_unknown_fields=True):
    line: int
    written: int
    seal: str
    entry: msgspec.Raw


class Taken(msgspec.Struct, frozen=True):
    """What an import did: lines added, lines the book held already, and where it stands now."""

    added: int
    known: int
    head: Head


_blob_out, _line_out = msgspec.json.Decoder(BlobOut), msgspec.json.Decoder(LineOut)


def export_lines(book: Book, out: BinaryIO) -> Head:
    """Write the whole book as JSON lines; returns the head it goes up to.

    The chain is followed first: of a damaged book nothing is written, and DamagedJournal names the line.
    """
    book.follow()
    head = book.head()
    out.write(msgspec.json.encode(Top("turnrow", FORM, head.line, head.seal)) + b"\n")
    told: set[str] = set()
    for row in map(sound, book.store.rows(0, head.line)):
        try:
            entry = upgrade.entry_of(row.raw, row.number)
        except ValueError as wrong:
            raise DamagedJournal(row.number, f"its bytes do not read: {wrong}") from wrong
        for name in (*seal.blobs_of(entry), *seal.spare_blobs_of(entry)):
            if name not in told and book.store.has_blob(name):
                data = book.blob(name)
                told.add(name)
                out.write(msgspec.json.encode(BlobOut(name, b64encode(data).decode())) + b"\n")
        line = LineOut(row.number, row.written_us, row.seal.hex(), msgspec.Raw(row.raw))
        out.write(msgspec.json.encode(line) + b"\n")
    return head


def check_export(path: Path, most: int = MOST) -> Top:
    """Follow the chain of an exported file; Refused, with line numbers, when it does not hold."""
    walk = Walk(lambda name: None, most)
    top: Top | None = None
    came: set[str] = set()
    try:
        with path.open("rb") as source:
            top = _top(source, path)
            for thing in _things(source, path):
                if isinstance(thing, BlobOut):
                    came.add(thing.blob)
                    wrong = walk.take_blob(thing.blob, _bytes_of(thing))
                    if wrong:
                        walk.fault(walk.number + 1, "blob", f"the blob {thing.blob}: {wrong}")
                else:
                    walk.step(_row(thing))
        walk.end()
    except OSError as wrong_file:
        raise refuse(str(path), wrong_file.strerror or wrong_file, "Name a file that can be read.") from None
    if (walk.number, walk.seal.hex()) != (top.lines, top.head):
        what = f"the file ends at line {walk.number}, its top says {top.lines}, or with another seal"
        walk.fault(walk.number, "head", what)
    for name in sorted(came - walk.named):
        walk.fault(walk.number, "blob", f"the blob {name} belongs to no line")
    if walk.faults:
        refusals = [
            Refusal(
                f"{path}, line {fault.line}, {fault.check}", fault.what, "Nothing was taken from the file."
            )
            for fault in walk.faults
        ]
        if walk.more:
            refusals.append(Refusal(str(path), f"{walk.more} more faults", "Get another copy of the file."))
        raise Refused(refusals)
    return top


def import_lines(book: Book, path: Path) -> Taken:
    """Add what `book` lacks of the exported file at `path`, all or nothing.

    The file's chain is checked before anything is written. A book that holds a first part of the
    same chain gets the rest; one with another history is left alone, with a Refused.
    """
    top = check_export(path)
    with book.store.writing():
        before = book.head()
        with path.open("rb") as source:
            _top(source, path)
            book.store.add(_rest(book, _things(source, path), before.line))
        after = book.head()
        if after.line < top.lines or (after.line == top.lines and after.seal != top.head):
            raise refuse(
                str(path), "a file that changed while it was read", "Try again. Nothing was written."
            )
    kept_head.keep(book.store)
    added = after.line - before.line
    return Taken(added, top.lines - added, after)


def _rest(book: Book, things: Iterator[BlobOut | LineOut], upto: int) -> Iterator[Row]:
    """Rows after `upto`; blobs the book lacks are written on the way."""
    before = seal.GENESIS
    for thing in things:
        if isinstance(thing, BlobOut):
            data = _bytes_of(thing)
            if not book.store.has_blob(thing.blob) and blocks.name_of(data) == thing.blob:
                book.store.add_blob(thing.blob, data)
            continue
        row = _row(thing)
        before = seal.seal(before, row.number, row.written_us, row.raw)
        if row.number > upto:
            yield row._replace(seal=before)
            continue
        held = book.store.row(row.number)
        if held is None or held.seal != row.seal:
            raise refuse(
                f"line {row.number}",
                "another line than the book's",
                "The file holds another history than this book; import it into a new one.",
            )


def _top(source: BinaryIO, path: Path) -> Top:
    text = source.readline(10_000)
    try:
        top = msgspec.json.decode(text, type=Top)
    except (msgspec.DecodeError, UnicodeDecodeError):
        start = text[:40].decode(errors="replace")
        raise refuse(str(path), start, "Name a file that turnrow export wrote.") from None
    if top.book != "turnrow" or top.form != FORM:
        raise refuse(
            str(path), f"form {top.form} of {top.book}", "A newer turnrow wrote it; update this one."
        )
    return top


def _things(source: BinaryIO, path: Path) -> Iterator[BlobOut | LineOut]:
    place = 1
    while text := source.readline(LONGEST):
        place += 1
        try:
            yield _blob_out.decode(text) if text.startswith(b'{"blob":') else _line_out.decode(text)
        except (msgspec.DecodeError, UnicodeDecodeError) as wrong:
            where = f"{path}, row {place} of the file"
            raise refuse(where, str(wrong), "Nothing was taken. Get another copy of the file.") from None


def _row(thing: LineOut) -> Row:
    raw = bytes(thing.entry)
    try:
        entry = upgrade.entry_of(raw, thing.line)
    except ValueError:  # the walk names it
        return Row(thing.line, "", thing.written, raw, _seal_bytes(thing.seal), None)
    strikes = entry.what.line if isinstance(entry.what, Struck) else None
    return Row(thing.line, entry.id, thing.written, raw, _seal_bytes(thing.seal), strikes)


def _seal_bytes(text: str) -> bytes:
    try:
        return bytes.fromhex(text)
    except ValueError:
        return b""


def _bytes_of(thing: BlobOut) -> bytes:
    try:
        return b64decode(thing.bytes, validate=True)
    except ValueError:
        return b""
