"""What a camera wrote beside its pixels is gone, and the pixels are not: Pillow makes and reads the files."""

import io
import random
import struct
import tracemalloc
import zlib

import pytest
from PIL import Image, ImageCms, PngImagePlugin

from turnrow.gate.photograph import photograph
from turnrow.yard.wrongs import Refused

SECRETS = (b"Quillphone 9", b"Ada Invented", b"51.5", b"secretplace", b"XML:com.adobe", b"GPS")
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><secretplace>51.5</secretplace></x:xmpmeta>"
SIDES = {"JPEG": {"quality": 90}, "PNG": {}, "WEBP": {"lossless": True}, "LOSSY": {"quality": 80}}


def picture(turned: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x013B] = "Quillphone", "Quillphone 9", "Ada Invented"
    exif[0x0112] = turned
    exif.get_ifd(0x8769)[0x9003] = "2026:05:03 07:40:12"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    return exif


def noise(mode: str = "RGB") -> Image.Image:
    size = len(mode) * 40 * 30
    return Image.frombytes(mode, (40, 30), random.Random(3).randbytes(size))


def saved(kind: str, turned: int = 1, mode: str = "RGB", **more) -> bytes:
    out = io.BytesIO()
    more = {**SIDES[kind], "exif": picture(turned), "icc_profile": profile(), **more}
    if kind == "PNG":
        told = PngImagePlugin.PngInfo()
        told.add_text("Author", "Ada Invented")
        told.add_itxt("XML:com.adobe.xmp", XMP.decode())
        more["pnginfo"] = told
    else:
        more["xmp"] = XMP
    noise(mode).save(out, "WEBP" if kind == "LOSSY" else kind, **more)
    return out.getvalue()


def profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


@pytest.mark.parametrize("turned", [1, 6, 8])
@pytest.mark.parametrize("kind", list(SIDES))
def test_no_metadata_is_left_and_every_pixel_is(kind: str, turned: int) -> None:
    sent = saved(kind, turned)
    assert any(secret in sent for secret in SECRETS)
    bare = photograph(sent)
    before, after = Image.open(io.BytesIO(sent)), Image.open(io.BytesIO(bare.data))
    assert after.tobytes() == before.tobytes() and after.mode == before.mode
    assert after.info["icc_profile"] == before.info["icc_profile"]
    assert dict(after.getexif()) == ({} if turned == 1 else {0x0112: turned})
    assert dict(after.getexif().get_ifd(0x8825)) == dict(after.getexif().get_ifd(0x8769)) == {}
    assert not {"comment", "xmp", "Author", "photoshop", "XML:com.adobe.xmp"} & set(after.info)
    assert not any(secret in bare.data for secret in SECRETS)
    assert bare.taken == "2026-05-03 07:40:12"
    assert photograph(bare.data).data == bare.data  # nothing more to take off


@pytest.mark.parametrize(
    ("kind", "mode", "more"),
    [
        ("JPEG", "CMYK", {"comment": b"Ada Invented"}),
        ("JPEG", "L", {"progressive": True}),
        ("JPEG", "RGB", {"progressive": True, "restart_marker_rows": 1}),
        ("PNG", "RGBA", {}),
        ("WEBP", "RGBA", {}),
        ("LOSSY", "RGBA", {}),
    ],
)
def test_other_ways_to_code_pixels_come_through(kind: str, mode: str, more: dict) -> None:
    sent = saved(kind, mode=mode, icc_profile=None, **more)
    bare = photograph(sent)
    before, after = Image.open(io.BytesIO(sent)), Image.open(io.BytesIO(bare.data))
    assert after.tobytes() == before.tobytes() and not after.getexif()
    assert not any(secret in bare.data for secret in SECRETS)


def test_what_follows_the_picture_and_small_copies_go_too() -> None:
    sent = saved("JPEG", comment=b"Ada Invented")
    iptc = b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\x0fAda Invented\0\0\0\0"
    part = b"\xff\xed" + struct.pack(">H", len(iptc) + 2) + iptc
    doubled = sent[:2] + part + sent[2:] + saved("JPEG")  # as phones hang a second picture on
    assert photograph(doubled).data == photograph(sent).data
    assert photograph(saved("PNG") + XMP).data == photograph(saved("PNG")).data
    assert photograph(saved("WEBP") + XMP).data == photograph(saved("WEBP")).data


@pytest.mark.parametrize("kind", list(SIDES))
def test_a_picture_cut_short_anywhere_is_refused(kind: str) -> None:
    bare = photograph(saved(kind)).data
    for length in range(0, len(bare) - 1, 7):
        with pytest.raises(Refused, match="photo: got"):
            photograph(bare[:length])


@pytest.mark.parametrize("kind", list(SIDES))
def test_bytes_changed_at_random_are_refused_or_kept_without_a_fault(kind: str) -> None:
    chance = random.Random(11)
    sent = saved(kind)
    refused = 0
    for _ in range(400):
        hurt = bytearray(sent)
        for _ in range(chance.randrange(1, 6)):
            hurt[chance.randrange(0, min(len(hurt), 900))] = chance.randrange(256)
        try:
            made = photograph(bytes(hurt))
        except Refused as wrong:
            refused += 1
            assert all(r.where == "photo" and r.do for r in wrong.refusals)
        else:
            assert photograph(made.data).data == made.data
    assert refused


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def _png(width: int, height: int, *more: bytes) -> bytes:
    head = _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    end = _chunk(b"IDAT", zlib.compress(b"\0\x80")) + _chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + head + b"".join(more) + end


@pytest.mark.parametrize(
    ("data", "got"),
    [
        (b"", "no picture"),
        (b"GIF89a", "no picture"),
        (_png(2**31 - 1, 2**31 - 1), "pixels"),
        (_png(0, 4), "pixels"),
        (_png(1, 1, _chunk(b"acTL", b"\0" * 8)), "several frames"),
        (_png(1, 1)[:20] + b"\1" + _png(1, 1)[21:], "own sum"),
        (_png(1, 1)[:8] + b"\xff\xff\xff\xff" + _png(1, 1)[12:], "too early"),
        (b"\xff\xd8\xff\xe1\x00\x01" + b"\0" * 40, "shorter"),
        (b"\xff\xd8\xff\xe1\xff\xffExif", "longer than the file"),
        (b"\xff\xd8\xff\xd9", "no pixels"),
        (b"\xff\xd8" + b"\xff" * 500, "out of place"),
        (b"\xff\xd8\xff\xc0\x00\x11\x08\xff\xff\xff\xff" + b"\0" * 20, "pixels"),
        (b"RIFF\xff\xff\xff\xffWEBPVP8 ", "too early"),
        (b"RIFF\x0c\0\0\0WEBPVP8 \xff\xff\0\0", "longer than the file"),
        (b"RIFF\x0c\0\0\0WEBPANIM\0\0\0\0", "several frames"),
        (b"RIFF\x04\0\0\0WEBP", "no pixels"),
    ],
)
def test_hostile_pictures_are_refused_plainly(data: bytes, got: str) -> None:
    with pytest.raises(Refused, match=got):
        photograph(data)


def test_an_exif_block_that_leads_nowhere_says_nothing() -> None:
    for block in (
        b"II*\0\xff\xff\xff\xff",
        b"MM\0*\0\0\0\x08\xff\xff",
        b"II*\0\x08\0\0\0\x01\0\x69\x87\x04\0\1\0\0\0\x08\0\0\0",
    ):
        sent = saved("JPEG", exif=b"Exif\0\0" + block)
        made = photograph(sent)
        assert made.taken == "" and b"Exif" not in made.data


def png(width: int, height: int, coded: bytes, interlaced: int = 0) -> bytes:
    """A PNG of 8-bit red, green and blue put together by hand, W3C 2003 section 5."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, interlaced)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", coded) + chunk(b"IEND", b"")


def zeros(count: int) -> bytes:
    packer = zlib.compressobj(9)
    step = bytes(1_000_000)
    return b"".join(packer.compress(step[: count - at]) for at in range(0, count, len(step))) + packer.flush()


@pytest.mark.parametrize("honest", [True, False])
def test_a_png_that_unpacks_to_six_hundred_million_bytes_is_refused(honest: bool) -> None:
    """By its header, or though its header tells of 4 by 4 pixels; and nothing like it is held."""
    sent = png(14_142, 14_142, zeros(1000)) if honest else png(4, 4, zeros(600_000_000))
    assert len(sent) < 1_000_000
    tracemalloc.start()
    with pytest.raises(Refused) as caught:
        photograph(sent)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 8_000_000 and "bytes" in caught.value.refusals[0].got


def test_a_png_with_pixels_missing_is_refused() -> None:
    assert photograph(png(4, 4, zeros(4 * 13))).kind == "image/png"
    with pytest.raises(Refused):
        photograph(png(4, 4, zeros(4 * 13 - 1)))


@pytest.mark.parametrize(
    ("mode", "wide"), [("1", 13), ("P", 7), ("L", 9), ("LA", 5), ("RGBA", 11), ("I;16", 3)]
)
def test_pngs_of_every_kind_that_pillow_makes_hold_together(mode: str, wide: int) -> None:
    out = io.BytesIO()
    Image.new(mode, (wide, 17)).save(out, "PNG")
    assert photograph(out.getvalue()).data


@pytest.mark.parametrize("size", [(1, 1), (3, 2), (5, 9), (8, 8), (33, 17)])
def test_the_bytes_of_interlaced_pixels_are_counted_by_their_seven_passes(size: tuple[int, int]) -> None:
    """W3C 2003 section 8.2: which pixel is of which pass, counted one by one from the figure's pattern."""
    pattern = ("16462646", "77777777", "56565656", "77777777", "36463646", "77777777", "56565656", "77777777")
    width, height = size
    total = 0
    for one in "1234567":
        rows = [sum(pattern[y % 8][x % 8] == one for x in range(width)) for y in range(height)]
        total += sum(1 + 3 * count for count in rows if count)
    sent = png(width, height, zeros(total), interlaced=1)
    assert photograph(sent).data == sent


def test_a_colour_profile_that_unpacks_to_a_hundred_million_bytes_is_left_out() -> None:
    sent = png(4, 4, zeros(4 * 13))
    body = b"p\0\0" + zeros(60_000_000)
    made = struct.pack(">I", len(body)) + b"iCCP" + body + struct.pack(">I", zlib.crc32(b"iCCP" + body))
    assert photograph(sent[:33] + made + sent[33:]).data == sent
