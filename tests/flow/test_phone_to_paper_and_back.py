"""From a phone's round to the paper an inspector reads, and from the paper's line number back to the round.

The record is worked case W01 of the reference on rules, in our own words: three days of warming up, then
fifteen days at 55 °C or hotter at every station with five turns inside them; 40 CFR 503 App. B asks for
fifteen days and five turns, so it passes on the fifteenth and not a day before.
"""

import csv
import io
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.web.app import create_app
from turnrow.yard.entries import SheetIssued

D0 = datetime(2026, 4, 30, tzinfo=UTC)
WARMING = (("31", "34"), ("42", "45"), ("54.9", "58"))
HOT = ("55", "61.5")  # exactly at the limit at the coldest station: it counts
TURNS = (6, 9, 12, 15, 17)
LAST = 18


class Phone:
    """Sends what a phone sends, at the time its clock says."""

    def __init__(self, desk: Desk) -> None:
        self.now, self.desk = D0, desk
        self.pages = TestClient(create_app(desk, clock=lambda: self.now), base_url="http://127.0.0.1:8017")

    def send(self, kind: str, day: int, hour: int, **fields: str) -> tuple[int, dict[str, Any]]:
        self.now = D0 + timedelta(days=day, hours=hour)
        answer = self.pages.post(
            "/api/entries",
            json={
                "kind": kind,
                "fields": fields,
                "who": "ana",
                "device": "phone",
                "id": f"{kind.replace(' ', '-')}-{day}-{hour}",
                "happened": self.now.isoformat(),
            },
        )
        return answer.status_code, answer.json()

    def walk(self, day: int) -> tuple[int, dict[str, Any]]:
        first, second = WARMING[day - 1] if day <= len(WARMING) else HOT
        return self.send("round", day, 7, row="R7", readings=f"1@60:{first} C, 2@60:{second} C", probe="P1")


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[Phone]:
    with Book.create(str(tmp_path / "yard.turnrow")) as book:
        yield Phone(Desk(book))


def _season(phone: Phone, last: int) -> None:
    assert phone.send("yard laid out", 0, 5, name="Invented yard", zone="UTC", invented="true")[0] == 201
    assert phone.send("row built", 0, 6, row="R7", length="40 m", stations="1, 2")[0] == 201
    for day in range(1, last + 1):
        assert phone.walk(day)[0] == 201
        if day in TURNS:
            assert phone.send("turned", day, 9, row="R7", machine="turner")[0] == 201


def test_a_round_goes_from_phone_to_paper_and_its_line_leads_back(phone: Phone) -> None:
    _season(phone, LAST - 1)
    assert phone.pages.get("/api/rows/R7").json()["standing"]["verdict"] != "PASS"  # fourteen hot days

    status, receipt = phone.walk(LAST)
    (line,) = receipt["lines"]
    assert status == 201
    status, again = phone.walk(LAST)  # no signal, sent twice
    assert status == 200 and again == {**again, "lines": [], "known": [line["number"]]}

    standing = phone.pages.get("/api/rows/R7").json()["standing"]
    assert standing["verdict"] == "PASS" and line["number"] in standing["lines"]
    assert (standing["hot_days"], standing["turns_counted"]) == (15, 5)

    today = phone.pages.get("/api/today").json()
    (job,) = [advice for advice in today["advice"] if advice["row"] == "R7" and advice["job"] == "leave"]
    assert "55 °C to 61.5 °C, read today" in job["text"] and "proven hot" in job["text"]
    assert line["number"] in job["because"]

    told = list(csv.DictReader(io.StringIO(phone.pages.get("/papers/row.csv?row=R7").text)))
    walked = [reading for reading in told if int(reading["line"]) == line["number"]]
    assert [(reading["station"], reading["value"]) for reading in walked] == [("1", "55"), ("2", "61.5")]
    assert len(told) == 2 * LAST

    paper = phone.pages.get("/papers/row.pdf?row=R7")
    assert paper.headers["content-type"] == "application/pdf"
    with pikepdf.open(io.BytesIO(paper.content)) as pdf:
        assert len(pdf.pages) >= 1
    assert phone.pages.get("/papers/row.pdf?row=R7").content == paper.content

    back = phone.pages.get(f"/api/lines/{walked[0]['line']}").json()
    assert back == line and (back["entry"]["who"], back["entry"]["device"]) == ("ana", "phone")
    assert phone.pages.get("/api/verify").json()["ok"] is True


def test_the_sheet_of_the_morning_can_be_held_against_what_came_of_it(phone: Phone) -> None:
    """On the fifteenth hot day four turns are made: it is the latest day for the fifth."""
    _season(phone, 16)
    assert phone.walk(17)[0] == 201 and phone.walk(18)[0] == 201
    before = phone.desk.standing("R7").standing
    assert before.verdict != "PASS" and before.turns_counted == 4
    sheet = phone.desk.issue(D0 + timedelta(days=18, hours=8), "ana")
    assert isinstance(sheet.entry.what, SheetIssued)
    (turn,) = [job for job in sheet.entry.what.advice if job.key == "R7 turn"]
    assert "the fifth of five turns" in turn.text and "Today is the latest day" in turn.text and turn.urgent

    receipt = phone.desk.tick("R7 turn", D0 + timedelta(days=18, hours=9), "ben")
    assert phone.desk.standing("R7").standing.verdict == "PASS"
    phone.now = D0 + timedelta(days=18, hours=10)
    today = phone.pages.get("/api/today").json()
    assert today["done"]["R7 turn"] == receipt.lines[-1].number
    shown = phone.pages.get(f"/papers/day.pdf?line={sheet.number}")
    assert shown.status_code == 200 and shown.headers["content-type"] == "application/pdf"
    assert phone.desk.book.line(sheet.number) == sheet  # what was said stays as it was said
