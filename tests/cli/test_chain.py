"""`turnrow chain` and `turnrow recall` as people type them."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.journal.book import Book
from turnrow.yard import entries, goods
from turnrow.yard.entries import Amount, Entry, What

T0 = datetime(2026, 5, 1, 7, tzinfo=UTC)


def typed(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def test_the_example_runs_both_ways(tmp_path: Path) -> None:
    file = tmp_path / "chain.toml"
    file.write_text(typed("chain", "--example").stdout)
    people, machine = typed("chain", str(file)), typed("chain", str(file), "--json")
    assert people.exit_code == 0 and "It closes." in people.stdout
    found = json.loads(machine.stdout)
    assert found["closes"] is True and found["unclosed"] == []
    assert found["fines"]["dry_t"] + found["overs"]["dry_t"] == pytest.approx(
        found["steps"][-1]["dry_t"], rel=1e-5
    )


def test_what_does_not_close_is_an_answer(tmp_path: Path) -> None:
    file = tmp_path / "chain.toml"
    file.write_text("[[load]]\nt = 40\nmoisture_pct = 60\n[[stage]]\nt = 38\nmoisture_pct = 40\n")
    done = typed("chain", str(file), "--json")
    assert done.exit_code == 0
    assert "more dry matter than at row" in json.loads(done.stdout)["unclosed"][0]


def test_a_bad_file_is_refused_whole(tmp_path: Path) -> None:
    file = tmp_path / "chain.toml"
    file.write_text("[[load]]\nt = 40\n[[stage]]\nmoisture_pct = 140\n")
    done = typed("chain", str(file), "--json")
    assert done.exit_code == 2
    assert len(json.loads(done.stdout)["refusals"]) == 3
    assert typed("chain").exit_code == 2 and typed("chain", str(tmp_path / "no.toml")).exit_code == 2


@pytest.fixture
def yard(tmp_path: Path) -> str:
    """One load, one row, one lot, one buyer who complains."""
    ton = Amount(10_000_000, "t")
    whats: tuple[What, ...] = (
        entries.YardLaidOut(name="Test yard", zone="UTC", invented=True),
        entries.LoadIn(load="L1", material="cow manure", amount=ton),
        entries.RowBuilt(row="R1", parts=(entries.Part("cow manure", ton, "L1"),)),
        goods.LotMade(lot="26-01", sources=(goods.Share(row="R1"),)),
        goods.LoadOut(ticket="T1", lot="26-01", amount=Amount(2_000_000, "t"), customer="Ann"),
        goods.LoadOut(ticket="T2", lot="26-01", amount=Amount(2_000_000, "t"), customer="Bea"),
        entries.Complaint(nature="weeds in T1"),
    )
    path = str(tmp_path / "yard.turnrow")
    with Book.create(path) as book:
        book.append(
            [
                Entry(id=str(n), happened=T0.replace(hour=7 + n), who="ana", what=w)
                for n, w in enumerate(whats)
            ],
            written=T0.replace(day=2),
        )
    return path


def test_from_a_complaint_to_its_load_and_the_other_buyer(yard: str) -> None:
    done = typed("recall", "line 7", "--yard", yard, "--json")
    (found,) = json.loads(done.stdout)["recalls"]
    assert found["asked"] == {"kind": "ticket", "name": "T1"}
    assert (found["loads"], found["customers"]) == (["L1"], ["Bea"])
    assert "Other customers to ask: Bea." in typed("recall", "line 7", "--yard", yard).stdout


def test_from_a_load_to_its_buyers(yard: str) -> None:
    (found,) = json.loads(typed("recall", "L1", "--yard", yard, "--json").stdout)["recalls"]
    assert found["customers"] == ["Ann", "Bea"]
    assert {one["name"]: one["share_pct"] for one in found["forward"]}["T2"] == 100


def test_a_name_nobody_has(yard: str) -> None:
    done = typed("recall", "L9", "--yard", yard, "--json")
    assert done.exit_code == 2 and json.loads(done.stdout)["refusals"][0]["got"] == "'L9'"
