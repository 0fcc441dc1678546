"""A workbook (XLSX) as texts, after a look at what it would unpack to.

A workbook is a zip of XML: a few kilobytes may claim gigabytes, and two far cells a whole sheet
of empty ones. Both are counted before the reader sees the file.
"""

import io
import re
import zipfile
import zlib

import fastexcel
import polars as pl

from turnrow.yard.wrongs import refuse

LARGEST = 300 * 1024 * 1024  # bytes unpacked, all parts together
MOST_CELLS = 30_000_000
MOST_PARTS = 2_000
_CELL = re.compile(rb"""\br\s*=\s*["']([A-Z]{0,4})(\d{1,9})["']""")


def is_workbook(data: bytes) -> bool:
    return data[:4] == b"PK\x03\x04"


def sheet(data: bytes, name: str, wanted: str = "") -> pl.DataFrame:
    """The cells of the first sheet, or of the one `wanted`, all as text; row 1 is the sheet's row 1.

    Raises Refused when the bytes are no workbook or unpack to more than a file may hold.
    """
    _look(data, name)
    try:
        book = fastexcel.read_excel(data)
        names = book.sheet_names
        if wanted and wanted not in names:
            raise refuse(f"{name}, sheet", wanted, f"It has the sheets {', '.join(names[:20])}.")
        loaded = book.load_sheet(wanted or 0, header_row=None, skip_rows=0, dtypes="string")
        frame: pl.DataFrame = loaded.to_polars()
    except fastexcel.FastExcelError as wrong:
        raise _no_workbook(name, wrong) from wrong
    except BaseException as wrong:
        if type(wrong).__name__ != "PanicException":  # the reader's own, and no Exception
            raise
        raise _no_workbook(name, "a workbook its reader gives up on") from None
    return frame.select(pl.col(c).cast(pl.String) for c in frame.columns)


def _no_workbook(name: str, got: object) -> Exception:
    return refuse(name, got, "Open it in a spreadsheet and save it again as XLSX or CSV.")


def _look(data: bytes, name: str) -> None:
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
                if "worksheets/" in part.filename:
                    _count_cells(unpacked, name)
    except (zipfile.BadZipFile, zlib.error, OSError, ValueError, RuntimeError) as wrong:
        raise _no_workbook(name, wrong) from wrong


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
    rows = columns = 1
    for found in _CELL.finditer(xml):
        letters, number = found.groups()
        rows = max(rows, int(number))
        if letters:
            place = 0
            for letter in letters:
                place = place * 26 + letter - 64
            columns = max(columns, place)
    if rows * columns > MOST_CELLS:
        raise refuse(
            name,
            f"a sheet of {rows} rows by {columns} columns",
            "Delete the far cells, or export the readings alone as CSV.",
        )
