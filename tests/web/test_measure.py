"""Measure your own: reckoned on the page, written through the entry forms, drawn on by the blend."""

import html
import re
from datetime import UTC, datetime
from urllib.parse import parse_qsl, urlsplit

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.lab_samples import lab_samples
from turnrow.web.measure_fields import FORMS
from turnrow.yard.entries import Measured

NOW = datetime(2026, 5, 20, 6, 30, tzinfo=UTC)
PAIL = "/measure?what=pail&pail=20&pail_unit=L&empty=1&empty_unit=kg&full=10+10.4+9.6&brim=9"


def links(text: str) -> list[str]:
    return [html.unescape(one) for one in re.findall(r'href="(/write/[a-z]+\?[^"]+)"', text)]


def send(pages: TestClient, url: str) -> None:
    """Press the button of the form a link leads to, as a person would."""
    form = pages.get(url)
    assert form.status_code == 200
    sent = {
        **dict(parse_qsl(urlsplit(url).query)),
        "who": "Ada",
        "id": re.findall(r'name="id" value="([^"]+)"', form.text)[0],
    }
    answer = pages.post(urlsplit(url).path, data=sent)
    assert answer.status_code == 303, answer.text


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.what)
def test_every_form_stands_alone_with_its_caution(pages: TestClient, form: object) -> None:
    text = pages.get(f"/measure?what={form.what}").text  # type: ignore[attr-defined]
    assert 'class="care"' in text and "Reckon" in text and 'role="status"' not in text


def test_a_pail_is_reckoned_and_written_as_measured_of_a_row(pages: TestClient, laid: Desk) -> None:
    text = pages.get(f"{PAIL}&row=R7").text
    assert "450 kg/m³" in text and "45 % air" in text and "3 fills" in text and "450, 470, 430" in text
    before = laid.diary.head
    pressed = next(one for one in links(text) if "/write/measure" in one)
    send(pages, pressed)
    laid.refresh()
    what = laid.diary.line(before + 1).entry.what
    assert isinstance(what, Measured)
    assert (what.row, what.quantity, what.amount.unit) == ("R7", "bulk density", "kg/m3")
    assert what.amount.value == 450_000_000 and what.how == "pail, fills: 3"


def test_an_oven_of_a_material_becomes_a_result_that_the_blend_draws_on(
    pages: TestClient, laid: Desk
) -> None:
    text = pages.get("/measure?what=oven&cup=4&wet=14+14&dry=6.3+6.5&again=6.3+6.5&material=straw").text
    assert "76 % moisture" in text and "agree within 1 %" in text
    send(pages, links(text)[0])
    laid.refresh()
    (found,) = lab_samples(laid)
    assert (found.material, found.quantity) == ("straw", "moisture")
    assert found.value == pytest.approx(0.76)


def test_a_result_of_a_load_is_one_of_its_material(pages: TestClient, laid: Desk) -> None:
    fields = {"load": "L9", "material": "oat straw", "amount": "2 t", "happened": "2026-05-19"}
    laid.write("load in", fields, now=NOW, who="Ana")
    send(pages, links(pages.get("/measure?what=oven&wet=10&dry=8&load=L9").text)[0])
    laid.refresh()
    (found,) = lab_samples(laid)
    assert found.material == "oat straw"
    assert found.value == pytest.approx(0.2)


def test_what_may_be_wet_yet_is_not_offered_to_be_written(pages: TestClient) -> None:
    text = pages.get("/measure?what=oven&wet=10&dry=8&again=7&material=straw").text
    assert "do not agree" in text and links(text) == []


def test_ash_becomes_organic_matter_and_carbon_of_one_sheet(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/measure?what=ash&ash=20&material=goat+bedding").text
    assert "80 % organic matter" in text and "44.4 % carbon" in text and "from 36 to 48 %" in text
    send(pages, links(text)[0])
    laid.refresh()
    (found,) = lab_samples(laid)
    assert found.quantity == "c" and found.value == pytest.approx(0.444)


def test_loose_straw_is_light_and_still_taken(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/measure?what=pail&pail=20&empty=1&full=1.8&material=straw").text
    assert "40 kg/m³" in text
    send(pages, links(text)[0])
    laid.refresh()
    assert [one.value for one in lab_samples(laid)] == [40]


def test_air_goes_into_a_note(pages: TestClient) -> None:
    pressed = next(one for one in links(pages.get(PAIL).text) if "/write/note" in one)
    assert "Free air space 45 %" in pages.get(pressed).text


def test_water_and_shrink_lead_on(pages: TestClient) -> None:
    water = "/measure?what=water&mass=100&mass_unit=t&moisture=45&wanted=60"
    text = pages.get(f"{water}&density=800&organic=80").text
    assert "37,500 L" in text and "less than is wanted" in text
    dried = pages.get("/measure?what=water&mass=1000&mass_unit=kg&moisture=80&wanted=50").text
    assert "600 kg of water must go" in dried and "0.4 t" in dried
    shrunk = pages.get("/measure?what=shrink&apart_1=10+10&mixed_1=18").text
    assert "10 % shrink" in shrunk and "/blend?shrink=10" in shrunk
    assert 'value="10"' in pages.get("/blend?shrink=10").text


def test_nonsense_is_told_beside_its_field_and_all_of_it(pages: TestClient) -> None:
    answer = pages.get("/measure?what=pail&pail=20&empty=12&full=10+x&brim=30")
    assert answer.status_code == 422
    assert answer.text.count('class="wrong"') == 2 and 'value="10 x"' in answer.text
    assert pages.get("/measure?what=dragon").status_code == 200
    hostile = pages.get("/measure?what=pail&pail=20&empty=1&full=9&material=<script>")
    assert hostile.status_code == 200 and "<script>" not in hostile.text.split("<main", 1)[-1]


def test_pages_lead_to_it(pages: TestClient) -> None:
    for path in ("/blend", "/write", "/rows/R7"):
        assert "/measure" in pages.get(path).text
