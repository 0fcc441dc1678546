"""The walk on the server's side: what a phone takes along, and what it sends back, once however often."""

import html
import re
from typing import Any

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.web.walk_plan import Plan
from turnrow.yard.entries import JobDone, Note, Round
from turnrow.yard.wrongs import NotStored, Refusal

# R7 was last read on 19 May: 60.1, 60.2 and 60.3 °C at stations 1, 2, 3; R8 once: 131 °F


def plan(pages: TestClient, address: str) -> Plan:
    found = re.search(r'data-plan="([^"]*)"', pages.get(address).text)
    assert found
    return Plan.model_validate_json(html.unescape(found[1]))


def entry(id: str, kind: str = "round", **fields: str) -> dict[str, Any]:
    return {
        "kind": kind,
        "fields": {"row": "R7", **fields},
        "who": "Ben",
        "id": id,
        "device": "phone walk",
        "happened": "2026-05-20T06:10:00+01:00",
    }


def two_depths() -> dict[str, Any]:
    upper = entry("walk-1", unit="C", depth_cm="30", skipped="2", **{"station.1": "58.5", "station.3": "57"})
    lower = entry("walk-2", unit="C", depth_cm="90", **{"station.1": "61.5", "station.2": "62"})
    why = entry("walk-3", kind="note", text="Not read on the walk: station 2 at 30 cm: it cannot be reached.")
    return {"row": "R7", "entries": [upper, lower, why]}


def test_the_plan_holds_what_the_phone_needs(pages: TestClient) -> None:
    found = plan(pages, "/walk/R7")
    assert (found.stations, found.depths, found.usual, found.unit) == (["1", "2", "3"], [""], [""], "C")
    one = found.spots[0]
    assert one.last and (one.last.text, one.last.heat, one.last.day) == ("60.1 °C", 540_900_000, "2026-05-19")
    assert one.expected and one.expected.by == "readings"
    assert one.expected.low <= one.expected.middle == 540_900_000 <= one.expected.high
    assert found.read_today == ""


def test_a_fahrenheit_reading_stays_as_typed(pages: TestClient) -> None:
    last = plan(pages, "/walk/R8").spots[0].last
    assert last and (last.text, last.unit) == ("131 °F", "F")
    assert last.heat == 55 * 9_000_000  # 131 °F is 55 °C: (131 - 32) / 1.8, NIST SP 811, B.8


def test_a_row_never_read_has_nothing_to_expect(pages: TestClient) -> None:
    found = plan(pages, "/walk/R9")
    assert all(one.last is None and one.expected is None for one in found.spots)


def test_what_is_too_hot_is_said_by_the_rows_own_limits(pages: TestClient, laid: Desk) -> None:
    heads = [(one.heat // 9_000, one.head) for one in plan(pages, "/walk/R7").warnings]
    assert [heat for heat, _ in heads] == sorted((heat for heat, _ in heads), reverse=True)
    assert heads[-1] == (65_500, "Turn it at once")
    said = " ".join(one.text + one.why for one in plan(pages, "/walk/R7").warnings)
    for word in ("fire service", "Steam", "upwind", "local fire code"):
        assert word in said
    sent = {"name": "turn_limit", "amount": "60 C"}
    pages.post("/api/entries", json={**entry("own-limit"), "kind": "setting chosen", "fields": sent})
    assert plan(pages, "/walk/R7").warnings[-1].heat == 60 * 9_000_000


def test_a_walk_is_kept_as_one_round_a_depth_and_a_note(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    answer = pages.post("/api/walk", json=two_depths())
    assert answer.status_code == 200
    lines = [one["lines"] for one in answer.json()["answers"]]
    assert lines == [[before + 1], [before + 2], [before + 3]]
    upper, lower, why = (laid.diary.line(before + n).entry.what for n in (1, 2, 3))
    assert isinstance(upper, Round) and isinstance(lower, Round) and isinstance(why, Note)
    assert [(r.station, r.depth_mm) for r in upper.readings] == [("1", 300), ("3", 300)]
    assert (upper.skipped, {r.depth_mm for r in lower.readings}) == (("2",), {900})


def test_both_clocks_are_kept(pages: TestClient, laid: Desk) -> None:
    answer = pages.post("/api/walk", json=two_depths()).json()
    line = laid.diary.line(answer["answers"][0]["lines"][0])
    assert line.entry.happened.isoformat() == "2026-05-20T06:10:00+01:00"
    assert line.written.isoformat() == "2026-05-20T06:30:00+00:00"
    assert answer["now"] == "2026-05-20T07:30:00+01:00"


def test_sent_twice_it_adds_nothing_and_says_the_same(pages: TestClient, laid: Desk) -> None:
    first = pages.post("/api/walk", json=two_depths())
    head = laid.diary.head
    again = pages.post("/api/walk", json=two_depths())
    assert again.status_code == 200 and laid.diary.head == head
    assert again.json()["answers"] == first.json()["answers"]


def test_one_depth_turned_away_does_not_lose_the_other(pages: TestClient, laid: Desk) -> None:
    sent, before = two_depths(), laid.diary.head
    sent["entries"][0]["fields"].update({"station.1": "hot", "confirmed": "9"})
    answer = pages.post("/api/walk", json=sent)
    assert answer.status_code == 422
    wrong, kept, note = answer.json()["answers"]
    assert [one["where"] for one in wrong["refusals"]] == ["field station.1", "field confirmed"]
    assert all(one["do"] for one in wrong["refusals"])
    assert (kept["lines"], note["lines"]) == ([before + 1], [before + 2])
    sent["entries"][0]["fields"].update({"station.1": "58.5", "confirmed": ""})
    mended = pages.post("/api/walk", json=sent)
    assert mended.status_code == 200
    assert [one["lines"] for one in mended.json()["answers"]] == [[before + 3], [before + 1], [before + 2]]


def test_a_phone_whose_clock_is_days_ahead_is_told(pages: TestClient, laid: Desk) -> None:
    sent, before = two_depths(), laid.diary.head
    for one in sent["entries"]:
        one["happened"] = "2026-05-23T06:10:00+01:00"
    answer = pages.post("/api/walk", json=sent)
    assert answer.status_code == 422 and laid.diary.head == before
    assert all("happened" in one["refusals"][0]["where"] for one in answer.json()["answers"])


def test_two_phones_on_one_row_are_both_kept_and_know_of_each_other(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    mine, other = two_depths(), two_depths()
    for one in other["entries"]:
        one.update(id="other-" + one["id"], who="Cas")
    pages.post("/api/walk", json=mine)
    assert plan(pages, "/walk/R7").read_today == f"Ben at 6:10, line {before + 2}"
    assert pages.post("/api/walk", json=other).status_code == 200
    assert laid.diary.head == before + 6


def test_the_job_on_the_days_sheet_is_ticked_once(pages: TestClient, laid: Desk) -> None:
    pages.post("/today/issue", data={"who": "Ada"})
    first = pages.post("/api/walk", json=two_depths()).json()
    [line] = first["ticked"]
    what = laid.diary.line(line).entry.what
    assert isinstance(what, JobDone) and (what.key, what.done) == ("R7 probe", True)
    head = laid.diary.head
    pages.post("/api/walk", json=two_depths())
    assert laid.diary.head == head


def test_a_walk_of_nothing_is_refused(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    assert pages.post("/api/walk", json={"row": "R7", "entries": []}).status_code == 422
    assert pages.post("/api/walk", json={**two_depths(), "more": 1}).status_code == 422
    assert laid.diary.head == before


def test_rows_due_today_come_first_in_the_days_order(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/walk").text
    due, _, others = text.partition("Other rows")
    today = pages.get("/api/today").json()
    asked = [one["row"] for one in today["advice"] if one["job"] == "probe"]
    assert asked and re.findall(r'data-walk href="/walk/(R\d)"', due) == asked
    assert not set(re.findall(r'data-walk href="/walk/(R\d)"', others)) & set(asked)


def test_looking_at_the_walk_writes_nothing(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    for address in ("/walk", "/walk/R7", "/walk-worker.js"):
        assert pages.get(address).status_code == 200
    assert pages.get("/walk/R404").status_code == 404
    assert laid.diary.head == before


def test_the_walk_holds_no_script_of_its_own_and_a_way_without(pages: TestClient) -> None:
    text = pages.get("/walk/R7").text
    assert re.findall(r"<script[^>]*>([^<]*)</script>", text) == [""]
    assert "<noscript>" in text and "/write/round?row=R7" in text
    assert pages.get("/walk-worker.js").headers["content-type"].startswith("text/javascript")


def test_any_rows_name_leads_to_its_walk(hostile: TestClient) -> None:
    links = re.findall(r'data-walk href="([^"]*)"', hostile.get("/walk").text)
    assert len(links) == 9
    for link in links:
        assert "data-plan=" in hostile.get(html.unescape(link)).text


@pytest.mark.parametrize("address", ["/", "/rows/R7"])
def test_today_and_the_row_lead_to_the_walk(pages: TestClient, address: str) -> None:
    assert 'href="/walk' in pages.get(address).text


def test_a_book_in_use_turns_nothing_away(
    pages: TestClient, laid: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def in_use(*_: object, **__: object) -> None:
        raise NotStored("busy", Refusal("the book", "in use", "Wait."))

    monkeypatch.setattr(laid, "write", in_use)
    assert pages.post("/api/walk", json=two_depths()).status_code == 503
