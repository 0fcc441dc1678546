"""The bytes a line is kept as, and the seal that ties it to the line before.

The format is told in docs/record-keeping.md in full; a change here is a new file format.
"""

import hashlib
import struct
from datetime import UTC, datetime, timedelta

import msgspec

from turnrow.yard.entries import Entry

GENESIS = hashlib.sha256(b"turnrow book 1").digest()  # stands before line 1
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MICROSECOND = timedelta(microseconds=1)

_encoder = msgspec.json.Encoder(order="sorted")
_figures = struct.Struct(">QQQ").pack


def canonical(thing: object) -> bytes:
    """JSON in UTF-8 without spaces, keys sorted: one entry has one spelling."""
    return _encoder.encode(thing)


def seal(before: bytes, number: int, written_us: int, raw: bytes) -> bytes:
    """SHA-256 of the seal before, the number, the moment written, the length and the bytes (32 bytes)."""
    return hashlib.sha256(before + _figures(number, written_us, len(raw)) + raw).digest()


def blobs_of(entry: Entry) -> tuple[str, ...]:
    """Names of the blobs an entry cannot do without."""
    names = (getattr(entry.what, "blob", ""), getattr(entry.what, "photo", ""))
    return tuple(name for name in names if name)


def spare_blobs_of(entry: Entry) -> tuple[str, ...]:
    """Names of blobs an entry may have kept beside it: the file a block was read from."""
    name = getattr(entry.what, "file_hash", "")
    return (name,) if name else ()


def microseconds(written: datetime) -> int:
    """Microseconds since 1970 UTC of an aware moment, which must not lie before that."""
    if written.tzinfo is None:
        raise ValueError(f"written {written.isoformat()} has no zone")
    if written < EPOCH:
        raise ValueError(f"written {written.isoformat()}, want 1970 or later")
    return (written - EPOCH) // MICROSECOND


def moment(written_us: int) -> datetime:
    return EPOCH + timedelta(microseconds=written_us)
