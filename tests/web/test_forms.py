"""Forms write one line each, once, and give back what was typed when they are turned away."""

import re
from uuid import uuid4

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.quality import lot_quality, release_fields
from turnrow.web.forms import FORMS
from turnrow.yard import entries

from .conftest import NOW, tell

FILLED: dict[str, dict[str, str]] = {
    "turn": {"row": "R7", "passes": "2", "machine": "loader", "water": "500", "water_unit": "L"},
    "water": {"row": "R7", "water": "2,5", "water_unit": "m3"},
    "measure": {"row": "R7", "quantity": "squeeze", "amount": "3", "amount_unit": ""},
    "note": {"text": "Steam at the north end, <b>much</b> of it", "row": "R7"},
    "build": {
        "row": "R10",
        "material_1": "goat bedding",
        "part_1": "12",
        "part_1_unit": "t",
        "material_2": "straw",
        "part_2": "30",
        "part_2_unit": "m3",
        "length": "200",
        "length_unit": "ft",
        "stations": "1..4",
        "process": "turned",
    },
    "load": {"load": "T-101", "material": "bedding", "amount": "4.2", "amount_unit": "t", "how": "weighed"},
    "curing": {"row": "R7", "place": "north pad"},
    "merge": {"row": "R7", "sources": "R8"},
    "cover": {"row": "R7", "cover": "fleece"},
    "weather": {"air": "61", "air_unit": "F", "rain": "2", "rain_unit": "mm"},
    "complaint": {"nature": "smell on the road", "by": "a neighbour", "done": "turned later"},
    "incident": {"what": "smoke seen at R7", "row": "R7", "done": "fire service called"},
    "probe": {"probe": "P1", "bath": "0", "bath_unit": "C", "read": "0.4", "read_unit": "C"},
    "review": {"row": "R7", "upto": "10"},
    "strike": {"line": "6", "reason": "wrong row"},
    "yard": {"name": "Larkhill", "zone": "Europe/Dublin"},
    "lot": {
        "lot": "26-02",
        "sources": "row R7: 3 t @ 45 %\nlot 26-01: 1 t",
        "amount": "4",
        "amount_unit": "t",
    },
    "screen": {
        "sources": "row R8: 2 t",
        "fines": "26-F",
        "overs": "26-O",
        "opening": "15",
        "opening_unit": "mm",
    },
    "split": {"row": "R7", "new": "R7b", "length": "10", "length_unit": "m"},
    "weigh": {"lot": "26-01", "amount": "6.8", "amount_unit": "t", "how": "survey"},
    "sample": {"sample": "S2", "lot": "26-01", "increments": "12", "cooled": "yes"},
    "result": {"sample": "S1", "results": "N total: 1.53 % dry", "sampled": "2026-05-19"},
    "certify": {"lot": "26-01", "name": "Ben Hale", "words": "us-503-17"},
    "certificate": {"material": "bought compost", "issuer": "Elsewhere", "words": "15 days at 55 °C"},
    "training": {"name": "Ben Hale", "subject": "probing", "short": "ben"},
    "cleaning": {"what": "loader", "how": "washed", "after": "raw manure", "before": "lot 26-01"},
    "spread": {"lot": "26-01", "field": "North", "crop": "maize"},
    "growth": {"lot": "26-01", "plant": "peas", "sown": "10", "up": "9 8 10", "control_up": "10 9 10"},
    "release": {},  # as the lot's page fills it in: see `sent`
    "recall": {"lot": "26-01", "reason": "glass in it", "told": "Hollow Nursery"},
    "product": {"product": "coarse", "price": "18 EUR/m3", "bag": "40", "bag_unit": "L"},
    "customer": {"customer": "Mill Gardens", "address": "The mill\nLow road"},
    "order": {
        "order": "O2",
        "customer": "Hollow Nursery",
        "product": "fine",
        "amount": "12",
        "amount_unit": "m3",
        "wanted": "2026-07-01",
    },
    "out": {
        "ticket": "T2",
        "lot": "26-01",
        "amount": "2",
        "amount_unit": "t",
        "customer": "Hollow Nursery",
        "unreleased": "trial",
    },
    "back": {"ticket": "T1", "amount": "0.5", "amount_unit": "t", "reason": "too wet"},
    "bags": {"lot": "26-01", "product": "fine", "bags": "40"},
    "invoice": {"invoice": "I1", "customer": "Hollow Nursery", "tickets": "T1", "due": "2026-07-01"},
    "cost": {"cost": "machine", "amount": "2", "amount_unit": "h", "row": "R7", "task": "turning"},
    "rate": {"cost": "machine", "rate": "85 EUR/h"},
    "asked": {"limits": "us-503-table1", "maturity.CO2 classes": "stable", "plan": "us-503-16"},
}


@pytest.fixture
def laid(laid: Desk) -> Desk:
    """A yard that has sold something, so that every form has what it speaks of."""
    said: tuple[tuple[str, dict[str, str]], ...] = (
        ("lot made", {"lot": "26-09", "sources": "row R9: 1 t"}),
        ("lot made", {"lot": "26-01", "sources": "row R8: 10 t", "amount": "10 t"}),
        ("customer", {"customer": "Hollow Nursery"}),
        ("product", {"product": "fine", "price": "20 EUR/m3"}),
        ("ordered", {"order": "O1", "customer": "Hollow Nursery", "product": "fine", "amount": "9 m3"}),
        (
            "load out",
            {
                "ticket": "T1",
                "lot": "26-01",
                "amount": "3 t",
                "customer": "Hollow Nursery",
                "unreleased": "trial",
            },
        ),
        ("sampled", {"sample": "S1", "lot": "26-01"}),
    )
    tell(laid, said)
    return laid


def sent(slug: str, **more: str) -> dict[str, str]:
    return {**FILLED[slug], "who": "Ben", "id": str(uuid4()), **more}


def releasing(desk: Desk, slug: str) -> dict[str, str]:
    """What a lot that was never read may leave as: raw, with its limits."""
    return release_fields(lot_quality(desk, "26-09", NOW), "Ben Hale") if slug == "release" else {}


def test_every_form_is_tried() -> None:
    assert set(FILLED) == set(FORMS)


@pytest.mark.parametrize("slug", sorted(FILLED))
def test_a_form_writes_its_kind_and_leads_back_to_where_it_shows(
    pages: TestClient, laid: Desk, slug: str
) -> None:
    before = laid.diary.head
    answer = pages.post(f"/write/{slug}", data=sent(slug, **releasing(laid, slug)))
    assert answer.status_code == 303
    line = laid.diary.line(before + 1)
    assert laid.diary.head == before + 1
    assert line.entry.what.__struct_config__.tag == FORMS[slug].kind
    assert (line.entry.who, line.entry.device) == ("Ben", "web page")
    assert answer.headers["location"].endswith(f"kept={line.number}")
    assert f"Kept as line {line.number}." in pages.get(answer.headers["location"]).text


@pytest.mark.parametrize("slug", sorted(FILLED))
def test_a_form_sent_twice_writes_once(pages: TestClient, laid: Desk, slug: str) -> None:
    form, before = sent(slug, **releasing(laid, slug)), laid.diary.head
    first = pages.post(f"/write/{slug}", data=form)
    again = pages.post(f"/write/{slug}", data=form)
    assert laid.diary.head == before + 1
    if slug in ("build", "load", "strike", "merge"):  # what they say is now in the way of itself
        assert again.status_code in (303, 422)
    else:
        assert again.headers["location"] == first.headers["location"]


@pytest.mark.parametrize("slug", ["build", "load", "strike", "merge"])
def test_a_form_sent_twice_leads_to_the_line_it_wrote(pages: TestClient, slug: str) -> None:
    form = sent(slug)
    first = pages.post(f"/write/{slug}", data=form)
    assert pages.post(f"/write/{slug}", data=form).headers["location"] == first.headers["location"]


def test_the_same_id_with_other_words_is_refused(pages: TestClient, laid: Desk) -> None:
    form = sent("note")
    pages.post("/write/note", data=form)
    before = laid.diary.head
    assert pages.post("/write/note", data={**form, "text": "something else"}).status_code == 422
    assert laid.diary.head == before


def test_all_refusals_stand_beside_their_fields_and_what_was_typed_is_kept(
    pages: TestClient, laid: Desk
) -> None:
    before = laid.diary.head
    form = sent("turn", passes="many", water="a lot", machine="JD <7>")
    answer = pages.post("/write/turn", data=form)
    assert answer.status_code == 422
    assert laid.diary.head == before
    for name in ("passes", "water", "machine"):
        assert re.search(rf'<input id="{name}" name="{name}"[^>]*aria-invalid="true"', answer.text)
        assert f'id="wrong-{name}-1"' in answer.text
    assert 'value="many"' in answer.text and 'value="a lot"' in answer.text
    assert "JD &lt;7&gt;" in answer.text and "JD <7>" not in answer.text
    assert f'name="id" value="{form["id"]}"' in answer.text


def test_a_time_of_day_is_read_on_the_yards_clock(pages: TestClient, laid: Desk) -> None:
    pages.post("/write/turn", data=sent("turn", happened="2026-05-19T16:05"))
    entry = laid.diary.line(laid.diary.head).entry
    assert entry.happened.isoformat() == "2026-05-19T16:05:00+01:00"  # Irish summer time


def test_a_row_built_keeps_its_parts_and_sizes_as_typed(pages: TestClient, laid: Desk) -> None:
    pages.post("/write/build", data=sent("build"))
    what = laid.diary.line(laid.diary.head).entry.what
    assert isinstance(what, entries.RowBuilt)
    assert [(p.material, p.amount.value, p.amount.unit) for p in what.parts] == [
        ("goat bedding", 12_000_000, "t"),
        ("straw", 30_000_000, "m3"),
    ]
    assert what.length == entries.Amount(200_000_000, "ft")
    assert what.stations == ("1", "2", "3", "4")


def test_a_name_is_remembered_for_the_next_form(pages: TestClient) -> None:
    pages.post("/write/note", data=sent("note", who="Bríd O'Shea"))
    assert (
        'name="who" required maxlength="40" autocomplete="name" value="Bríd O&#39;Shea"'
        in pages.get("/write/turn").text
    )


def test_a_setting_of_the_yards_own_shows_with_its_reason(pages: TestClient, laid: Desk) -> None:
    form = {"amount": "64", "reason": "neighbours", "who": "Ada", "id": str(uuid4())}
    assert pages.post("/settings/turn_limit", data=form).status_code == 303
    text = pages.get("/settings").text
    assert "64 °C" in text and "neighbours" in text and f'href="/lines/{laid.diary.head}"' in text
    wrong = pages.post("/settings/turn_limit", data={**form, "id": str(uuid4()), "amount": "300"})
    assert wrong.status_code == 422 and 'value="300"' in wrong.text


def test_a_rule_is_chosen_with_how_its_open_points_are_read(pages: TestClient, laid: Desk) -> None:
    assert (
        'name="policy.continuity" value="cumulative"' in pages.get("/settings/rule?rule=US-NOP-WINDROW").text
    )
    form = {
        "rule": "US-NOP-WINDROW",
        "row": "R7",
        "policy.continuity": "cumulative",
        "fact.cn_initial": "30",
        "who": "Ada",
        "id": str(uuid4()),
    }
    assert pages.post("/settings/rule", data=form).headers["location"].startswith("/rows/R7?kept=")
    assert laid.rule_for("R7")[0] == "US-NOP-WINDROW"
    assert laid.rule_for("R7")[1]["continuity"] == "cumulative"
    assert laid.rule_for("R8")[0] == "US-503-PFRP-WINDROW"


def test_every_form_is_offered_once_under_the_heading_of_its_group(pages: TestClient) -> None:
    _, *parts = pages.get("/write").text.split("<h2>")
    offered = {part.partition("<")[0]: re.findall(r'href="/write/(\w+)"', part) for part in parts}
    assert list(offered) == ["On a row", "On the yard", "Lots, samples and release", "Sales and costs"]
    assert sorted(slug for slugs in offered.values() for slug in slugs) == sorted([*FORMS, "round"])
    for title, slugs in (
        ("On a row", ("round", "turn", "split", "incident")),
        ("On the yard", ("build", "load", "weather", "strike")),
        ("Lots, samples and release", ("lot", "recall", "growth", "asked")),
        ("Sales and costs", ("product", "out", "invoice", "rate")),
    ):
        assert set(slugs) <= set(offered[title])
