"""Reading old lines: their bytes stay as they were, and are brought up to today's format here.

A step turns the plain JSON object of one format into that of the next. To change a field of
`yard/entries.py`: raise FORMAT there, add the step from the format before to STEPS, and pin bytes
of the old format in tests/pins.
"""

from collections.abc import Callable, Mapping
from typing import Any

import msgspec

from turnrow.yard.entries import FORMAT, Entry
from turnrow.yard.wrongs import refuse

Step = Callable[[dict[str, Any]], dict[str, Any]]
STEPS: Mapping[int, Step] = {}  # format -> step to the format after it

_entry = msgspec.json.Decoder(Entry)


class _Format(msgspec.Struct):
    v: int


_format = msgspec.json.Decoder(_Format)


def entry_of(raw: bytes, line: int = 0) -> Entry:
    """The entry kept as `raw`, in today's format.

    Raises ValueError when the bytes are not an entry, Refused when a newer turnrow wrote them.
    """
    try:
        entry = _entry.decode(raw)
    except msgspec.ValidationError as wrong:
        if format_of(raw) == FORMAT:
            raise ValueError(f"not an entry: {wrong}") from wrong
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as wrong:
        raise ValueError(f"not an entry: {wrong}") from wrong
    else:
        if entry.v == FORMAT:
            return entry
    return _upgraded(raw, line)


def format_of(raw: bytes) -> int:
    """The format an entry's bytes say they are in; ValueError when they say none."""
    try:
        return _format.decode(raw).v
    except (msgspec.DecodeError, UnicodeDecodeError) as wrong:
        raise ValueError(f"not an entry: {wrong}") from wrong


def _upgraded(raw: bytes, line: int) -> Entry:
    found = format_of(raw)
    if found > FORMAT:
        raise refuse(
            f"line {line}" if line else "entry",
            f"format {found}",
            f"It was written by a newer turnrow; this one reads up to format {FORMAT}. Update it.",
        )
    thing: dict[str, Any] = msgspec.json.decode(raw)
    for step in range(found, FORMAT):
        if step not in STEPS:
            raise ValueError(f"format {found} of an entry, which no turnrow ever wrote")
        thing = {**STEPS[step](thing), "v": step + 1}
    try:
        return msgspec.convert(thing, Entry)
    except msgspec.ValidationError as wrong:
        raise ValueError(f"not an entry of format {found}: {wrong}") from wrong
