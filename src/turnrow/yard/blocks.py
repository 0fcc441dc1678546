"""A logger's readings as one blob: columns packed, compressed, named by their hash.

8 bytes   b"TRBLOCK1"
4 bytes   length of the header, little endian
header    JSON: {"n": readings, "stations": [names]}
columns   zlib of: at (int64, differences), value (int64, differences), depth (int32),
          station (int32), unit (int8), timed (int8), all little endian
"""

import hashlib
import zlib
from zoneinfo import ZoneInfo

import msgspec
import numpy as np
from numpy.typing import NDArray

from turnrow.yard import days
from turnrow.yard.numbers import LARGEST
from turnrow.yard.readings import Readings

MAGIC = b"TRBLOCK1"
MOST = 20_000_000  # readings in one block
EARLIEST, LATEST = -2_208_988_800, 7_258_118_400  # seconds UTC, 1900 to 2200: a clock set wrong still fits


class _Header(msgspec.Struct, forbid_unknown_fields=True):
    n: int
    stations: list[str]


def pack(readings: Readings) -> bytes:
    """The blob of `readings`; the same readings give the same bytes.

    Raises ValueError for what `unpack` would not give back: moments or values beyond their bounds.
    """
    _bounded(readings.at, readings.value)
    header = msgspec.json.encode(_Header(len(readings), list(readings.stations)))
    columns = b"".join(
        (
            _differences(readings.at).tobytes(),
            _differences(readings.value).tobytes(),
            readings.depth.astype("<i4").tobytes(),
            readings.station.astype("<i4").tobytes(),
            readings.unit.astype("<i1").tobytes(),
            readings.timed.astype("<i1").tobytes(),
        )
    )
    return MAGIC + len(header).to_bytes(4, "little") + header + zlib.compress(columns, 1)


def name_of(blob: bytes) -> str:
    """The blob's name: sha256 of its bytes, in hex."""
    return hashlib.sha256(blob).hexdigest()


def unpack(blob: bytes, line: int, yard_zone: ZoneInfo) -> Readings:
    """Readings of a blob, standing on `line`, days counted in `yard_zone`.

    Raises ValueError when the bytes are not a block.
    """
    if blob[:8] != MAGIC:
        raise ValueError(f"block starts {blob[:8]!r}, want {MAGIC!r}")
    size = int.from_bytes(blob[8:12], "little")
    try:
        header = msgspec.json.decode(blob[12 : 12 + size], type=_Header)
        if not 0 <= header.n <= MOST:
            raise ValueError(f"block of {header.n} readings, at most {MOST}")
        reader = zlib.decompressobj()
        columns = reader.decompress(blob[12 + size :], header.n * 26 + 1)
    except (msgspec.DecodeError, zlib.error) as wrong:
        raise ValueError(f"block does not unpack: {wrong}") from wrong
    n = header.n
    if len(columns) != n * 26:
        raise ValueError(f"block holds {len(columns)} bytes, want {n * 26} for {n} readings")
    at = np.cumsum(np.frombuffer(columns, "<i8", n, 0)).astype(np.int64)
    value = np.cumsum(np.frombuffer(columns, "<i8", n, n * 8)).astype(np.int64)
    _bounded(at, value)
    station = np.frombuffer(columns, "<i4", n, n * 20).astype(np.int32)
    unit = np.frombuffer(columns, "<i1", n, n * 24).astype(np.int8)
    known = not n or (station.min() >= 0 and station.max() < len(header.stations))
    if not known or not np.isin(unit, (0, 1, 2)).all():
        raise ValueError("block names a station or unit it does not list")
    return Readings(
        at=at,
        day=days.days_of(at, yard_zone),
        station=station,
        depth=np.frombuffer(columns, "<i4", n, n * 16).astype(np.int32),
        value=value,
        unit=unit,
        timed=np.frombuffer(columns, "<i1", n, n * 25).astype(np.bool_),
        line=np.full(n, line, dtype=np.int32),
        item=np.arange(1, n + 1, dtype=np.int32),
        stations=tuple(header.stations),
    )


def _bounded(at: NDArray[np.int64], value: NDArray[np.int64]) -> None:
    """Whole numbers beyond these would overflow unseen when compared, or have no calendar day."""
    if len(at) and not (at.min() >= EARLIEST and at.max() < LATEST):
        raise ValueError(f"block holds a moment outside {EARLIEST}..{LATEST} s, 1900 to 2200")
    if len(value) and not (value.min() >= -LARGEST and value.max() <= LARGEST):
        raise ValueError(f"block holds a value beyond {LARGEST} millionths")


def _differences(column: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.diff(column, prepend=np.int64(0)).astype("<i8")
