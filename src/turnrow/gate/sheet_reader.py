"""The process that reads workbooks for `workbook.py`: it may run out of memory or time alone.

It reads from its input a line of JSON (name, wanted, bytes) and then the file; it writes a line of JSON
(refused, or bytes) and then the cells as Arrow; and again, until its input ends.
"""

import io
import json
import sys
from typing import Any

import fastexcel
import polars as pl

from turnrow.gate.sheet_parts import looked_at
from turnrow.yard.wrongs import Refused, refuse

ROOM = 1024 * 1024 * 1024  # bytes beyond what the process has when it starts
CPU_SECONDS = 40  # of one file
LARGEST_ANSWER = 400 * 1024 * 1024  # bytes of cells as they are sent


def main() -> None:
    """Answer until the input ends."""
    _limit_memory()
    get, put = sys.stdin.buffer, sys.stdout.buffer
    while head := get.readline():
        asked = json.loads(head)
        _limit_time()
        answer, packed = _answer(get.read(asked["bytes"]), asked["name"], asked["wanted"])
        put.write(json.dumps(answer).encode() + b"\n")
        put.write(packed)
        put.flush()


def _limit_memory() -> None:
    try:
        import resource  # not on every system; there the other side's clock and the counts must do
        from pathlib import Path

        pages = int(Path("/proc/self/statm").read_text().split()[0])
    except (ImportError, OSError):
        return
    most = pages * resource.getpagesize() + ROOM
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _limit_time() -> None:
    try:
        import resource
    except ImportError:
        return
    spent = resource.getrusage(resource.RUSAGE_SELF)
    most = int(spent.ru_utime + spent.ru_stime) + 1 + CPU_SECONDS
    resource.setrlimit(resource.RLIMIT_CPU, (most, resource.getrlimit(resource.RLIMIT_CPU)[1]))


def _answer(data: bytes, name: str, wanted: str) -> tuple[dict[str, Any], bytes]:
    try:
        packed = _cells(looked_at(data, name), name, wanted)
    except Refused as wrong:
        return {"refused": [[one.where, one.got, one.do] for one in wrong.refusals]}, b""
    return {"bytes": len(packed)}, packed


def _cells(data: bytes, name: str, wanted: str) -> bytes:
    try:
        book = fastexcel.read_excel(data)
        names = book.sheet_names
        if wanted and wanted not in names:
            raise refuse(f"{name}, sheet", wanted, f"It has the sheets {', '.join(names[:20])}.")
        loaded = book.load_sheet(wanted or 0, header_row=None, skip_rows=0, dtypes="string")
        frame: pl.DataFrame = loaded.to_polars()
    except fastexcel.FastExcelError as wrong:
        raise refuse(name, wrong, "Open it in a spreadsheet and save it again as XLSX or CSV.") from wrong
    except BaseException as wrong:
        if type(wrong).__name__ != "PanicException":  # the reader's own, and no Exception
            raise
        raise refuse(
            name,
            "a workbook its reader gives up on",
            "Open it in a spreadsheet and save it again as XLSX or CSV.",
        ) from None
    frame = frame.select(pl.col(c).cast(pl.String) for c in frame.columns)
    if frame.estimated_size() > LARGEST_ANSWER:
        raise refuse(name, f"{frame.estimated_size():,} bytes of text", "Export the readings alone, as CSV.")
    held = io.BytesIO()
    frame.write_ipc(held)
    return held.getvalue()


if __name__ == "__main__":
    main()
