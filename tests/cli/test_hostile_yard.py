"""Absurd values at the yard's own commands: exit 2 with place, got and what to do, and the book as it was."""

import io
import json
import zipfile
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.gate.forms import FORMS, KINDS, fields_of
from turnrow.journal.book import Book

ABSURD = (
    "\0", "\ud800", "1e308 t", "-1 m3", "nan", "inf", "9" * 5000, "½ t", "=cmd|' /C calc'!A0",
    "../../etc/passwd", "'; DROP TABLE lines; --", "\u202e7R", "{}" * 400, "١٢ t", "0x10", "1_000 kg", " ",
    "x" * 100_000, "1e-320 kg", "2026-13-45T99:99", "0000-00-00", "99999-01-01", "true", "[[",
    "1@90:58.2, 1@90:" + "9" * 400,
)  # fmt: skip


def typed(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def refused(done: Result) -> None:
    assert done.exit_code == 2, (done.exit_code, done.output[:300], done.exception)
    assert isinstance(done.exception, SystemExit)
    found = json.loads(done.stdout)["refusals"]
    assert found and all(one["where"] and one["do"] for one in found)


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> str:
    where = str(tmp_path_factory.mktemp("yard") / "y.journal")
    assert (
        typed("new", where, "--name", "Quillmarsh Fold, invented", "--zone", "Europe/Dublin").exit_code == 0
    )
    for words in (
        ("row-built", "row=R7", "length=40 m", "width=4 m", "height=1.8 m"),
        ("lot-made", "lot=26-04", "parts=row R7: 20 t"),
    ):
        typed("write", *words, "happened=2026-05-03T07:40", "--yard", where)
    return where


@pytest.mark.parametrize("kind", KINDS)
def test_absurd_values_in_any_field_of_any_kind(laid: str, kind: str) -> None:
    before = Path(laid).read_bytes()
    for place, field in enumerate(fields_of(kind)):
        if field.name in ("row", "rows"):
            continue
        for value in ABSURD[place % 5 :: 5]:
            given = ["row=R7"] if any(f.name == "row" for f in fields_of(kind)) else []
            done = typed("write", kind, *given, f"{field.name}={value}", "--json", "--yard", laid)
            if done.exit_code == 0:  # a text may say what it likes
                with Book.open(laid) as book:
                    assert book.verify() == ()
                Path(laid).write_bytes(before)
                Path(f"{laid}.head").unlink()  # it belongs to the longer book
            else:
                refused(done)
                assert Path(laid).read_bytes() == before


def _zip(*parts: tuple[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in parts:
            made.writestr(name, data)
    return out.getvalue()


FILES = {
    "no workbook": b"PK\x03\x04" + bytes(200),
    "an empty zip": _zip(),
    "a bomb": _zip(("[Content_Types].xml", b"<a/>"), ("xl/worksheets/sheet1.xml", bytes(400_000_000))),
    "climbing names": _zip(("../../xl/workbook.xml", b"<workbook/>"), ("[Content_Types].xml", b"<Types/>")),
    "zeros": bytes(5000),
    "sixteen bits": "when,row,temp C\n2026-05-03 07:40,R7,58\n".encode("utf-16"),
    "a number too great": b"when,row,temp C\n2026-05-03 07:40,R7,1e308\n",
    "quotes without end": b'when,row,temp C\n"2026-05-03 07:40,R7,58\n' * 50,
    "a comma a byte": b"," * 200_000,
    "lines of nothing": b"\n" * 200_000,
    "a zero in a name": b"when,row,temp C\n2026-05-03 07:40,R\x007,58\n",
    "bytes of no alphabet": b"\xff\xfe\xfd" * 999,
    "nothing": b"",
}


@pytest.mark.parametrize("also", [(), ("--kind", "weighed"), ("--lot", "26-04"), ("--row", "R7")])
@pytest.mark.parametrize("what", FILES)
def test_files_that_are_no_files(laid: str, tmp_path: Path, what: str, also: tuple[str, ...]) -> None:
    before = Path(laid).read_bytes()
    for name in ("bad.csv", "bad.xlsx"):
        file = tmp_path / name
        file.write_bytes(FILES[what])
        done = typed("take", str(file), *also, "--json", "--yard", laid)
        if done.exit_code == 0 and what == "sixteen bits":  # a spreadsheet's own "Unicode text"
            Path(laid).write_bytes(before)
            continue
        refused(done)
        assert Path(laid).read_bytes() == before


NAMES = (
    "lot 99",
    "load \0",
    "ticket " + "9" * 9000,
    "customer ",
    "line 10000000000000000000000",
    "line -1",
    "",
    "R7; --",
)


@pytest.mark.parametrize("name", NAMES)
def test_a_recall_of_what_is_not_there(laid: str, name: str) -> None:
    refused(typed("recall", "--json", "--yard", laid, "--", name))


@pytest.mark.parametrize(
    "kind", ["row", "day", "lot", "sampling", "story", "label", "invoice", "ticket", "season"]
)
def test_papers_of_nothing_and_to_nowhere(laid: str, tmp_path: Path, kind: str) -> None:
    name = {"row": "R7", "day": "2026-05-03", "season": "2026"}.get(kind, "26-04")
    before = sorted(p.name for p in tmp_path.iterdir())
    papers = [
        ("nothing here", tmp_path / "a.pdf"),
        (name, tmp_path),
        (name, tmp_path / "no" / "a.pdf"),
        (name, Path("/proc/a.pdf")),
        (name, tmp_path / ("x" * 400 + ".pdf")),
        (name, Path(laid)),
    ]
    for paper in papers:
        done = typed("paper", kind, paper[0], "-o", str(paper[1]), "--yard", laid)
        assert done.exit_code == 2 and isinstance(done.exception, SystemExit), (
            paper,
            done.output,
            done.exception,
        )
        assert "got" in done.output
    assert sorted(p.name for p in tmp_path.iterdir()) == before


def test_tables_to_a_folder_that_is_none(laid: str, tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("keep me")
    for where in (file, file / "under", Path("/proc/turnrow"), tmp_path / ("x" * 400)):
        refused(typed("tables", "--output", str(where), "--json", "--yard", laid))
    assert file.read_text() == "keep me"


def test_every_form_is_thrown_at() -> None:
    assert len(KINDS) == len(FORMS) > 35
