"""The parts of a workbook looked at before its reader sees them.

What they unpack to and how far a sheet's cells reach is counted first. A cell that holds a spreadsheet's
error, or a formula whose result was never stored, comes out of the reader as an empty one: such cells are
written anew as texts that say so.
"""

import html
import io
import re
import zipfile
import zlib

from turnrow.yard.wrongs import refuse

LARGEST = 300 * 1024 * 1024  # bytes unpacked, all parts together
MOST_CELLS = 10_000_000
MOST_PARTS = 2_000
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384  # where every sheet ends: as spreadsheets have it
FORMULA = "#="  # before a formula without its result
_PLACED = re.compile(rb"""<(?:\w+:)?(?:c|row)\s[^<>]*?\br\s*=\s*["']([^"'<>]*)["'][^<>]*(?<!/)>""")
_PLACE = re.compile(rb"([A-Za-z]*)(\d*)")
_TAG = re.compile(rb"<(/?)(?:\w+:)?(c|f|v|is)(\s[^<>]*)?/?>")
_KIND = re.compile(rb"""\bt\s*=\s*["'](\w+)["']""")


def looked_at(data: bytes, name: str) -> bytes:
    """The workbook, its errors and unworked formulas as texts.

    Raises Refused when it unpacks to more than a file may hold, or its cells reach too far.
    """
    changed: dict[str, bytes] = {}
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            listed = parts.infolist()
            if len(listed) > MOST_PARTS:
                raise refuse(name, f"{len(listed)} parts", "This is no workbook of readings.")
            if sum(part.file_size for part in listed) > LARGEST:  # it says so itself
                raise _too_large(name)
            room = LARGEST
            for part in listed:
                unpacked = _unpack(data, part, room)
                room -= len(unpacked)
                if room < 0:
                    raise _too_large(name)
                _count_cells(unpacked, name)
                marked = _marked(unpacked)
                if marked is not unpacked:
                    changed[part.filename] = marked
            return _with(parts, changed) if changed else data
    except (zipfile.BadZipFile, zlib.error, OSError, ValueError, RuntimeError) as wrong:
        raise refuse(name, wrong, "Open it in a spreadsheet and save it again as XLSX or CSV.") from wrong


def _too_large(name: str) -> Exception:
    return refuse(name, f"more than {LARGEST} bytes when unpacked", "Export the readings alone, as CSV.")


def _unpack(data: bytes, part: zipfile.ZipInfo, room: int) -> bytes:
    """What the part's bytes really unpack to, whatever the zip's list says; at most room + 1."""
    start = part.header_offset
    sizes = data[start + 26 : start + 30]
    if data[start : start + 4] != b"PK\x03\x04" or len(sizes) < 4:
        raise zipfile.BadZipFile("a part is not where the list says")
    start += 30 + int.from_bytes(sizes[:2], "little") + int.from_bytes(sizes[2:], "little")
    packed = memoryview(data)[start : start + part.compress_size]
    if part.compress_type == zipfile.ZIP_STORED:
        return bytes(packed[: room + 1])
    if part.compress_type != zipfile.ZIP_DEFLATED:
        raise zipfile.BadZipFile(f"a part is packed in way {part.compress_type}")
    return zlib.decompressobj(-15).decompress(packed, room + 1)


def _count_cells(xml: bytes, name: str) -> None:
    """Every part is counted, whatever its name: the reader finds its sheets by other ways. Cells that are
    empty are not, as it leaves them out."""
    rows = columns = 1
    for found in _PLACED.finditer(xml):
        row, column = _row_column(found[1])
        if row > LAST_ROW or column > LAST_COLUMN:
            got = f"a cell at {found[1][:20].decode('ascii', 'replace')}"
            raise refuse(name, got, "No sheet reaches beyond XFD1048576. Save it again as XLSX or CSV.")
        rows, columns = max(rows, row), max(columns, column)
    if rows * columns > MOST_CELLS:
        raise refuse(
            name,
            f"a sheet of {rows} rows by {columns} columns",
            "Delete the far cells, or export the readings alone as CSV.",
        )


def _row_column(place: bytes) -> tuple[int, int]:
    """Counted from 1; 0 for one that is not told. Letters may be small: readers take both."""
    found = _PLACE.fullmatch(place)
    if found is None:
        return 0, 0
    letters, number = found[1].upper(), found[2]
    column = 0
    for letter in letters[:8]:
        column = column * 26 + letter - 64
    return int(number[:12] or b"0"), column


def _marked(xml: bytes) -> bytes:
    """A sheet with its errors and unworked formulas as texts; the same bytes where there is none."""
    if b"sheetData" not in xml or not re.search(rb"""\bt\s*=\s*["']e["']|<(?:\w+:)?f[\s/>]""", xml):
        return xml
    made: list[bytes] = []
    done = opened = 0
    cell: re.Match[bytes] | None = None
    inside: dict[bytes, bytes] = {}
    for tag in _TAG.finditer(xml):
        closing, what, _ = tag.groups()
        if what == b"c" and not closing:
            cell, inside = (None if tag[0].endswith(b"/>") else tag), {}
        elif what == b"c" and cell is not None:
            text = _says(cell, inside)
            if text:
                made += [xml[done : cell.start()], _cell(cell, text)]
                done = tag.end()
            cell = None
        elif closing:
            inside[what] = xml[opened : tag.start()]
        else:
            inside[what], opened = b"", tag.end()
    return b"".join([*made, xml[done:]]) if made else xml


def _says(cell: re.Match[bytes], inside: dict[bytes, bytes]) -> bytes:
    """What is to stand in a cell with an error, or with a formula alone; nothing for any other."""
    kind = _KIND.search(cell[3] or b"")
    said = kind[1] if kind else b""
    if said == b"e":
        return inside.get(b"v", b"").strip() or b"#N/A"
    if b"f" in inside and not inside.get(b"v") and b"is" not in inside and said != b"str":
        return FORMULA.encode() + inside[b"f"]
    return b""


def _cell(cell: re.Match[bytes], text: bytes) -> bytes:
    prefix = cell[0][1 : cell.start(2) - cell.start()]
    kept = re.sub(rb"""\s(?:t|s)\s*=\s*["'][^"']*["']""", b"", cell[3] or b"")
    safe = html.escape(html.unescape(text.decode("utf-8", "replace")), quote=False).encode()
    return b'<%sc%s t="str"><%sv>%s</%sv></%sc>' % (prefix, kept, prefix, safe, prefix, prefix)


def _with(parts: zipfile.ZipFile, changed: dict[str, bytes]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as made:
        for part in parts.infolist():
            made.writestr(part.filename, changed.get(part.filename) or parts.read(part))
    return held.getvalue()
