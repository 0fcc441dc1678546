"""new, export, import and verify, as a person or a script calls them."""

import json
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.journal.book import Book
from turnrow.yard.entries import Entry, RuleChosen


def call(*words: str):
    return CliRunner().invoke(app, [str(word) for word in words], env={"TURNROW_YARD": None})


@pytest.fixture
def yard(tmp_path: Path) -> str:
    path = str(tmp_path / "yard.journal")
    assert (
        call("new", path, "--name", "Low Field", "--zone", "Europe/Dublin", "--place", "Carrow").exit_code
        == 0
    )
    return path


def test_new_lays_out_a_yard_with_one_line(yard):
    with Book.open(yard) as book:
        what = book.line(1).entry.what
        assert (what.name, what.zone, what.place, what.invented) == (
            "Low Field",
            "Europe/Dublin",
            "Carrow",
            False,
        )
        assert book.head().line == 1


def test_new_asks_nothing_and_says_which_zone_it_took(tmp_path, monkeypatch):
    monkeypatch.setenv("TZ", "America/Chicago")
    asked = call("new", tmp_path / "north.journal", "--json")
    assert json.loads(asked.stdout)["name"] == "north"
    assert json.loads(asked.stdout)["zone"] == "America/Chicago"
    assert "--zone" in asked.stderr


def test_new_refuses_a_zone_there_is_not_and_makes_no_file(tmp_path):
    path = tmp_path / "yard.journal"
    asked = call("new", path, "--zone", "Europe/Atlantis", "--json")
    assert asked.exit_code == 2
    assert json.loads(asked.stdout)["refusals"][0]["where"] == "--zone"
    assert not path.exists()


def test_new_leaves_a_book_that_is_there_alone(yard):
    before = Path(yard).read_bytes()
    assert call("new", yard).exit_code == 2
    assert Path(yard).read_bytes() == before


def test_verify_of_a_whole_book(yard):
    told = json.loads(call("verify", "--yard", yard, "--json").stdout)
    with Book.open(yard) as book:
        assert told == {
            "ok": True,
            "lines": 1,
            "head": book.head().seal,
            "faults": [],
            "compared": {"head": "", "beside": 1},
            "releases": [],
            "rules": [],
        }
        assert f"1:{book.head().seal}" in call("verify", "--yard", yard).stdout


def test_verify_names_a_choice_that_the_rules_text_does_not_allow(yard):
    with Book.open(yard) as book:
        what = RuleChosen(rule="US-503-PFRP-WINDROW", row="R1", policies={"station": "mean"})
        at = datetime(2026, 5, 1, tzinfo=UTC)
        book.append([Entry(id="x", happened=at, who="ana", what=what)], written=at)
    told = json.loads(call("verify", "--yard", yard, "--json").stdout)
    assert [one["line"] for one in told["rules"]] == [2]
    assert "never a verdict" in told["rules"][0]["what"]
    assert "never a verdict" in call("verify", "--yard", yard).stdout


def test_verify_of_a_changed_book_is_an_answer_that_names_the_line(yard):
    with sqlite3.connect(yard) as raw:
        raw.execute("DROP TRIGGER line_kept")
        raw.execute("UPDATE lines SET bytes = CAST(replace(CAST(bytes AS TEXT), 'Low', 'Top') AS BLOB)")
    raw.close()
    asked = call("verify", "--yard", yard, "--json")
    assert asked.exit_code == 1
    told = json.loads(asked.stdout)
    assert told["ok"] is False
    assert (told["faults"][0]["line"], told["faults"][0]["check"]) == (1, "seal")
    assert "seal" in call("verify", "--yard", yard).stdout


def test_verify_holds_the_book_against_a_paper(yard):
    told = json.loads(call("verify", "--yard", yard, "--json", "--head", "9:" + "a" * 16).stdout)
    assert [fault["check"] for fault in told["faults"]] == ["head"]
    assert call("verify", "--yard", yard, "--head", "tomorrow").exit_code == 2


def test_verify_of_a_torn_file_is_an_answer_too(yard):
    whole = Path(yard).read_bytes()
    Path(yard).write_bytes(whole[: len(whole) // 2])
    asked = call("verify", "--yard", yard, "--json")
    assert (asked.exit_code, json.loads(asked.stdout)["ok"]) == (1, False)


def test_out_and_in_again_is_the_same_book(yard, tmp_path):
    file, other = tmp_path / "yard.jsonl", tmp_path / "other.journal"
    assert call("export", "--yard", yard, "-o", file).exit_code == 0
    assert call("export", "--yard", yard).stdout_bytes == file.read_bytes()
    told = json.loads(call("import", file, "--yard", other, "--json").stdout)
    assert (told["added"], told["known"]) == (1, 0)
    with Book.open(yard) as one, Book.open(str(other)) as two:
        assert one.head() == two.head()
    assert json.loads(call("import", file, "--yard", other, "--json").stdout)["added"] == 0


def test_export_writes_over_an_earlier_export_but_over_nothing_else(yard, tmp_path):
    file = tmp_path / "yard.jsonl"
    for _ in range(2):
        assert call("export", "--yard", yard, "-o", file).exit_code == 0
    before = Path(yard).read_bytes()
    assert call("export", "--yard", yard, "-o", yard).exit_code == 2
    assert Path(yard).read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "yard.journal",
        "yard.journal.head",
        "yard.jsonl",
    ]


def test_a_file_that_does_not_hold_makes_no_book(yard, tmp_path):
    file, other = tmp_path / "yard.jsonl", tmp_path / "other.journal"
    call("export", "--yard", yard, "-o", file)
    file.write_bytes(file.read_bytes().replace(b"Low", b"Top"))
    asked = call("import", file, "--yard", other, "--json")
    assert asked.exit_code == 2
    assert "line 1, seal" in json.loads(asked.stdout)["refusals"][0]["where"]
    assert not other.exists()


def test_the_yard_may_be_named_once_for_all_commands(yard):
    asked = CliRunner().invoke(app, ["verify", "--json"], env={"TURNROW_YARD": yard})
    assert json.loads(asked.stdout)["ok"] is True


@pytest.mark.parametrize("command", ["verify", "export"])
def test_a_yard_that_is_not_there_is_refused(tmp_path, command):
    asked = call(command, "--yard", tmp_path / "none.journal")
    assert asked.exit_code == 2
    assert "turnrow new" in asked.stderr


def test_an_export_to_a_folder_is_refused(yard, tmp_path):
    told = call("export", "--yard", yard, "-o", tmp_path)
    assert told.exit_code == 2
    assert "That is a folder" in told.stderr
    assert call("export", "--yard", yard, "-o", ".").exit_code == 2


def test_an_export_that_cannot_be_written_is_refused(yard, tmp_path, monkeypatch):
    def full(*_: object, **__: object) -> None:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(Path, "open", full)
    monkeypatch.setattr(Path, "unlink", full)
    told = call("export", "--yard", yard, "-o", tmp_path / "out.jsonl")
    assert told.exit_code == 2
    assert "Read-only file system" in told.stderr
