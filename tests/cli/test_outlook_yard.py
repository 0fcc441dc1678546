"""The outlook of a yard's row at the door: sentences for people, one object, refusals, nothing written."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.journal.book import Book
from turnrow.yard import entries as e
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO, parse_micro

FIRST = datetime(2026, 5, 1, 6, tzinfo=UTC)
AT = (FIRST + timedelta(days=12, hours=1)).isoformat()
HEATS = ("14", "22", "35", "48", "56", "60", "62", "63", "62", "63", "62", "61", "62")
run = CliRunner().invoke


@pytest.fixture
def book(tmp_path: Path) -> str:
    """R7, read at one place for thirteen days; an invented yard."""
    where = str(tmp_path / "yard.turnrow")
    size = {"length": Amount(40 * MICRO, "m"), "width": Amount(4 * MICRO, "m")}
    told: list[tuple[float, e.What]] = [
        (0, e.YardLaidOut(name="Invented yard", zone="UTC", invented=True)),
        (0, e.RowBuilt(row="R7", stations=("1",), height=Amount(1_600_000, "m"), **size)),
        (0, e.RowBuilt(row="R8")),
        *(
            (day, e.Round(row="R7", unit="C", readings=(e.Reading("1", 600, parse_micro(heat)),)))
            for day, heat in enumerate(HEATS)
        ),
    ]
    lines = [
        e.Entry(id=str(n), happened=FIRST + timedelta(days=day), who="ana", what=what)
        for n, (day, what) in enumerate(told)
    ]
    with Book.create(where) as made:
        made.append(lines, written=FIRST + timedelta(days=12))
    return where


def test_a_rows_outlook_is_one_object_and_nothing_is_written(book: str) -> None:
    before = Path(book).read_bytes()
    found = run(app, ["outlook", "--yard", book, "--row", "R7", "--at", AT, "--turn", "now", "--json"])
    assert found.exit_code == 0, found.output
    told = json.loads(found.stdout)
    one = told["outlook"]
    assert told["row"] == "R7" and len(one["fan_c"][0]) == 336 and one["depths_cm"] == [60.0]
    assert abs(one["fan_c"][0][0][2] - 62.0) < 6.0
    assert [limit["limit_c"] for limit in one["passing"]] == [65.5, 71.0, 80.0]
    assert told["what_if"][0]["name"] == "Turned now" and told["what_if"][0]["words"][-1].startswith("Why: ")
    assert {each["ahead_h"] for each in one["scores"]} >= {24.0, 48.0}
    assert one["choice"]["used"] == one["used"] and one["choice"]["until_h"] == 72
    assert (
        one["choice"]["count"] >= 12 and min(one["choice"][f"{way}_crps_k"] for way in ("model", "log")) > 0
    )
    assert told["score"][0].endswith("(wide bands count as being off, too).")
    assert "fire service" in told["care"]
    assert Path(book).read_bytes() == before


def test_people_get_sentences_a_table_and_the_caution(book: str) -> None:
    found = run(app, ["outlook", "--yard", book, "--row", "R7", "--at", AT])
    assert found.exit_code == 0, found.output
    assert "Row R7: what it will do" in found.stdout and "against doing nothing" in found.stdout
    assert "A forecast is no reading" in found.stdout and "8 of 10" in found.stdout


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (["--row", "R99"], "--row"),
        (["--row", "R8", "--at", "2026-04-01"], "--row"),
        (["--row", "R7", "--at", "yesterday"], "--at"),
        (["--row", "R7", "--backtest", "12h"], "--row"),
        (["--row", "R7", "--at", AT, "--turn", "2020-01-01"], "turn"),
        (["--row", "R7", "--at", AT, "--water", "much"], "water"),
    ],
)
def test_what_is_wrong_is_refused(book: str, words: list[str], where: str) -> None:
    found = run(app, ["outlook", "--yard", book, *words, "--json"])
    assert found.exit_code == 2
    assert [one["where"] for one in json.loads(found.stdout)["refusals"]] == [where]


def test_a_row_needs_a_yard(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TURNROW_YARD", raising=False)
    found = run(app, ["outlook", "--row", "R7", "--json"])
    assert found.exit_code == 2 and json.loads(found.stdout)["refusals"][0]["where"] == "--yard"


def test_row_carries_its_outlook_when_asked(book: str) -> None:
    plain = json.loads(run(app, ["row", "R7", "--yard", book, "--json"]).stdout)
    told = json.loads(run(app, ["row", "R7", "--yard", book, "--outlook", "--json"]).stdout)
    assert "outlook" not in plain
    assert told["outlook"]["row"] == "R7" and told["outlook"]["outlook"]["fan_c"]
