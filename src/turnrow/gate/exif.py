"""The two things worth knowing of a picture's EXIF block: which way up it is, and when it says it was taken.

EXIF 2.3 (CIPA DC-008-2012; tag numbers from MEMORY, held against Pillow in the tests): a TIFF 6.0
directory; Orientation is tag 274, ExifIFD 34665, DateTimeOriginal 36867. What cannot be followed says
nothing: it is thrown away anyway.
"""

import re
import struct
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

ORIENTATION, INNER, TAKEN = 274, 34665, 36867
MOST = 1_000  # tags of a directory
_CLOCK = re.compile(rb"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)")


@dataclass(frozen=True)
class Said:
    turned: int = 0  # 2 to 8 as Orientation numbers them; 0 as it lies
    taken: str = ""  # "2026-05-03 07:40:12", by the camera's clock, which has no zone


def said_by(block: bytes) -> Said:
    """What a TIFF block says; nothing for a block that cannot be read."""
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(block[:4])
    if order is None or len(block) < 8:
        return Said()
    first = _tags(block, order, struct.unpack(order + "I", block[4:8])[0])
    turned = _number(first.get(ORIENTATION, b""), order)
    inner = _tags(block, order, _number(first.get(INNER, b""), order))
    at = _number(inner.get(TAKEN, b""), order)
    return Said(turned if 2 <= turned <= 8 else 0, _moment(block[at : at + 19]))


def way_up(turned: int) -> bytes:
    """A TIFF block that says nothing but the orientation."""
    return struct.pack(">2sHIHHHIHHI", b"MM", 42, 8, 1, ORIENTATION, 3, 1, turned, 0, 0)


def _tags(block: bytes, order: str, at: int) -> Mapping[int, bytes]:
    """The 10 bytes after each tag of the directory at `at`: type, count and value or its place."""
    if not 8 <= at <= len(block) - 2:
        return {}
    count = struct.unpack(order + "H", block[at : at + 2])[0]
    found: dict[int, bytes] = {}
    for n in range(min(count, MOST)):
        entry = block[at + 2 + 12 * n : at + 14 + 12 * n]
        if len(entry) < 12:
            break
        found.setdefault(struct.unpack(order + "H", entry[:2])[0], entry[2:])
    return found


def _number(entry: bytes, order: str) -> int:
    """A short, or a long, which is also how the place of something longer is written."""
    if len(entry) < 10:
        return 0
    short = struct.unpack(order + "H", entry[:2])[0] == 3
    return int(struct.unpack(order + ("H" if short else "I"), entry[6 : 8 if short else 10])[0])


def _moment(text: bytes) -> str:
    found = _CLOCK.fullmatch(text)
    if found is None:
        return ""
    try:
        return datetime(*(int(part) for part in found.groups())).isoformat(" ")  # type: ignore[arg-type]  # noqa: DTZ001
    except ValueError:
        return ""
