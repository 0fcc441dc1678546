"""A photograph without what the camera wrote beside it: place, phone, owner, comments, small copies.

A picture is kept by the hash of its bytes and can never be changed afterwards, so this is taken off
before the hash. The coded pixels are copied byte for byte, never decoded; a PNG's are
unpacked to count them, a little at a time, as a few kilobytes may hold gigabytes. Only parts on a list stay:
those that are needed to show the pixels, a colour profile, and the way up. What the camera's clock
said is handed back, to stand in the diary as said.

Containers: JPEG, ITU-T T.81 annex B; PNG, W3C 2003 section 5; WebP, RFC 9649 section 2.
"""

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from turnrow.gate.exif import Said, said_by, way_up
from turnrow.yard.wrongs import Refusal, Refused, refuse

PICTURES = ("image/jpeg", "image/png", "image/webp")
MOST_PIXELS = 200_000_000  # no phone takes more; a few bytes may claim thousands of millions
PROFILE_MOST = 100_000  # bytes of a colour profile
PNG_START = b"\x89PNG\r\n\x1a\n"
MOST_UNPACKED = 256 * 1024 * 1024  # bytes of a PNG's pixels
PROFILE_UNPACKED = 4 * 1024 * 1024
_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}  # samples of a pixel by PNG's colour type
_PNG_KEPT = frozenset(
    (b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"sBIT", b"sRGB", b"cICP", b"iCCP")
)
ADAM7 = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
STEP = 1024 * 1024  # bytes unpacked at once, only to be counted
_FRAMES = frozenset((*range(0xC0, 0xC4), *range(0xC5, 0xC8), *range(0xC9, 0xCC), *range(0xCD, 0xD0)))
_TABLES = frozenset((0xC4, 0xCC, 0xDB, 0xDC, 0xDD))
_PROFILE = b"ICC_PROFILE\0"


@dataclass(frozen=True)
class Photograph:
    data: bytes  # to be kept and named by its hash
    kind: str  # media type
    taken: str  # what the camera's clock said, "2026-05-03 07:40:12"; empty when it said nothing


def kind_of(data: bytes) -> str:
    """The media type by the first bytes; empty for anything but JPEG, PNG and WebP."""
    if data.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if data.startswith(PNG_START):
        return "image/png"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "image/webp"
    return ""


def photograph(data: bytes, where: str = "photo") -> Photograph:
    """The picture in `data` with nothing beside its pixels; the same bytes when there was nothing.

    Raises Refused for anything but a whole, still JPEG, PNG or WebP picture.
    """
    kind = kind_of(data)
    if not kind:
        raise refuse(where, "a file that is no picture", "Send a JPEG, PNG or WebP picture.")
    read = {"image/jpeg": _jpeg, "image/png": _png, "image/webp": _webp}[kind]
    try:
        bare, said = read(data)
    except _Broken as wrong:
        raise _refused(where, wrong) from None
    return Photograph(bare, kind, said.taken)


class _Broken(Exception):
    """The container does not hold together, or holds what is no still picture."""


def _refused(where: str, wrong: _Broken) -> Refused:
    return Refused([Refusal(where, f"a picture with {wrong}", "Take it anew, or save it as JPEG or PNG.")])


def _sized(width: int, height: int) -> None:
    if not width or not height or width * height > MOST_PIXELS:
        raise _Broken(f"{width:,} by {height:,} pixels, want at most {MOST_PIXELS:,} in all")


def _jpeg(data: bytes) -> tuple[bytes, Said]:
    kept: list[bytes] = []
    said = Said()
    framed = scanned = False
    for marker, whole, body in _segments(data):
        if marker in _FRAMES:
            if len(body) < 6 or framed:
                raise _Broken("more than one frame, or half of one")
            framed = True
            _sized(*reversed(struct.unpack(">HH", body[1:5])))
        elif marker == 0xDA:
            scanned = True
        elif marker == 0xE1 and body.startswith(b"Exif\0\0") and said == Said():
            said = said_by(body[6:])
            continue
        elif not _jpeg_keeps(marker, body):
            continue
        kept.append(whole)
    if not framed or not scanned:
        raise _Broken("no pixels")
    if said.turned:
        block = b"Exif\0\0" + way_up(said.turned)
        at = 1 if kept[0][1] == 0xE0 else 0  # JFIF comes first where there is one
        kept.insert(at, b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block)
    return b"\xff\xd8" + b"".join(kept) + b"\xff\xd9", said


def _jpeg_keeps(marker: int, body: bytes) -> bool:
    profile = marker == 0xE2 and body.startswith(_PROFILE) and len(body) <= PROFILE_MOST
    header = marker == 0xE0 and body.startswith(b"JFIF\0") and len(body) == 14  # longer: with a small copy
    colours = marker == 0xEE and body.startswith(b"Adobe") and len(body) == 12
    return marker in _TABLES or profile or header or colours


def _segments(data: bytes) -> Iterator[tuple[int, bytes, bytes]]:
    """(marker, its bytes with the coded data after it, its body) up to the end mark."""
    at = 2
    while True:
        if data[at : at + 1] != b"\xff":
            raise _Broken("an end too early" if at >= len(data) else f"no mark at byte {at:,}")
        while data[at + 1 : at + 2] == b"\xff":  # fill bytes
            at += 1
        marker = data[at + 1] if at + 1 < len(data) else 0
        if marker == 0xD9:
            return
        if marker < 0xC0 or 0xD0 <= marker <= 0xD8:
            raise _Broken(f"a mark out of place at byte {at:,}")
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        end = at + 2 + length
        if length < 2 or end > len(data):
            raise _Broken(
                f"a part at byte {at:,} that is longer than the file, or shorter than its own length"
            )
        body = data[at + 4 : end]
        if marker == 0xDA:
            end = _coded(data, end)
        yield marker, data[at:end], body
        at = end


def _coded(data: bytes, at: int) -> int:
    """Where the coded pixels from `at` on end: at the first mark that is neither stuffing nor a restart."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            raise _Broken("an end too early")
        follows = data[at + 1]
        if follows and not 0xD0 <= follows <= 0xD7 and follows != 0xFF:
            return at
        at += 1 if follows == 0xFF else 2


def _png(data: bytes) -> tuple[bytes, Said]:
    kept: list[bytes] = []
    said = Said()
    names: list[bytes] = []
    coded: list[bytes] = []
    wanted = 0
    for name, whole, body in _chunks(data):
        if name == b"acTL":
            raise _Broken("several frames")
        if not names and (name != b"IHDR" or len(body) != 13):
            raise _Broken("no header")
        if name == b"IHDR":
            _sized(*struct.unpack(">II", body[:8]))
            wanted = _png_bytes(body)
        elif name == b"IDAT":
            coded.append(body)
        elif name == b"eXIf":
            said = said_by(body)
        names.append(name)
        if name in _PNG_KEPT and not (name == b"iCCP" and not _profile_fits(body)):
            kept.append(whole)
    if b"IDAT" not in names or names.count(b"IHDR") != 1:
        raise _Broken("no pixels, or more than one header")
    if _unpacked(coded, wanted + 1) != wanted:
        raise _Broken(f"pixels that are not the {wanted:,} bytes its header tells of")
    if said.turned:
        kept.insert(1, _chunk(b"eXIf", way_up(said.turned)))
    return PNG_START + b"".join(kept), said


def _png_bytes(header: bytes) -> int:
    """Bytes of the pixels unpacked, each row with its filter's byte (W3C 2003, sections 8.2 and 9.2)."""
    width, height, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", header)
    if colour not in _CHANNELS or depth not in (1, 2, 4, 8, 16) or interlaced > 1:
        raise _Broken("no header")
    passes = ADAM7 if interlaced else ((0, 0, 1, 1),)
    total = 0
    for x, y, dx, dy in passes:
        wide, high = -(-(width - x) // dx), -(-(height - y) // dy)
        if wide > 0 and high > 0:
            total += high * (1 + -(-wide * depth * _CHANNELS[colour] // 8))
    if total > MOST_UNPACKED:
        raise _Broken(f"{total:,} bytes when unpacked, want at most {MOST_UNPACKED:,}")
    return total


def _unpacked(coded: list[bytes], most: int) -> int:
    """How many bytes the coded parts unpack to, counted to `most` and not kept."""
    unpacker, total = zlib.decompressobj(), 0
    try:
        for part in coded:
            while part and total < most:
                total += len(unpacker.decompress(part, min(STEP, most - total)))
                part = unpacker.unconsumed_tail
    except zlib.error:
        raise _Broken("pixels that cannot be unpacked") from None
    return total


def _profile_fits(body: bytes) -> bool:
    """Whether a PNG's colour profile is small, packed and unpacked."""
    _, _, rest = body.partition(b"\0")
    try:
        size = len(zlib.decompressobj().decompress(rest[1:], PROFILE_UNPACKED + 1))
    except zlib.error:
        return False
    return len(body) <= PROFILE_MOST and size <= PROFILE_UNPACKED


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes, bytes]]:
    at, name = 8, b""
    while name != b"IEND":
        length = int.from_bytes(data[at : at + 4], "big")
        end = at + 12 + length
        name, body = data[at + 4 : at + 8], data[at + 8 : end - 4]
        if len(data) < at + 12 or end > len(data):
            raise _Broken("an end too early")
        if int.from_bytes(data[end - 4 : end], "big") != zlib.crc32(name + body):
            raise _Broken(f"a part at byte {at:,} that is not what its own sum says")
        yield name, data[at:end], body
        at = end


def _webp(data: bytes) -> tuple[bytes, Said]:
    end = 8 + int.from_bytes(data[4:8], "little")
    if end > len(data):
        raise _Broken("an end too early")
    parts: dict[bytes, bytes] = {}
    at = 12
    while at < end:
        name, length = data[at : at + 4], int.from_bytes(data[at + 4 : at + 8], "little")
        if at + 8 + length > end:
            raise _Broken(f"a part at byte {at:,} that is longer than the file")
        parts.setdefault(name, data[at + 8 : at + 8 + length])
        at += 8 + length + length % 2
    if b"ANIM" in parts or b"ANMF" in parts:
        raise _Broken("several frames")
    said = said_by(parts.get(b"EXIF", b"").removeprefix(b"Exif\0\0"))
    lossy = parts.get(b"VP8 ", b"")
    pixels = lossy or parts.get(b"VP8L", b"")
    if len(pixels) < 10 or (lossy[3:6] != b"\x9d\x01\x2a" if lossy else pixels[0] != 0x2F):
        raise _Broken("no pixels")
    made = [(b"VP8 " if lossy else b"VP8L", pixels)]
    if lossy and b"ALPH" in parts:
        made.insert(0, (b"ALPH", parts[b"ALPH"]))
    if b"VP8X" in parts:
        made = _extended(parts, made, said)
    elif lossy:
        wide, high = struct.unpack("<HH", lossy[6:10])
        _sized(wide & 0x3FFF, high & 0x3FFF)
    body = b"WEBP" + b"".join(
        name + struct.pack("<I", len(part)) + part + b"\0" * (len(part) % 2) for name, part in made
    )
    return b"RIFF" + struct.pack("<I", len(body)) + body, said


def _extended(
    parts: dict[bytes, bytes], made: list[tuple[bytes, bytes]], said: Said
) -> list[tuple[bytes, bytes]]:
    """The parts of an extended file, its header saying only what is still there."""
    head = parts[b"VP8X"]
    if len(head) != 10:
        raise _Broken("no header")
    _sized(1 + int.from_bytes(head[4:7], "little"), 1 + int.from_bytes(head[7:10], "little"))
    flags = head[0] & 0x10  # alpha
    profile = parts.get(b"ICCP", b"")
    if 0 < len(profile) <= PROFILE_MOST:
        flags |= 0x20
        made = [(b"ICCP", profile), *made]
    if said.turned:
        flags |= 0x08
        made = [*made, (b"EXIF", way_up(said.turned))]
    return [(b"VP8X", bytes([flags, 0, 0, 0]) + head[4:]), *made]
