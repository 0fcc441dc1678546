"""What an append would write, or every reason why not; reads the book, writes nothing."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import msgspec

from turnrow.journal import seal, upgrade
from turnrow.journal.check import UTC
from turnrow.journal.store import Row, Store
from turnrow.yard import blocks
from turnrow.yard.entries import FORMAT, Entry, Line, LoggerBlock, Struck
from turnrow.yard.known_units import unit_faults
from turnrow.yard.wrongs import Refusal, Refused, shown

LONGEST_ID = 200


class Offer(NamedTuple):
    """An entry with its bytes; `entry` is what those bytes read back as."""

    entry: Entry
    raw: bytes


class Plan(NamedTuple):
    fresh: tuple[Offer, ...]
    known: tuple[int, ...]  # lines that hold the others already
    blobs: Mapping[str, bytes]  # to be written


def offers(entries: Sequence[Entry]) -> list[Offer]:
    """Each entry with its bytes; Refused for those that would not read back as an entry."""
    made: list[Offer] = []
    refusals: list[Refusal] = []
    for place, entry in enumerate(entries, 1):
        try:
            raw = seal.canonical(entry)
            read = upgrade.entry_of(raw)
        except (ValueError, TypeError, OverflowError, Refused) as wrong:  # UnicodeEncodeError is a ValueError
            refusals.append(_refusal(place, entry, str(wrong), "Give what its kind asks for."))
            continue
        if not 1 <= len(read.id) <= LONGEST_ID:
            refusals.append(
                _refusal(place, entry, f"an id of {len(read.id)} characters", "Give it 1 to 200.")
            )
        for unknown in unit_faults(read.what):
            refusals.append(_refusal(place, entry, unknown, "Write it with one of those units."))
        made.append(Offer(read, raw))
    if refusals:
        raise Refused(refusals)
    return made


def plan(offered: Sequence[Offer], blobs: Mapping[str, bytes], store: Store) -> Plan:
    """What to write of `offered`; Refused with everything that stands against it."""
    rows = store.with_ids([offer.entry.id for offer in offered])
    last = store.last()
    head = last.number if last else 0
    fresh: dict[str, tuple[int, Offer]] = {}  # id -> line to be, offer
    known: list[int] = []
    refusals: list[Refusal] = []
    for place, offer in enumerate(offered, 1):
        entry = offer.entry
        there, double = rows.get(entry.id), fresh.get(entry.id)
        if there and _same(there, offer):
            known.append(there.number)
        elif there:
            refusals.append(_taken(place, entry, f"line {there.number}"))
        elif double and double[1].raw == offer.raw:
            known.append(double[0])
        elif double:
            refusals.append(_taken(place, entry, "an entry before it"))
        else:
            fresh[entry.id] = (head + 1 + len(fresh), offer)
    new = tuple(offer for _, offer in fresh.values())
    refusals += _strikes(new, head, store)
    refusals += _blobs(new, [offer.entry for offer in offered], blobs, store)
    if refusals:
        raise Refused(refusals)
    return Plan(new, tuple(known), {n: data for n, data in blobs.items() if not store.has_blob(n)})


def rows(fresh: Sequence[Offer], last: Row | None, now_us: int, lines: list[Line]) -> Iterator[Row]:
    """Rows sealed one to the other after `last`; each goes into `lines` as it is made.

    Written is never before the line before: a clock that was set back does not turn the book back.
    """
    number, before, written_us = (last.number, last.seal, last.written_us) if last else (0, seal.GENESIS, 0)
    written_us = max(written_us, now_us)
    written = seal.moment(written_us)
    for entry, raw in fresh:
        number += 1
        before = seal.seal(before, number, written_us, raw)
        what = entry.what
        lines.append(Line(number, written, before.hex(), entry))
        yield Row(number, entry.id, written_us, raw, before, what.line if isinstance(what, Struck) else None)


def _same(there: Row, offer: Offer) -> bool:
    """Sent again; a line of an older format counts as the same when it reads the same today."""
    if there.raw == offer.raw:
        return True
    return upgrade.format_of(there.raw) < FORMAT and upgrade.entry_of(there.raw) == offer.entry


def _strikes(fresh: Sequence[Offer], head: int, store: Store) -> Iterator[Refusal]:
    struck: dict[int, int] = {}
    for number, offer in enumerate(fresh, head + 1):
        what = offer.entry.what
        if not isinstance(what, Struck):
            continue
        where, got = f"entry {offer.entry.id}, line", str(what.line)
        if not 1 <= what.line < number:
            yield Refusal(where, got, f"There is no such line to strike; the last before it is {number - 1}.")
            continue
        by = store.strike_of(what.line)
        before = by.number if by else struck.get(what.line)
        if before:
            yield Refusal(where, got, f"It is struck already, by line {before}.")
        elif _is_strike(what.line, fresh, head, store):
            yield Refusal(where, got, "It is a strike itself, and stays; write what holds as a new entry.")
        struck.setdefault(what.line, number)


def _is_strike(line: int, fresh: Sequence[Offer], head: int, store: Store) -> bool:
    if line > head:
        return isinstance(fresh[line - head - 1].entry.what, Struck)
    row = store.row(line)
    return row is not None and row.strikes is not None


def _blobs(
    fresh: Sequence[Offer], offered: Sequence[Entry], blobs: Mapping[str, bytes], store: Store
) -> Iterator[Refusal]:
    named = {name for entry in offered for name in (*seal.blobs_of(entry), *seal.spare_blobs_of(entry))}
    for name, data in blobs.items():
        if name not in named:
            yield Refusal(
                f"blob {name[:16]}", "no entry that names it", "Send it with the entry it belongs to."
            )
        elif blocks.name_of(data) != name:
            yield Refusal(f"blob {name[:16]}", "other bytes", "A blob is named by the SHA-256 of its bytes.")
    for offer in fresh:
        for name in seal.blobs_of(offer.entry):
            if name not in blobs and not store.has_blob(name):
                yield Refusal(
                    f"entry {offer.entry.id}", f"blob {name[:16]}", "Send its bytes with the entry."
                )
            elif isinstance(offer.entry.what, LoggerBlock):
                yield from _block(
                    offer.entry.id, offer.entry.what, blobs.get(name) or store.blob(name) or b""
                )


def _block(id: str, what: LoggerBlock, data: bytes) -> Iterator[Refusal]:
    try:
        count = len(blocks.unpack(data, 0, UTC))
    except ValueError as wrong:
        yield Refusal(f"entry {id}, blob", str(wrong), "Send the packed columns of the readings.")
        return
    if count != what.count:
        yield Refusal(f"entry {id}, count", str(what.count), f"The block holds {count} readings.")


def _taken(place: int, entry: Entry, by: str) -> Refusal:
    return Refusal(
        f"entry {place}, id",
        shown(entry.id),
        f"It stands on {by} with other words; nothing is overwritten. Give a new entry a new id.",
    )


def _refusal(place: int, entry: object, got: str, do: str) -> Refusal:
    name = shown(getattr(entry, "id", "")) if isinstance(entry, msgspec.Struct) else "no entry"
    return Refusal(f"entry {place} ({name})", got, do)
