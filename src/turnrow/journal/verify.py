"""Reading a whole book over: chain, entries, blobs, the file's structure and a head kept on paper."""

import re

from turnrow.journal import kept_head
from turnrow.journal.check import MOST, Fault, Walk
from turnrow.journal.shape import SHAPE
from turnrow.journal.store import Store
from turnrow.yard.wrongs import DamagedJournal, refuse

SHORTEST_HEAD = 16  # hexadecimal digits of a seal copied from paper


def verify(store: Store, expect_head: str = "", most: int = MOST) -> tuple[Fault, ...]:
    """Every fault found, the first bad line first; empty when the book holds.

    expect_head  a head as printed: a seal, or its first 16 digits or more, with or without its line
                 before it ("412:9f3c..."); it need not be the last, the book may have grown since
    most         how many faults to list; the last then says how many more there are
    """
    line, digits = head_of(expect_head) if expect_head else (0, "")
    walk = Walk(store.blob, most)
    for what in _structure(store, most):
        walk.fault(0, "structure", what)
    met = ""
    try:
        for row in store.rows():
            walk.step(row)
            right_place = row.number == line if line else not met
            if digits and right_place and isinstance(row.seal, bytes) and row.seal.hex().startswith(digits):
                met = row.seal.hex()
        walk.end()
        for name in store.blob_names():
            if name not in walk.named:
                walk.fault(0, "blob", f"the blob {name} belongs to no line")
    except DamagedJournal as wrong:
        walk.fault(walk.number + 1, "structure", wrong.what)
    if digits and not met:
        walk.fault(line if line <= walk.number else walk.number + 1, "head", _not_met(line, walk.number))
    try:
        kept = kept_head.kept(store)
        if kept and not kept_head.holds(store, kept):
            name = kept_head.beside(store.where).name
            walk.fault(min(kept.line, walk.number + 1), "head", _not_kept(kept.line, walk.number, name))
    except DamagedJournal as wrong:
        walk.fault(walk.number + 1, "structure", wrong.what)
    faults = sorted(walk.faults, key=lambda fault: (fault.line == 0, fault.line))
    if walk.more:
        faults.append(Fault(0, "more", f"{walk.more} more faults"))
    return tuple(faults)


def head_of(text: str) -> tuple[int, str]:
    """Line (0 when not said) and seal digits of a head copied from paper; Refused when it is none."""
    found = re.fullmatch(r"(?:(\d{1,18})\s*:)?([0-9a-f\s]+)", text.strip().lower())
    digits = "".join(found[2].split()) if found else ""
    if not found or not SHORTEST_HEAD <= len(digits) <= 64:
        do = f"Copy the seal from the paper: {SHORTEST_HEAD} to 64 digits 0-9 a-f, or LINE:SEAL."
        raise refuse("head", text, do)
    return int(found[1] or 0), digits


def _structure(store: Store, most: int) -> list[str]:
    try:
        found = store.integrity(most)
        if sorted(store.shape()) != sorted(SHAPE):
            found.append("its tables and guards are not as they were laid down")
    except DamagedJournal as wrong:
        return [wrong.what]
    return found


def _not_met(line: int, last: int) -> str:
    if line > last:
        return f"the paper's head is line {line}, the book ends at {last}: its tail was cut off"
    if line:
        return f"line {line} has another seal than the paper's: the book was written anew"
    return "no line has the paper's seal: the tail was cut off or the book written anew"


def _not_kept(line: int, last: int, name: str) -> str:
    if line <= last:
        return f"line {line} has another seal than {name} beside the book says: the book was written anew"
    return (
        f"{name} beside the book says line {line}, the book ends at {last}: its tail was cut off, or it is "
        f"an older copy. If you put an older copy back yourself, look for the lines that are missing, then "
        f"remove {name}"
    )
