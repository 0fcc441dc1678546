"""Today: jobs with their reasons, the sheet issued once, ticks that write their entries."""

import re
from datetime import date
from html import unescape
from uuid import uuid4

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.yard import entries

from .conftest import NOW


def job(desk: Desk, kind: str) -> str:
    return next(one.key for one in desk.today(NOW).advice if one.job == kind)


def test_every_job_says_why_and_names_its_lines(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/").text
    advice = laid.today(NOW).advice
    assert len(advice) >= 3
    assert text.count("<summary>Why?</summary>") == len(advice)
    assert len(re.findall(r'class="fact job"', text)) == len(advice)


def test_looking_writes_nothing(pages: TestClient, laid: Desk) -> None:
    before = laid.book.head()
    for address in ("/", "/rows", "/rows/R7", "/settings", "/papers", "/papers/row.pdf?row=R7", "/api/today"):
        pages.get(address)
    assert laid.book.head() == before


def test_the_sheet_is_issued_once(pages: TestClient, laid: Desk) -> None:
    first = pages.post("/today/issue", data={"who": "Ada"})
    again = pages.post("/today/issue", data={"who": "Ada"})
    assert first.headers["location"] == again.headers["location"] == f"/?kept={laid.diary.head}"
    assert len(laid.diary.sheets()) == 1
    assert "Nothing has changed since the sheet was issued." in pages.get("/").text


def test_what_changed_since_the_sheet_is_said(pages: TestClient, laid: Desk) -> None:
    pages.post("/today/issue", data={"who": "Ada"})
    form = {"row": "R7", "unit": "C", "who": "Ben", "id": str(uuid4())}
    hot = {f"{part}_{n}": text for n in (1, 2, 3) for part, text in (("name", str(n)), ("value", "68.5"))}
    assert pages.post("/write/round", data={**form, **hot}).status_code == 303
    text = pages.get("/").text
    assert "What has changed since the sheet was issued" in text
    assert re.search(r"<strong>(New|Changed):</strong>[^<]*68\.5 °C", text)


def test_a_round_walked_for_a_job_ticks_it(pages: TestClient, laid: Desk) -> None:
    pages.post("/today/issue", data={"who": "Ada"})
    key = job(laid, "probe")
    row = key.split()[0]
    form = {
        "row": row,
        "unit": "C",
        "who": "Ben",
        "id": str(uuid4()),
        "key": key,
        "name_1": "1",
        "value_1": "55",
    }
    assert pages.post("/write/round", data=form).status_code == 303
    assert key in laid.today(NOW).done
    head = laid.diary.head
    pages.post("/write/round", data=form)
    assert laid.diary.head == head


def test_not_today_wants_a_reason_and_keeps_it(pages: TestClient, laid: Desk) -> None:
    key = laid.today(NOW).advice[0].key
    assert pages.post("/today/put-off", data={"key": key, "who": "Ada", "reason": " "}).status_code == 422
    assert pages.post("/today/put-off", data={"key": key, "who": "Ada", "reason": "rain"}).status_code == 303
    assert "Put off: <bdi>rain</bdi>" in pages.get("/").text
    assert key in laid.today(NOW).put_off


def test_a_turn_ticked_writes_the_turn_and_the_tick_together(pages: TestClient, laid: Desk) -> None:
    form = {"row": "R7", "unit": "C", "who": "Ben", "id": str(uuid4())}
    hot = {f"{part}_{n}": text for n in (1, 2, 3) for part, text in (("name", str(n)), ("value", "68.5"))}
    pages.post("/write/round", data={**form, **hot})
    key, before = job(laid, "turn"), laid.diary.head
    tick = {
        "key": key,
        "row": "R7",
        "passes": "2",
        "water": "1.5",
        "water_unit": "m3",
        "who": "Ben",
        "back": "/",
    }
    assert pages.post("/today/done", data=tick).status_code == 303
    turned, done = laid.diary.line(before + 1).entry.what, laid.diary.line(before + 2).entry.what
    assert isinstance(turned, entries.Turned) and isinstance(done, entries.JobDone)
    assert (turned.row, turned.passes, turned.water) == ("R7", 2, entries.Amount(1_500_000, "m3"))
    assert done.entries == (laid.diary.line(before + 1).entry.id,)
    pages.post("/today/done", data=tick)
    assert laid.diary.head == before + 2


def test_a_tick_turned_away_writes_nothing(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    assert pages.post("/today/done", data={"key": "R99 turn", "who": "Ben"}).status_code == 422
    assert laid.diary.head == before


def test_an_address_for_answers_opened_by_itself_leads_to_today(pages: TestClient) -> None:
    assert pages.get("/today/done").headers["location"] == "/"


def test_a_day_gone_by_is_shown_as_it_stood_and_takes_no_ticks(laid: Desk, pages: TestClient) -> None:
    """What happened later is not in it, and looking writes nothing."""
    before = laid.book.head()
    page = pages.get("/?day=2026-05-06")
    assert page.status_code == 200 and "A day gone by" in page.text and "/today/done" not in page.text
    jobs = laid.morning_of(date(2026, 5, 6)).advice
    assert jobs and all(job.text in unescape(page.text) for job in jobs)
    assert laid.book.head() == before
    assert "Another day" in pages.get("/").text


@pytest.mark.parametrize("day", ["yesterday", "2026-13-01", "2031-01-01"])
def test_a_day_that_is_none_or_still_to_come_is_refused(pages: TestClient, day: str) -> None:
    assert pages.get("/", params={"day": day}).status_code == 422


def test_a_tick_without_a_job_is_refused_before_the_day_is_worked_out(
    laid: Desk, pages: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = list[object]()
    monkeypatch.setattr(Desk, "today", lambda *_: asked.append(1))
    assert pages.post("/today/done", data={"who": "ana"}).status_code == 422 and asked == []
