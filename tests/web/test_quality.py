"""Quality on the pages: what is asked, what may leave, and what failed after it left."""

import re
from uuid import uuid4

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.left import left_without_release
from turnrow.foreman.quality import lot_quality, release_fields

from .conftest import NOW


def write(desk: Desk, kind: str, **fields: str) -> None:
    desk.write(kind, {"happened": "2026-05-20T06:00+00:00", **fields}, now=NOW, who="Ana")


@pytest.fixture
def laid(laid: Desk) -> Desk:
    """A lot of R8, which was read once and so is not proven, tested for lead."""
    write(laid, "customer", customer="Hollow Nursery")
    write(laid, "lot made", lot="26-01", sources="row R9", amount="9 t", moisture="45")
    return laid


def test_a_yard_that_asks_nothing_is_told_to_choose(pages: TestClient) -> None:
    assert "Nothing has been said yet" in pages.get("/quality").text
    assert "has not said what it asks" in pages.get("/lots/26-01").text


def test_what_is_asked_is_chosen_by_form_and_shown_with_how_it_is_known(
    pages: TestClient, laid: Desk
) -> None:
    data = {"limits": "us-503-table1", "maturity.CCME maturity": "mature", "who": "Ana", "id": str(uuid4())}
    assert pages.post("/write/asked", data=data).status_code == 303
    text = pages.get("/quality").text
    assert "40 CFR 503.13 Table 1" in text and "CCME maturity: mature at least" in text
    assert "Pb" in pages.get("/lots/26-01").text
    again = pages.get("/write/asked").text  # a new line takes the place of this one, so it starts from it
    assert re.search(r'value="us-503-table1" checked', again)
    assert re.search(r'<option value="mature" selected>', again)


def test_an_unproven_lot_is_offered_for_release_as_raw_with_its_limits(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/lots/26-01").text
    assert "Release it, treated as raw" in text and "120 days" in text
    fields = release_fields(lot_quality(laid, "26-01", NOW), "Ana Reyes")
    answer = pages.post("/write/release", data={**fields, "who": "Ana", "id": str(uuid4())})
    assert answer.status_code == 303
    assert "Released, treated as raw" in pages.get("/lots").text


def test_releasing_it_as_proven_is_refused_and_nothing_written(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    fields = {**release_fields(lot_quality(laid, "26-01", NOW), "Ana Reyes"), "how": "proven", "limits": ""}
    answer = pages.post("/write/release", data={**fields, "who": "Ana", "id": str(uuid4())})
    assert answer.status_code == 422 and "It is not proven" in answer.text
    assert laid.diary.head == before


def test_a_lot_that_failed_after_it_left_is_to_be_called_back_with_its_buyers(
    pages: TestClient, laid: Desk
) -> None:
    fields = release_fields(lot_quality(laid, "26-01", NOW), "Ana Reyes")
    write(laid, "released", **fields)
    write(laid, "load out", ticket="T1", lot="26-01", amount="2 t", customer="Hollow Nursery")
    write(laid, "quality asked", limits="us-503-table1")
    write(laid, "lab result", lot="26-01", results="Pb: 900 mg/kg dry")  # the ceiling is 840
    text = pages.get("/quality").text
    assert "Call lot" in text and "Tell Hollow Nursery" in text and "900" in text


def test_a_load_of_a_lot_nobody_released_asks_once_and_is_kept_with_its_reason(
    pages: TestClient, laid: Desk
) -> None:
    form = {"ticket": "T1", "lot": "26-01", "amount": "2", "amount_unit": "t", "customer": "Hollow Nursery"}
    before = laid.diary.head
    answer = pages.post("/write/out", data={**form, "who": "Ana", "id": str(uuid4())})
    assert answer.status_code == 422 and "before anybody had released lot 26-01" in answer.text
    assert laid.diary.head == before
    kept = {**form, "unreleased": "taken by mistake", "who": "Ana", "id": str(uuid4())}
    assert pages.post("/write/out", data=kept).status_code == 303
    (left,) = left_without_release(laid.diary)
    assert left.sentence.endswith("It was written why: taken by mistake")


def test_a_growth_test_is_typed_shown_and_stops_the_lot(pages: TestClient, laid: Desk) -> None:
    """Its form points to herbicides; bent leaves are shown as what stops it."""
    form = pages.get("/write/growth?lot=26-01").text
    assert "cup or twist" in form and "Growth test" in pages.get("/quality").text
    fields = {
        "lot": "26-01", "plant": "beans", "sown": "4", "up": "4 4 3", "control_up": "4 4 4",
        "leaves": "cupped or twisted", "who": "Ana",
    }  # fmt: skip
    wrong = pages.post("/write/growth", data={**fields, "up": "5 4 3", "id": str(uuid4())})
    assert wrong.status_code == 422 and "0 to the 4 sown" in wrong.text
    assert pages.post("/write/growth", data={**fields, "id": str(uuid4())}).status_code == 303
    text = pages.get("/lots/26-01").text
    assert "Emergence: about 91.67 % of the control" in text and "may not leave" in text
    assert "CCQC maturity index (from memory): emergence" in text
    assert "Do not sell" in text and "Release it" not in text
