"""What goes wrong is said in the house's tone, with the right status, and nothing is half-done."""

import sqlite3
from pathlib import Path
from uuid import uuid4

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.web.app import create_app
from turnrow.yard.wrongs import DamagedJournal


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
