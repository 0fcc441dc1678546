"""What goes wrong is said in the house's tone, with the right status, and nothing is half-done."""

import sqlite3
from pathlib import Path
from uuid import uuid4

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.web.app import create_app
from turnrow.yard.wrongs import DamagedJournal, NotStored

from .conftest import NOW


@pytest.mark.parametrize(
    "address",
    [
        "/nowhere",
        "/rows/R99",
        "/lines/0",
        "/lines/99999999999",
        "/lines/x",
        "/lines/1/photo",
        "/write/nothing",
        "/settings/nothing",
        "/lines?row=R99",
        "/lines?only=1-x",
        "/papers/row.pdf?row=R99",
        "/papers/day.pdf?line=1",
    ],
)
def test_what_is_not_there_is_a_page_that_leads_on(pages: TestClient, address: str) -> None:
    answer = pages.get(address)
    assert answer.status_code == 404
    assert '<a href="/rows">Rows</a>' in answer.text and "Traceback" not in answer.text


def test_a_page_that_takes_no_such_request_says_so(pages: TestClient) -> None:
    answer = pages.post("/rows")
    assert answer.status_code == 405 and "takes no such request" in answer.text


def test_a_missing_part_of_an_address_is_a_page_too(pages: TestClient) -> None:
    answer = pages.get("/papers/row.pdf")
    assert answer.status_code == 422 and "That cannot be taken" in answer.text


def test_a_damaged_journal_stops_every_page_and_names_the_line(
    laid: Desk, pages: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken() -> None:
        raise DamagedJournal(12, "its seal does not fit")

    monkeypatch.setattr(laid, "refresh", broken)
    for address in ("/", "/rows/R7", "/nowhere"):
        answer = pages.get(address)
        assert answer.status_code in (503, 404)
        assert answer.status_code == 404 or "damaged at line 12" in answer.text
    answer = pages.get("/api/today")
    assert (answer.status_code, answer.json()["damaged"]["line"]) == (503, 12)


def test_a_line_changed_on_the_disk_stops_the_pages(laid: Desk, tmp_path: Path) -> None:
    where = laid.book.store.where
    number = laid.diary.head + 1
    with TestClient(create_app(laid), base_url="http://127.0.0.1:8017") as client:
        other = sqlite3.connect(where)
        other.execute(
            "INSERT INTO lines (number, id, written_us, bytes, seal) VALUES (?, 'x', 1, x'7b7d', ?)",
            (number, b"0" * 32),
        )
        other.commit()
        other.close()
        answer = client.get("/")
    assert answer.status_code == 503
    assert f"damaged at line {number}" in answer.text


def test_a_book_held_by_another_program_is_said_to_be_in_use(
    laid: Desk, pages: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    laid.book.store._connection.execute("PRAGMA busy_timeout = 20")
    other = sqlite3.connect(laid.book.store.where, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    form = {"text": "steam", "who": "Ada", "id": str(uuid4())}
    try:
        page = pages.post("/write/note", data=form)
        api = pages.get("/api/rows")
    finally:
        other.execute("ROLLBACK")
        other.close()
    assert (page.status_code, api.status_code) == (503, 503)
    assert "The book is in use" in page.text
    assert pages.post("/write/note", data=form).status_code == 303


def test_a_fault_of_ours_is_not_dressed_up(laid: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object) -> None:
        raise ValueError("temperature -300 °C, want above -273.15")

    monkeypatch.setattr(laid, "today", fault)
    with TestClient(
        create_app(laid), base_url="http://127.0.0.1:8017", raise_server_exceptions=False
    ) as client:
        answer = client.get("/")
    assert answer.status_code == 500 and "-300" not in answer.text


def full(desk: Desk) -> sqlite3.Connection:
    """The desk's disk as SQLite knows it when full: no page more, and notes until none fits."""
    connection: sqlite3.Connection = desk.book.store._connection
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(NotStored):
        while True:
            desk.write("note", {"text": "dry " * 200}, now=NOW, who="Ada", device="test")
    return connection


def test_a_full_disk_is_said_on_every_page_until_a_line_is_written(laid: Desk, pages: TestClient) -> None:
    connection = full(laid)
    form = {"text": "steam " * 200, "who": "Ada", "id": str(uuid4())}
    sent = pages.post("/write/note", data=form)
    assert sent.status_code == 503 and "The disk is full" in sent.text and "Free some space" in sent.text
    for address in ("/", "/rows/R7", "/lots", "/write/note"):
        answer = pages.get(address)
        assert answer.status_code == 200 and "The disk is full. Free some space" in answer.text, address
    connection.execute("PRAGMA max_page_count = 1000000")
    assert pages.post("/write/note", data=form).status_code == 303
    assert "The disk is full" not in pages.get("/").text


def test_a_full_disk_turns_no_walk_away(laid: Desk, pages: TestClient) -> None:
    """The phone keeps what it has: 422 would be a fault of the readings."""
    connection = full(laid)
    note = {"kind": "note", "fields": {"row": "R7", "text": "dry " * 200}, "who": "Ada", "id": str(uuid4())}
    sent = {"row": "R7", "entries": [note]}
    assert pages.post("/api/walk", json=sent).status_code == 503
    connection.execute("PRAGMA max_page_count = 1000000")
    answer = pages.post("/api/walk", json=sent)
    assert answer.status_code == 200 and answer.json()["answers"][0]["lines"]


def test_a_moved_book_is_said_and_goes_on_when_it_is_put_back(laid: Desk, pages: TestClient) -> None:
    where = Path(laid.book.store.where)
    away = where.rename(where.with_name("away"))
    page, api = pages.get("/"), pages.get("/api/rows")
    assert (page.status_code, api.status_code) == (503, 503)
    assert "no longer where it was" in page.text and "Put the book back" in page.text
    away.rename(where)
    assert pages.get("/").status_code == 200
    assert "no longer where it was" not in pages.get("/").text
