"""The quick way into a plain file of readings, for the millions: read in blocks, whole numbers only.

Takes only what needs no judgement: comma-separated, no quotes, the desk's own columns, whole ISO
times of one shape on an unchanging clock, plain numbers with at most six decimals. A file with
anything else is not refused here: None, and `gate/files.py` reads it or says what is wrong.
"""

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from turnrow.gate.codes import depth_mm
from turnrow.gate.mapping import DESK_NEEDS
from turnrow.gate.names import name_wrong
from turnrow.gate.numbers_in import unit_code
from turnrow.gate.plain_lines import AT, MOST, TEXT, VALUE, read_lines
from turnrow.yard.days import DAY_S, EPOCH_DAY
from turnrow.yard.readings import NO_DEPTH, Readings, together

TEXTS = ("row", "station", "depth_cm", "unit")
KINDS = {"at": AT, "value": VALUE}
COLUMNS = (*KINDS, *TEXTS)
ALONE = {"row": "", "station": "1", "depth_cm": ""}  # what stands for a column that is absent
SHAPES = (10, 16, 19)  # bytes of a date, a moment to the minute, to the second
HEAD = 4096  # bytes, longer than any plain line
BLOCK = 4 * 1024 * 1024


@dataclass(frozen=True, eq=False)
class Block:
    """Lines of the file that follow one another (n), sorted by row.

    place   (n,) each one's place among the block's lines; None where they stand as in the file
    codes   by column of texts, (n,) places among its `texts`
    edges   where each row of `texts["row"]` starts, and the end
    """

    lines: int
    at: NDArray[np.int64]
    value: NDArray[np.int64]
    place: NDArray[np.intp] | None
    codes: dict[str, NDArray[np.int16]]
    texts: dict[str, list[str]]
    edges: NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class _Part:
    """A row's lines in one block.

    row    the row's place among the block's
    first  the file's row of the block's first line
    means  by column of texts, what each of the block's stands for
    """

    block: Block
    row: int
    first: int
    means: dict[str, NDArray[np.int32]]


def read_plain(path: Path) -> Iterator[tuple[str, Readings]] | None:
    """Row by row ("" where the file names none), times on a clock that is UTC; None where the file is
    not plain. Held at once: the whole file's columns, and one row's readings."""
    with path.open("rb") as file:
        size = os.fstat(file.fileno()).st_size
        lines = os.pread(file.fileno(), HEAD, 0).split(b"\n")
        names = lines[0].decode("ascii", errors="replace").split(",")
        first = lines[1].decode("ascii", errors="replace").split(",") if len(lines) > 1 else []
        fits = set(DESK_NEEDS) <= set(names) <= set(COLUMNS) and len(set(names)) == len(names) == len(first)
        shape = len(first[names.index("at")]) if fits else 0
        if shape not in SHAPES:
            return None
        starts = range(len(lines[0]), size, BLOCK)

        def read(span: tuple[int, int]) -> Block | None:
            return _block(file.fileno(), *span, names, shape)

        with ThreadPoolExecutor(os.cpu_count()) as pool:
            blocks = list(pool.map(read, zip(starts, [*starts[1:], size], strict=True)))
    whole = [block for block in blocks if block is not None]
    return _rows(whole, timed=shape > SHAPES[0]) if len(whole) == len(blocks) else None


def _block(file: int, a: int, z: int, names: list[str], shape: int) -> Block | None:
    """The lines after the first newline from `a` to the first from `z`; None where one is not plain."""
    raw = os.pread(file, z - a + HEAD, a)
    if len(raw) < z - a + HEAD and not raw.endswith(b"\n"):
        raw += b"\n"  # after the file's last line
    start, end = raw.find(b"\n") + 1, raw.find(b"\n", z - a) + 1
    if len(raw) <= z - a:
        end = len(raw)
    if not start or end < start:
        return None
    return _columns(raw, start, end, names, shape)


def prepare() -> None:
    """Compile what reads the lines, or find it compiled: a few seconds, once."""
    _columns(b"", 0, 0, [*DESK_NEEDS], SHAPES[0])


def _columns(raw: bytes, start: int, end: int, names: list[str], shape: int) -> Block | None:
    """The lines from `start` to `end`, where one ends; None where one is not plain."""
    texts = [name for name in names if name in TEXTS]
    kinds = np.array([TEXT + texts.index(name) if name in texts else KINDS[name] for name in names])
    most = (end - start) // (shape + 2 * len(names) - 1) + 1  # every other cell has a byte at least
    at, value = np.empty(most, np.int64), np.empty(most, np.int64)
    codes = np.empty((len(texts), most), np.int16)
    spans, known = np.zeros((len(texts), MOST, 2), np.int64), np.zeros(len(texts), np.int64)
    data = np.frombuffer(raw, np.uint8)
    n = read_lines(data, start, end, kinds, shape, at, value, codes, spans, known)
    if n < 0:
        return None
    try:
        said = {
            name: [raw[i:j].decode() for i, j in spans[k, : known[k]].tolist()]
            for k, name in enumerate(texts)
        }
    except UnicodeDecodeError:
        return None
    return _by_row(at[:n], value[:n], {name: codes[k, :n] for k, name in enumerate(texts)}, said)


def _by_row(
    at: NDArray[np.int64],
    value: NDArray[np.int64],
    codes: dict[str, NDArray[np.int16]],
    texts: dict[str, list[str]],
) -> Block:
    n, row = len(at), codes.get("row")
    if row is None:
        return Block(n, at, value, None, codes, texts, np.array([0, n]))
    place = None
    if np.any(row[1:] < row[:-1]):
        place = np.argsort(row, kind="stable")
        at, value, codes = at[place], value[place], {name: code[place] for name, code in codes.items()}
    edges = np.searchsorted(codes["row"], np.arange(len(texts["row"]) + 1))
    return Block(n, at, value, place, codes, texts, edges)


def _rows(blocks: Sequence[Block], *, timed: bool) -> Iterator[tuple[str, Readings]] | None:
    """Readings of each row of the file in turn; None where a name, unit or depth is not plain."""
    texts = {name: list(dict.fromkeys(t for b in blocks for t in b.texts.get(name, []))) for name in TEXTS}
    texts = {name: found or [ALONE[name]] for name, found in texts.items()}
    units = [unit_code(text) for text in texts["unit"]]
    depths = [depth_mm(text) if text else NO_DEPTH for text in texts["depth_cm"]]
    if any(code is None for code in units) or any(isinstance(depth, str) for depth in depths):
        return None
    if any(name_wrong(text) for text in (*texts["station"], *filter(None, texts["row"]))):
        return None
    means: dict[str, dict[str, int]] = {
        "station": {text: k for k, text in enumerate(texts["station"])},
        "unit": {text: code for text, code in zip(texts["unit"], units, strict=True) if code is not None},
        "depth_cm": {text: int(depth) for text, depth in zip(texts["depth_cm"], depths, strict=True)},
    }
    parts: dict[str, list[_Part]] = {row: [] for row in texts["row"]}
    first = 2
    for block in blocks:
        here = {name: block.texts.get(name, [ALONE.get(name, "")]) for name in TEXTS}
        codes = {name: np.array([mean[t] for t in here[name]], np.int32) for name, mean in means.items()}
        for k, row in enumerate(here["row"]):
            parts[row].append(_Part(block, k, first, codes))
        first += block.lines
    stations = tuple(texts["station"])
    return (
        (row, together([_readings(part, stations, timed) for part in mine])) for row, mine in parts.items()
    )


def _readings(part: _Part, stations: tuple[str, ...], timed: bool) -> Readings:
    block = part.block
    span = slice(int(block.edges[part.row]), int(block.edges[part.row + 1]))
    at = block.at[span]
    n = len(at)

    def meant(name: str) -> NDArray[np.int32]:
        code = block.codes.get(name)
        return np.full(n, part.means[name][:1], np.int32) if code is None else part.means[name][code[span]]

    place = np.arange(span.start, span.stop) if block.place is None else block.place[span]
    return Readings(
        at=at,
        day=(at // DAY_S + EPOCH_DAY).astype(np.int32),
        station=meant("station"),
        depth=meant("depth_cm"),
        value=block.value[span],
        unit=meant("unit").astype(np.int8),
        timed=np.full(n, timed),
        line=np.zeros(n, np.int32),
        item=(part.first + place).astype(np.int32),
        stations=stations,
    )
