"""A workbook (XLSX) as texts, read in a process of its own (`sheet_reader.py`).

A workbook is a zip of XML: a few kilobytes may ask for gigabytes or for hours, and what reads them is
native code, which ends its process when memory runs out. So that process is another one, with limits
of memory and time; where it ends, the file is refused. One that did well waits a little for the next
file, as a start costs more than a small workbook.
"""

import io
import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import IO, Any

import polars as pl

from turnrow.yard.wrongs import Refusal, Refused, refuse

LARGEST = 64 * 1024 * 1024  # bytes of the file, packed
SECONDS = 60.0  # by the clock on the wall; the process counts its own
WAITS = 20.0  # seconds an idle reader is kept
_EXPORT = "Export the readings alone, as CSV."


def is_workbook(data: bytes) -> bool:
    return data[:4] == b"PK\x03\x04"


def sheet(data: bytes, name: str, wanted: str = "") -> pl.DataFrame:
    """The cells of the first sheet, or of the one `wanted`, all as text; row 1 is the sheet's row 1.

    A cell with a spreadsheet's error holds its name, such as `#DIV/0!`; a formula without its result
    is `#=` and the formula. Raises Refused when the bytes are no workbook, or ask for more memory or
    time than a file may have.
    """
    if len(data) > LARGEST:
        raise refuse(name, f"a workbook of {len(data):,} bytes", f"One may have {LARGEST:,}. {_EXPORT}")
    with _reader() as reader:
        answer, packed = reader.ask(data, name, wanted)
    if "refused" in answer:
        raise Refused(Refusal(*one) for one in answer["refused"])
    return pl.read_ipc(io.BytesIO(packed))


class _Ended(Exception):
    """The reader's process ended before it had answered."""


class _Reader:
    """One process that reads workbooks, one after the other."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-m", "turnrow.gate.sheet_reader"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "POLARS_MAX_THREADS": "1", "RUST_BACKTRACE": "0"},
        )

    def ask(self, data: bytes, name: str, wanted: str) -> tuple[dict[str, Any], bytes]:
        """The head of its answer and the cells. Raises Refused when the process ends over it."""
        late = threading.Timer(SECONDS, self._process.kill)
        late.daemon = True
        late.start()
        try:
            return self._asked(data, name, wanted)
        except (_Ended, OSError) as wrong:
            raise refuse(name, "a workbook that takes too much memory or time", _EXPORT) from wrong
        finally:
            late.cancel()

    def _asked(self, data: bytes, name: str, wanted: str) -> tuple[dict[str, Any], bytes]:
        put, get = self._process.stdin, self._process.stdout
        assert put is not None
        assert get is not None
        put.write(json.dumps({"name": name, "wanted": wanted, "bytes": len(data)}).encode() + b"\n")
        put.write(data)
        put.flush()
        head = get.readline()
        if not head.endswith(b"\n"):
            raise _Ended
        answer: dict[str, Any] = json.loads(head)
        return answer, _exactly(get, answer.get("bytes", 0))

    @property
    def lives(self) -> bool:
        return self._process.poll() is None

    def end(self) -> None:
        """End the process and take its exit, so that nothing of it is left."""
        self._process.kill()
        for pipe in (self._process.stdin, self._process.stdout):
            assert pipe is not None
            with suppress(OSError):
                pipe.close()
        self._process.wait()


def _exactly(pipe: IO[bytes], count: int) -> bytes:
    found = pipe.read(count)
    if len(found) != count:
        raise _Ended
    return found


_lock = threading.Lock()
_idle: list[tuple[_Reader, threading.Timer]] = []


@contextmanager
def _reader() -> Iterator[_Reader]:
    """The reader that waits, or a new one; kept for the next file only if it has answered this one."""
    with _lock:
        reader = None
        while _idle and reader is None:
            kept, timer = _idle.pop()
            timer.cancel()
            if kept.lives:
                reader = kept
            else:
                kept.end()
    reader = reader or _Reader()
    try:
        yield reader
    except BaseException:
        reader.end()
        raise
    with _lock:
        if _idle:
            reader.end()
        else:
            timer = threading.Timer(WAITS, _end_idle, [reader])
            timer.daemon = True
            _idle.append((reader, timer))
            timer.start()


def _end_idle(reader: _Reader) -> None:
    with _lock:
        for kept in [one for one in _idle if one[0] is reader]:
            _idle.remove(kept)
            reader.end()
