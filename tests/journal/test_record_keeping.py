"""docs/record-keeping.md: the checker it prints works, and its table of records holds for every line."""

import re
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from turnrow.journal.book import Book
from turnrow.journal.check import Fault
from turnrow.journal.export import export_lines

DOC = (Path(__file__).parents[2] / "docs" / "record-keeping.md").read_text(encoding="utf-8")


@pytest.fixture
def stranger(full: Book, tmp_path: Path):
    """Runs the printed checker, without any of our code on its path, on the exported book as changed."""
    path = tmp_path / "yard.jsonl"
    with path.open("wb") as out:
        export_lines(full, out)
    printed = re.findall(r"```python\n(.*?)```", DOC, re.DOTALL)
    assert len(printed) == 1 and len(printed[0].splitlines()) <= 32
    program = tmp_path / "stranger.py"
    program.write_text(printed[0], encoding="utf-8")

    def run(old: bytes = b"", new: bytes = b""):
        whole = path.read_bytes()
        assert old in whole
        changed = tmp_path / "changed.jsonl"
        changed.write_bytes(whole.replace(old, new, 1) if old else whole)
        return subprocess.run(
            [sys.executable, "-I", "-S", str(program), str(changed)],
            capture_output=True,
            text=True,
            check=False,
        )

    return run


def test_a_stranger_finds_the_book_whole_and_the_same_head(stranger, full):
    told = stranger()
    assert told.returncode == 0
    assert told.stdout.strip() == f"6 lines hold, head 6:{full.head().seal}"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b"54900000", b"55900000", "line 3: does not follow"),
        (b'"written":17', b'"written":16', "line 1: does not follow"),
        (b'{"line":2', b'{"line":9', "line 2: does not follow"),
        (b'"bytes":"V', b'"bytes":"W', "other bytes than its name"),
        (b'"lines":6', b'"lines":7', "the file ends at line 6"),
    ],
)
def test_a_stranger_finds_what_was_changed(stranger, old, new, said):
    told = stranger(old, new)
    assert told.returncode == 1
    assert said in told.stderr


def test_every_line_says_who_when_and_with_what_and_keeps_what_was_typed(full):
    for line in full.lines():
        assert line.entry.who and line.written.tzinfo and line.entry.happened.tzinfo
        assert line.entry.happened <= line.written
    typed = full.line(3).entry.what
    assert (typed.readings[0].value, typed.unit) == (
        54_900_000,
        "C",
    )  # struck by line 6, and still to be read
    assert full.line(6).entry.what == msgspec.convert(
        {"kind": "struck", "line": 3, "reason": "probe broken"}, type(full.line(6).entry.what)
    )


def test_every_check_has_a_line_in_the_docs():
    checks = re.search(r"check  (.*)\n", Fault.__doc__ or "")
    assert checks is not None
    for check in checks[1].split(", "):
        assert f"`{check}`" in DOC
