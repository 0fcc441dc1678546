"""A line with a unit nobody knows: refused at every door, named where it is in a book already, and mended."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.foreman.desk import Desk
from turnrow.journal import adding
from turnrow.journal.book import Book
from turnrow.journal.export import export_lines
from turnrow.web.app import create_app
from turnrow.yard import entries, evidence, goods, known_units
from turnrow.yard.entries import Amount, Entry
from turnrow.yard.numbers import MICRO
from turnrow.yard.wrongs import Refused

NOW = datetime(2026, 5, 3, 12, tzinfo=UTC)


def entry(id: str, what: entries.What) -> Entry:
    return Entry(id=id, happened=NOW, who="Ana", what=what)


SENT = [
    entry("y", entries.YardLaidOut(name="Low Field", zone="UTC")),
    entry("a", entries.LoadIn(load="L1", material="straw", amount=Amount(3 * MICRO, "t"))),
    entry("b", entries.LoadIn(load="L2", material="straw", amount=Amount(3 * MICRO, "sack"))),
    entry("c", entries.RowBuilt(row="R1", parts=(entries.Part("straw", Amount(MICRO, "heap"), load="L1"),))),
    entry("d", goods.LotMade(lot="A", sources=(goods.Share(row="R1", moisture=Amount(45 * MICRO, "?")),))),
    entry("e", entries.Watered(row="R1", water=Amount(MICRO, "cup"))),
]
BAD = (3, 4, 5, 6)


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book written before units were looked at."""
    where = tmp_path / "old.journal"
    with monkeypatch.context() as before:
        before.setattr(adding, "unit_faults", lambda what: ())
        with Book.create(str(where)) as book:
            book.append(SENT, written=NOW)
    return where


def exported(where: Path) -> Path:
    out = where.with_suffix(".jsonl")
    with Book.open(str(where)) as book, out.open("wb") as file:
        export_lines(book, file)
    return out


def test_an_append_says_every_unknown_unit_at_once(book: Book) -> None:
    with pytest.raises(Refused) as refused:
        book.append(SENT, written=NOW)
    assert [r.where for r in refused.value.refusals] == [f"entry {n} ('{SENT[n - 1].id}')" for n in BAD]
    assert book.head().line == 0


def test_an_import_names_every_line_at_once_and_writes_nothing(old: Path, tmp_path: Path) -> None:
    done = run("import", exported(old), "--yard", tmp_path / "new.journal", "--json")
    assert done.exit_code == 2 and not (tmp_path / "new.journal").exists()
    where = [one["where"] for one in json.loads(done.stdout)["refusals"]]
    assert [text.rpartition("line ")[2] for text in where] == [f"{n}, unit" for n in BAD]


def test_verify_names_them(old: Path) -> None:
    done = run("verify", "--yard", old, "--json")
    assert done.exit_code == 1
    faults = json.loads(done.stdout)["faults"]
    assert [(one["line"], one["check"]) for one in faults] == [(n, "unit") for n in BAD]
    assert "'sack'" in faults[0]["what"]


def test_pages_go_on_and_name_the_line_until_it_is_struck(old: Path) -> None:
    with Book.open(str(old)) as book:
        desk = Desk(book)
        with TestClient(create_app(desk, clock=lambda: NOW), base_url="http://localhost") as pages:
            for path in ("/", "/lots", "/stock", "/rows", "/quality", "/lines"):
                found = pages.get(path)
                assert found.status_code == 200, path
                assert "Line 3 does not count" in found.text and "sack" in found.text
            for line in BAD:
                assert run("strike", line, "--reason", "no such unit", "--yard", old).exit_code == 0
            found = pages.get("/lots")
            assert found.status_code == 200 and "does not count" not in found.text


def test_a_struck_line_is_mended_verified_and_imported(old: Path, tmp_path: Path) -> None:
    for line in BAD:
        done = run("strike", line, "--reason", "no such unit", "--yard", old)
        assert done.exit_code == 0, done.output
    assert run("verify", "--yard", old).exit_code == 0
    assert run("import", exported(old), "--yard", tmp_path / "new.journal").exit_code == 0


def test_the_fields_named_are_fields_there_are() -> None:
    """Every key of the table is a field of that struct, so that a renamed one does not go unlooked at."""
    there = {
        kind.__name__: kind
        for room in (entries, evidence, goods)
        for kind in vars(room).values()
        if isinstance(kind, type)
    }
    for kind, field in known_units.ALLOWED:
        if kind:
            assert field in there[kind].__struct_fields__


def test_rows_pushed_together_name_rows_and_no_amounts() -> None:
    """`sources` of a merge are names, of a lot they are shares with amounts."""
    assert known_units.unit_faults(entries.Merged(row="R1", sources=("R1", "R2"))) == ()
    odd = goods.LotMade(lot="A", sources=(goods.Share(row="R1", amount=Amount(MICRO, "sack")),))
    assert len(known_units.unit_faults(odd)) == 1
