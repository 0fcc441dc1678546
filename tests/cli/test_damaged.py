"""One line changed past the guards: no paper, export, proof, recall or release is made of it.

A forger has the file and SQL (a cut tail, a changed number, a chain sealed anew): each is named, and files
that were there stay as they were.
"""

import json
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

sys.path.insert(0, str(Path(__file__).parents[1] / "journal"))
from tamper import past_the_guards

from turnrow.cli.door import app
from turnrow.foreman.desk import Desk
from turnrow.foreman.papers import head_seal
from turnrow.journal import seal
from turnrow.journal.book import Book
from turnrow.yard.wrongs import DamagedJournal

D1 = datetime(2026, 5, 1, 7, tzinfo=UTC)
SAID: tuple[tuple[str, dict[str, str]], ...] = (
    ("yard laid out", {"name": "Test yard", "zone": "UTC"}),
    ("load in", {"load": "L1", "material": "straw", "amount": "9 t"}),
    ("row built", {"row": "R1", "parts": "straw: 3 t: L1", "stations": "1, 2"}),
    ("round", {"row": "R1", "readings": "1@90:61 C, 2@90:62 C"}),
    ("lot made", {"lot": "26-01", "sources": "row R1: 3 t", "amount": "3 t"}),
    ("turned", {"row": "R1"}),
)


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    where = tmp_path / "yard.journal"
    with Book.create(str(where)) as book:
        desk = Desk(book)
        for n, (kind, fields) in enumerate(SAID):
            at = D1 + timedelta(hours=n)
            desk.write(kind, {**fields, "happened": f"{at:%Y-%m-%dT%H:%M}"}, now=at, who="Ana")
    return where


def forge(where: Path) -> None:
    """The reading 61 of line 4 becomes 91; its seal stays."""
    with past_the_guards(where) as raw:
        (text,) = raw.execute("SELECT bytes FROM lines WHERE number = 4").fetchone()
        assert b"61000000" in text
        raw.execute("UPDATE lines SET bytes = ? WHERE number = 4", (text.replace(b"61000000", b"91000000"),))


def cut(where: Path, after: int) -> None:
    with past_the_guards(where) as raw:
        raw.execute("DELETE FROM lines WHERE number > ?", (after,))


def seal_anew(where: Path) -> None:
    forge(where)
    with past_the_guards(where) as raw:
        before = seal.GENESIS
        for number, written, text in raw.execute("SELECT number, written_us, bytes FROM lines").fetchall():
            before = seal.seal(before, number, written, text)
            raw.execute("UPDATE lines SET seal = ? WHERE number = ?", (before, number))


@pytest.mark.parametrize(
    "words",
    [
        ("paper", "row", "R1", "-o", "p.pdf"),
        ("paper", "row", "R1", "-o", "p.csv"),
        ("paper", "lot", "26-01", "-o", "p.pdf"),
        ("paper", "season", "2026", "-o", "p.pdf"),
        ("tables", "-o", "."),
        ("export", "-o", "out.jsonl"),
        ("export",),
        ("prove", "--row", "R1"),
        ("recall", "26-01"),
        ("row", "R1"),
        ("today",),
        ("write", "turned", "row=R1"),
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_no_command_makes_anything_of_a_changed_line(yard: Path, monkeypatch, words) -> None:
    monkeypatch.chdir(yard.parent)
    forge(yard)
    bytes_before, there = yard.read_bytes(), sorted(p.name for p in yard.parent.iterdir())
    done = run(*words, "--yard", yard)
    assert done.exit_code == 1, done.output
    assert "line 4" in done.stderr and "seal" in done.stderr
    assert "91" not in done.stdout and done.stdout == ""
    assert sorted(p.name for p in yard.parent.iterdir()) == there and yard.read_bytes() == bytes_before


def test_a_changed_lookup_column_or_blob_does_not_pass_either(yard: Path) -> None:
    with past_the_guards(yard) as raw:
        raw.execute("UPDATE lines SET written_us = written_us + 1 WHERE number = 2")
    done = run("row", "R1", "--yard", yard)
    assert done.exit_code == 1 and "line 2" in done.stderr


@pytest.mark.parametrize("how", [forge, seal_anew, lambda where: cut(where, 3)])
def test_a_book_changed_under_an_open_desk_prints_and_releases_nothing_more(yard: Path, how) -> None:
    with Book.open(str(yard)) as book:
        desk = Desk(book)
        assert head_seal(desk).line == 6
        how(yard)
        with pytest.raises(DamagedJournal):
            head_seal(desk)
        with pytest.raises(DamagedJournal):
            desk.write("released", {"lot": "26-01"}, now=D1 + timedelta(days=9), who="Ana")
        assert book.store.last().number <= 6


def test_lines_of_another_program_are_no_damage(yard: Path) -> None:
    with Book.open(str(yard)) as book:
        desk = Desk(book)
        assert run("write", "turned", "row=R1", "--yard", yard).exit_code == 0
        desk.refresh()
        assert head_seal(desk).line == 7


@pytest.mark.parametrize("as_json", [(), ("--json",)])
def test_verify_exits_1_where_the_book_has_faults(yard: Path, as_json) -> None:
    assert run("verify", "--yard", yard, *as_json).exit_code == 0
    forge(yard)
    done = run("verify", "--yard", yard, *as_json)
    assert done.exit_code == 1 and "seal" in done.stdout
    if as_json:
        assert json.loads(done.stdout)["ok"] is False


def test_a_cut_tail_shows_by_the_head_beside_the_book(yard: Path) -> None:
    cut(yard, 5)
    done = run("verify", "--yard", yard, "--json")
    assert done.exit_code == 1
    (fault,) = json.loads(done.stdout)["faults"]
    assert fault["check"] == "head" and "line 6" in fault["what"] and "ends at 5" in fault["what"]
    assert run("write", "turned", "row=R1", "--yard", yard).exit_code == 0  # and goes on showing
    assert run("verify", "--yard", yard).exit_code == 1


def test_a_chain_sealed_anew_shows_by_the_head_beside_the_book(yard: Path) -> None:
    seal_anew(yard)
    done = run("verify", "--yard", yard, "--json")
    assert [fault["check"] for fault in json.loads(done.stdout)["faults"]] == ["head"]


def test_no_head_from_elsewhere_is_said(yard: Path) -> None:
    done = run("verify", "--yard", yard)
    assert "beside the book, line 6" in done.stderr and "No head from elsewhere" in done.stderr
    with Book.open(str(yard)) as book:
        head = book.head()
    spaced = f"{head.line}: {head.seal[:8]} {head.seal[8:16]}"  # as papers print it
    done = run("verify", "--yard", yard, "--head", spaced)
    assert done.exit_code == 0 and "elsewhere" not in done.stderr
    assert run("verify", "--yard", yard, "--head", f"5:{head.seal[:16]}").exit_code == 1


def test_copies_moves_exports_and_other_books_raise_no_alarm(yard: Path, tmp_path: Path) -> None:
    kept = tmp_path / "yard.journal.head"
    copy = tmp_path / "copy.journal"
    copy.write_bytes(yard.read_bytes())  # the book alone
    done = run("verify", "--yard", copy)
    assert done.exit_code == 0 and "compared with no head" in done.stderr
    assert run("write", "turned", "row=R1", "--yard", copy).exit_code == 0
    assert run("verify", "--yard", copy).exit_code == 0

    assert run("export", "--yard", yard, "-o", tmp_path / "out.jsonl").exit_code == 0
    assert run("import", tmp_path / "out.jsonl", "--yard", tmp_path / "new.journal").exit_code == 0
    assert run("verify", "--yard", tmp_path / "new.journal").exit_code == 0

    moved = tmp_path / "moved.journal"
    yard.rename(moved)  # its head stays behind
    assert run("verify", "--yard", moved).exit_code == 0
    assert run("new", yard, "--zone", "UTC").exit_code == 0  # another book where the head was left
    assert run("verify", "--yard", yard).exit_code == 0
    assert json.loads(kept.read_bytes())["line"] == 1


@pytest.mark.parametrize("left", [b"", b"\0" * 100, b'{"line":9', b'{"line":2,"seal":"x","first":"y"}'])
def test_a_head_that_cannot_be_read_raises_no_alarm_and_is_written_anew(yard: Path, left: bytes) -> None:
    kept = yard.with_name("yard.journal.head")
    kept.write_bytes(left)
    assert run("verify", "--yard", yard).exit_code == 0
    assert run("write", "turned", "row=R1", "--yard", yard).exit_code == 0
    assert json.loads(kept.read_bytes())["line"] == 7


def test_a_folder_that_may_only_be_read_raises_no_alarm(yard: Path, monkeypatch) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "write_bytes", refused)
    with Book.open(str(yard)) as book:
        Desk(book).write("turned", {"row": "R1"}, now=D1 + timedelta(days=1), who="Ana")
        assert book.verify() == ()
        assert book.kept_head().line == 6
