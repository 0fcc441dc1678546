"""The round form: every station, the last reading in sight, a surprising number asked about once."""

from uuid import uuid4

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.yard.entries import Round

# R7 was last read on 19 May: 60.1, 60.2 and 60.3 °C at stations 1, 2, 3


def sent(unit: str = "C", **values: str) -> dict[str, str]:
    names = {f"name_{n}": str(n) for n in (1, 2, 3)}
    return {"row": "R7", "unit": unit, "who": "Ben", "id": str(uuid4()), **names, **values}


def newest(desk: Desk) -> Round:
    what = desk.diary.line(desk.diary.head).entry.what
    assert isinstance(what, Round)
    return what


def test_each_station_has_one_input_and_its_last_reading(pages: TestClient) -> None:
    text = pages.get("/write/round?row=R7").text
    assert text.count('inputmode="decimal" autocomplete="off" enterkeyhint="next"') == 3
    for said in ("last 60.1 °C, yesterday", "last 60.2 °C, yesterday", "last 60.3 °C, yesterday"):
        assert said in text


def test_a_round_is_written_with_what_was_read_and_what_was_not(pages: TestClient, laid: Desk) -> None:
    form = sent(value_1="61.5", value_2="", value_3="59,9", probe="P1", depth_cm="90")
    assert pages.post("/write/round", data=form).status_code == 303
    what = newest(laid)
    assert [(r.station, r.depth_mm, r.value) for r in what.readings] == [
        ("1", 900, 61_500_000),
        ("3", 900, 59_900_000),
    ]
    assert (what.unit, what.skipped, what.confirmed, what.probe) == ("C", ("2",), (), "P1")


@pytest.mark.parametrize(
    ("unit", "value", "asks"),
    [
        ("C", "70.1", False),  # ten degrees from 60.1, exactly: not more than ten
        ("C", "70.2", True),
        ("C", "50.1", False),
        ("C", "50.0", True),
        ("F", "158.18", False),  # 70.1 °C exactly: 1.8 x 70.1 + 32 (NIST SP 811, B.8)
        ("F", "158.2", True),
    ],
)
def test_a_number_more_than_ten_degrees_off_is_asked_about(
    pages: TestClient, laid: Desk, unit: str, value: str, asks: bool
) -> None:
    before = laid.diary.head
    answer = pages.post("/write/round", data=sent(unit, value_1=value))
    assert ("Look at the probe again" in answer.text) == asks
    assert laid.diary.head == before + (not asks)


def test_it_is_asked_once_and_kept_as_confirmed(pages: TestClient, laid: Desk) -> None:
    form = sent(value_1="74.5", value_2="61")
    asked = pages.post("/write/round", data=form)
    assert 'name="asked_1" value="74.5"' in asked.text and 'name="asked_2" value=""' in asked.text
    assert pages.post("/write/round", data={**form, "asked_1": "74.5"}).status_code == 303
    assert newest(laid).confirmed == ("1",)
    assert newest(laid).readings[0].value == 74_500_000


def test_another_surprising_number_is_asked_about_anew(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    answer = pages.post("/write/round", data=sent(value_1="79.5", asked_1="74.5"))
    assert "Look at the probe again" in answer.text and laid.diary.head == before


def test_a_round_sent_twice_writes_once(pages: TestClient, laid: Desk) -> None:
    form, before = sent(value_1="74.5", asked_1="74.5"), laid.diary.head
    first = pages.post("/write/round", data=form)
    again = pages.post("/write/round", data=form)
    assert laid.diary.head == before + 1
    assert first.headers["location"] == again.headers["location"]


def test_what_is_no_number_is_refused_and_kept_in_the_form(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    answer = pages.post("/write/round", data=sent(value_1="hot", value_2="61"))
    assert answer.status_code == 422 and laid.diary.head == before
    assert 'value="hot"' in answer.text and 'value="61"' in answer.text


def test_an_empty_round_is_refused_no_more_than_stations_passed_by(pages: TestClient, laid: Desk) -> None:
    assert pages.post("/write/round", data=sent()).status_code == 303
    assert newest(laid).skipped == ("1", "2", "3")


def test_a_row_without_stations_gets_its_first_from_the_form(pages: TestClient, laid: Desk) -> None:
    form = {
        "row": "R9",
        "unit": "F",
        "who": "Ben",
        "id": str(uuid4()),
        "name_4": "north end",
        "value_4": "131",
    }
    assert pages.post("/write/round", data=form).status_code == 303
    assert [(r.station, r.value) for r in newest(laid).readings] == [("north end", 131_000_000)]


def test_the_form_speaks_the_persons_unit(pages: TestClient) -> None:
    pages.post("/unit", data={"unit": "F", "back": "/"})
    text = pages.get("/write/round?row=R7").text
    assert "last 140.2 °F, yesterday" in text  # 60.1 °C: 1.8 x 60.1 + 32 = 140.18
    assert '<input type="hidden" name="unit" value="F">' in text


def test_a_round_that_fits_the_other_unit_is_asked_about_with_what_it_would_be(
    pages: TestClient, laid: Desk
) -> None:
    """140 °F is 60 °C, which the row had the day before."""
    before, form = laid.diary.head, sent(value_1="140", value_2="140", value_3="149")
    asked = pages.post("/write/round", data=form)
    assert "Was it °F? Then it is 60.0 °C to 65.0 °C, and the row had 60.2 °C before" in asked.text
    assert "fire service" in asked.text and laid.diary.head == before
    sure = {"asked_1": "140", "asked_2": "140", "asked_3": "149"}
    assert pages.post("/write/round", data={**form, **sure}).status_code == 303
    assert newest(laid).confirmed == ("1", "2", "3")


def test_celsius_in_a_form_of_fahrenheit_is_asked_about(pages: TestClient) -> None:
    asked = pages.post("/write/round", data=sent("F", value_1="60", value_2="60", value_3="61"))
    assert "Was it °C? Then it is 140.0 °F to 141.8 °F" in asked.text


def test_new_stations_that_no_heap_could_have_are_asked_about_once(pages: TestClient, laid: Desk) -> None:
    names = {"name_1": "7", "name_2": "8", "name_3": "9"}
    form = sent(value_1="140", value_2="141", value_3="142") | names
    asked = pages.post("/write/round", data=form)
    assert "Was it °F?" in asked.text and "last time" not in asked.text.split("Was it")[0].split("Look at")[1]
    sure = {"asked_1": "140", "asked_2": "141", "asked_3": "142"}
    assert pages.post("/write/round", data={**form, **sure}).status_code == 303
    assert newest(laid).confirmed == ("7", "8", "9")
