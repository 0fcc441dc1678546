"""turnrow paper: files whole or not at all, every refusal at once."""

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.yard import entries as e
from turnrow.yard.goods import LotMade, Share
from turnrow.yard.numbers import MICRO

D1 = datetime(2026, 5, 1, 7, tzinfo=UTC)


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A small invented yard: one row, three rounds, one issued sheet."""
    path = tmp_path / "yard.journal"
    said: list[e.What] = [
        e.YardLaidOut(name="Test yard", zone="UTC", invented=True),
        e.RowBuilt(row="R1", stations=("1", "2")),
    ]
    said += [
        e.Round(
            row="R1", unit="C", readings=(e.Reading("1", 900, t * MICRO), e.Reading("2", 900, 58 * MICRO))
        )
        for t in (60, 61, 62)
    ]
    said.append(e.SheetIssued(day=date(2026, 5, 6), advice=(), upto=5, edition="0123456789ab"))
    with Book.create(str(path)) as book:
        for number, what in enumerate(said):
            at = D1 + timedelta(days=number)
            book.append([e.Entry(id=f"e{number}", happened=at, who="ana", what=what)], written=at)
    return path


def run(*args: str) -> Result:
    return CliRunner().invoke(app, ["paper", *args])


def test_a_row_sheet_is_written_and_a_second_time_replaced_by_the_same_bytes(
    yard: Path, tmp_path: Path
) -> None:
    out = tmp_path / "R1.pdf"
    first = run("row", "R1", "--yard", str(yard), "-o", str(out), "--json")
    assert first.exit_code == 0, first.output
    said = json.loads(first.stdout)
    assert said["files"] == {str(out): out.stat().st_size} and said["line"] == 6
    bytes_first = out.read_bytes()
    assert bytes_first.startswith(b"%PDF")
    out.write_bytes(b"an older paper")
    assert run("row", "R1", "--yard", str(yard), "-o", str(out), "--paper", "a4").exit_code == 0
    assert out.read_bytes() == bytes_first
    assert sorted(p.name for p in tmp_path.iterdir() if p.name.startswith(".")) == []


def test_a_csv_comes_with_the_days_beside_it(yard: Path, tmp_path: Path) -> None:
    out = tmp_path / "R1.csv"
    assert run("row", "R1", "--yard", str(yard), "-o", str(out)).exit_code == 0
    assert len(out.read_text("utf-8").splitlines()) == 7
    assert len((tmp_path / "R1.days.csv").read_text("utf-8").splitlines()) == 7


def test_a_day_sheet_is_written_on_letter_paper(yard: Path, tmp_path: Path) -> None:
    out = tmp_path / "day.pdf"
    done = run("day", "2026-05-06", "--yard", str(yard), "-o", str(out), "--paper", "letter")
    assert done.exit_code == 0, done.output
    assert out.read_bytes().startswith(b"%PDF")


def test_a_sampling_sheet_of_a_lot_is_the_same_bytes_each_time(yard: Path, tmp_path: Path) -> None:
    with Book.open(str(yard)) as book:
        made = LotMade(lot="26-04", sources=(Share(row="R1"),))
        at = D1 + timedelta(days=9)
        book.append([e.Entry(id="lot", happened=at, who="ana", what=made)], written=at)
    out = tmp_path / "s.pdf"
    assert run("sampling", "26-04", "--yard", str(yard), "-o", str(out)).exit_code == 0
    first = out.read_bytes()
    assert first.startswith(b"%PDF")
    assert run("sampling", "26-04", "--yard", str(yard), "-o", str(out)).exit_code == 0
    assert out.read_bytes() == first


def test_every_wrong_word_is_refused_at_once_and_nothing_is_written(yard: Path, tmp_path: Path) -> None:
    out = tmp_path / "x.txt"
    done = run("slip", "R1", "--yard", str(yard), "-o", str(out), "--paper", "a5", "--unit", "R")
    assert done.exit_code == 2
    for place in ("KIND", "-o", "--paper", "--unit"):
        assert f"refused  {place}" in done.stderr
    assert not out.exists()


@pytest.mark.parametrize(
    "kind, name, file, place",
    [
        ("row", "R9", "a.pdf", "the row"),
        ("day", "2026-05-07", "a.pdf", "the day"),
        ("day", "yesterday", "a.pdf", "NAME"),
        ("day", "2026-05-06", "a.csv", "-o"),
        ("row", "R1", "nowhere/a.pdf", "-o"),
        ("sampling", "26-09", "a.pdf", "the lot"),
        ("sampling", "26-04", "a.csv", "-o"),
    ],
)
def test_what_cannot_be_printed_is_refused_and_an_older_file_stays(
    yard: Path, tmp_path: Path, kind: str, name: str, file: str, place: str
) -> None:
    out = tmp_path / file
    if out.parent.is_dir():
        out.write_bytes(b"an older paper")
    done = run(kind, name, "--yard", str(yard), "-o", str(out))
    assert done.exit_code == 2
    assert f"refused  {place}" in done.stderr
    if out.parent.is_dir():
        assert out.read_bytes() == b"an older paper"


def test_a_folder_in_place_of_a_file_is_refused(yard: Path, tmp_path: Path) -> None:
    (tmp_path / "a.pdf").mkdir()
    done = run("row", "R1", "--yard", str(yard), "-o", str(tmp_path / "a.pdf"))
    assert done.exit_code == 2 and "name a file" in done.stderr


SOLD: tuple[tuple[str, dict[str, str]], ...] = (
    ("lot made", {"lot": "26-01", "sources": "row R1: 3 t", "amount": "3 t"}),
    ("customer", {"customer": "Mill"}),
    ("product", {"product": "fine", "price": "20 EUR/t"}),
    (
        "load out",
        {
            "ticket": "T1",
            "lot": "26-01",
            "amount": "1 t",
            "customer": "Mill",
            "product": "fine",
            "unreleased": "trial",
        },
    ),
    ("invoiced", {"invoice": "I1", "customer": "Mill", "tickets": "T1"}),
)


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        ("lot", "26-01"),
        ("story", "26-01"),
        ("label", "26-01"),
        ("sampling", "26-01"),
        ("invoice", "I1"),
        ("ticket", "T1"),
        ("prices", "-"),
        ("season", "2026"),
    ],
)
def test_papers_of_lots_and_sales_are_written_and_alike_twice(
    yard: Path, tmp_path: Path, kind: str, name: str
) -> None:
    with Book.open(str(yard)) as book:
        desk = Desk(book)
        for said, fields in SOLD:
            desk.write(said, {**fields, "happened": "2026-05-08"}, now=D1 + timedelta(days=9), who="ana")
    out = tmp_path / "p.pdf"
    assert run(kind, name, "--yard", str(yard), "-o", str(out)).exit_code == 0
    first = out.read_bytes()
    assert first.startswith(b"%PDF")
    assert run(kind, name, "--yard", str(yard), "-o", str(out)).exit_code == 0
    assert out.read_bytes() == first


@pytest.mark.parametrize(
    ("kind", "name"), [("lot", "X"), ("invoice", "X"), ("ticket", "X"), ("season", "26")]
)
def test_a_paper_of_what_is_not_there_is_refused(yard: Path, tmp_path: Path, kind: str, name: str) -> None:
    found = run(kind, name, "--yard", str(yard), "-o", str(tmp_path / "p.pdf"))
    assert found.exit_code == 2 and not (tmp_path / "p.pdf").exists()
