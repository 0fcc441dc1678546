"""A file as it is handed in: what is told of it, once for every kind of file the book takes."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True)
class Handed:
    """The bytes of a file, who hands it in when, and what they say of it.

    mapping       how to read its columns; None where they speak for themselves
    kind          which kind of entry each of its rows is
    row, lot      what all of it is of, where it does not say so itself
    probe         the probe or logger its readings come from
    again         take up what was struck
    as_written    the unit is right, though the readings fit the other one
    self_heating  it is the log of such a test
    ambient       the air the test's vessels stood in, "20 C"; empty where a station of the log tells it
    """

    data: bytes
    name: str
    now: datetime
    who: str
    device: str = ""
    mapping: Mapping[str, Any] | None = None
    kind: str = ""
    row: str = ""
    lot: str = ""
    probe: str = ""
    again: bool = False
    as_written: bool = False
    self_heating: bool = False
    ambient: str = ""
