"""`today` and `row` at the door: sentences for people, one JSON object, refusals with what to do."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import Result
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.journal.book import Book
from turnrow.yard import entries as e
from turnrow.yard.numbers import parse_micro

TODAY = datetime.now(UTC).replace(hour=0, minute=0, second=1, microsecond=0)


@pytest.fixture
def book(tmp_path: Path) -> str:
    """Rows R7, hot since three days and too hot yesterday, and R8, unread."""
    where = str(tmp_path / "yard.turnrow")
    told: list[tuple[int, e.What]] = [
        (-4, e.YardLaidOut(name="Invented yard", zone="UTC", invented=True)),
        (-4, e.RowBuilt(row="R7", stations=("1", "2"))),
        (-4, e.RowBuilt(row="R8", stations=("1",))),
        *((day, _round("60", "61")) for day in (-3, -2)),
        (-1, _round("60", "66.1")),
    ]
    lines = [
        e.Entry(id=str(n), happened=TODAY + timedelta(days=day), who="ana", what=what)
        for n, (day, what) in enumerate(told)
    ]
    with Book.create(where) as made:
        made.append(lines, written=TODAY)
    return where


def _round(*values: str) -> e.Round:
    readings = tuple(e.Reading(str(n), 600, parse_micro(text)) for n, text in enumerate(values, 1))
    return e.Round(row="R7", unit="C", readings=readings)


def ask(*words: str) -> Result:
    return CliRunner().invoke(app, [*words])


def test_today_says_a_sentence_for_each_row_and_writes_nothing(book: str) -> None:
    with Book.open(book) as opened:
        head = opened.head()
    asked = ask("today", "--yard", book)
    assert asked.exit_code == 0
    flat = " ".join(asked.stdout.split())
    assert "Turn row R7 this morning: 66.1 °C at station 2, read yesterday" in flat
    assert "Invented yard (invented)" in flat and "Probe row R8 first" in flat
    with Book.open(book) as opened:
        assert opened.head() == head


def test_a_day_without_jobs_says_whether_any_row_was_ever_built(tmp_path: Path, book: str) -> None:
    empty = str(tmp_path / "empty.turnrow")
    with Book.create(empty) as made:
        laid = e.Entry(id="0", happened=TODAY, who="ana", what=e.YardLaidOut(name="Empty", zone="UTC"))
        made.append([laid], written=TODAY)
    assert "none is built yet" in ask("today", "--yard", empty).stdout
    for row in ("R7", "R8"):
        ask("write", "lot-made", f"lot=L{row}", f"sources=row {row}", "--yard", book)
    assert "none is at work today" in ask("today", "--yard", book).stdout


def test_today_as_one_object(book: str) -> None:
    asked = ask("today", "--yard", book, "--json")
    found = json.loads(asked.stdout)
    assert asked.stdout.count("\n") == 1 and found["upto"] == 6 and found["sheet"] is None
    assert [job["key"] for job in found["advice"]] == ["R7 turn", "R8 probe", "R7 probe"]
    assert found["advice"][0]["because"][-1] == 6 and found["advice"][0]["urgent"] is True


def test_issue_writes_the_sheet_once(book: str) -> None:
    first = json.loads(ask("today", "--yard", book, "--issue", "--json").stdout)
    again = json.loads(ask("today", "--yard", book, "--issue", "--json").stdout)
    assert first["sheet"] == again["sheet"] == 7
    assert again["since"] == {"new": [], "changed": [], "gone": [], "done": []}
    assert "The sheet of the day is line 7" in ask("today", "--yard", book).stdout


def test_a_day_before_is_seen_as_it_stood(book: str) -> None:
    day = (TODAY - timedelta(days=2)).date().isoformat()
    found = json.loads(ask("today", "--yard", book, "--date", day, "--json").stdout)
    assert found["day"] == day
    assert "R7 turn" not in [job["key"] for job in found["advice"]]
    before = (TODAY - timedelta(days=9)).date().isoformat()
    assert json.loads(ask("today", "--yard", book, "--date", before, "--json").stdout)["advice"] == []


def test_a_row_says_its_standing_readings_turns_and_jobs(book: str) -> None:
    found = json.loads(ask("row", "R7", "--yard", book, "--json").stdout)
    assert found["standing"]["hot_days"] == 3 and found["rule"]["id"] == "US-503-PFRP-WINDROW"
    assert [spot["reading"] for spot in found["last_readings"]] == ["60 °C", "66.1 °C"]
    assert found["last_readings"][1]["line"] == 6 and found["turns"] == []
    assert found["jobs"][0]["key"] == "R7 turn"
    said = ask("row", "R7", "--yard", book).stdout
    assert "under US-503-PFRP-WINDROW" in said and "66.1 °C" in said


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (["row", "R99"], "NAME"),
        (["today", "--date", "yesterday"], "--date"),
        (["today", "--issue", "--date", "2026-05-01"], "--issue"),
    ],
)
def test_what_cannot_be_answered_is_refused_with_what_to_do(book: str, words: list[str], where: str) -> None:
    asked = ask(*words, "--yard", book, "--json")
    assert asked.exit_code == 2
    (refusal,) = json.loads(asked.stdout)["refusals"]
    assert refusal["where"] == where and refusal["do"].endswith(".")


def test_no_yard_named_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TURNROW_YARD", raising=False)
    for words in (["today"], ["row", "R7"]):
        asked = ask(*words)
        assert asked.exit_code == 2 and "--yard" in asked.stderr


def test_a_row_says_that_it_is_not_met_yet_and_what_another_reading_of_the_text_gives(tmp_path: Path) -> None:
    """15 hot days, one unread among them: unproven in a row, proven in all; the day is named."""
    where = str(tmp_path / "yard.turnrow")
    lay = [
        (-17, e.YardLaidOut(name="Invented yard", zone="UTC", invented=True)),
        (-17, e.RowBuilt(row="R7", stations=("1",))),
    ]
    read = [(day, _round("60")) for day in range(-16, 0) if day != -8]
    turned = [(day, e.Turned(row="R7")) for day in (-15, -12, -9, -6, -3)]
    lines = [
        e.Entry(id=str(n), happened=TODAY + timedelta(days=day), who="ana", what=what)
        for n, (day, what) in enumerate([*lay, *read, *turned])
    ]
    with Book.create(where) as made:
        made.append(lines, written=TODAY)
    found = json.loads(ask("row", "R7", "--yard", where, "--json").stdout)
    assert found["standing"]["verdict"] == "IN_PROGRESS"
    assert found["standing"]["word"] == "In progress"
    assert {"policy": "continuity", "value": "cumulative", "verdict": "PASS"} in found["otherwise"]
    unread = TODAY + timedelta(days=-8)
    said = " ".join(ask("row", "R7", "--yard", where).stdout.split())
    assert f"Neither hot nor cold: {unread.day} {unread:%B} (nothing read)." in said
    assert "The text may also be read with continuity cumulative: then proven hot." in said
    assert said.startswith("Row R7: in progress under US-503-PFRP-WINDROW") and "FAIL" not in said


def test_a_heap_without_a_rule_says_that_once(book: str) -> None:
    assert ask("write", "row-built", "row=H1", "process=static", "--yard", book).exit_code == 0
    said = " ".join(ask("row", "H1", "--yard", book).stdout.split())
    assert "no rule to judge by. Choose one for this row" in said
    assert said.count("which is a static heap") == 1
