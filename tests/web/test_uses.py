"""Using a lot: the page reckons from the lot's own figures."""

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk

from .conftest import NOW

SHEET = (
    "moisture: 45 %; N total: 1.53 % dry; NH4-N: 741.9 mg/kg dry; NO3-N: 291 mg/kg dry; "
    "P2O5: 1.34 % dry; K2O: 1.36 % dry; bulk density: 593 kg/m3"
)


@pytest.fixture
def laid(laid: Desk) -> Desk:
    when = {"happened": "2026-05-19"}
    for lot, row in (("26-01", "R7"), ("26-02", "R9")):
        laid.write("lot made", {"lot": lot, "sources": f"row {row}: 5 t", **when}, now=NOW, who="Ana")
    laid.write("lab result", {"lot": "26-01", "results": SHEET, **when}, now=NOW, who="Ana")
    return laid


def test_a_field_takes_what_the_lots_own_figures_allow(pages: TestClient, laid: Desk) -> None:
    """Phosphorus allows 11.6 t/ha as on paper (see the literature test); the lot is not proven, so its
    nitrogen counts as of fresh manure, which changes that limit and not this one."""
    text = pages.get("/use?lot=26-01&use=field&n_kg_ha=100&p2o5_kg_ha=60&area_ha=2").text
    assert "11.6 t/ha" in text and "limited by phosphorus" in text and "23.3 t in all" in text
    assert "120 days" in text


def test_a_bed_is_told_in_millimetres_and_nonsense_beside_the_form(pages: TestClient, laid: Desk) -> None:
    assert "40 mm deep" in pages.get("/use?lot=26-01&use=bed&area_m2=120&tilled_cm=20").text
    answer = pages.get("/use?lot=26-01&use=bed&area_m2=much")
    assert answer.status_code == 422 and "plain number" in answer.text and "tilled_cm" in answer.text


def test_a_lot_without_figures_says_what_to_measure(pages: TestClient, laid: Desk) -> None:
    assert "never measured" in pages.get("/use?lot=26-02").text
    assert pages.get("/use?lot=none").status_code == 404
    assert "There is no such lot" in pages.get("/use").text


def test_pounds_acres_and_cubic_yards_are_asked_and_told(pages: TestClient, laid: Desk) -> None:
    """60 kg/ha is 53.53 lb/ac, and 11.6 t/ha are 5.19 short tons an acre."""
    ask = "/use?lot=26-01&use=field&p2o5_kg_ha=53.53&p2o5_kg_ha_unit=lb_ac&area_ha=5&area_ha_unit=ac"
    text = pages.get(ask).text
    assert "11.6 t/ha" in text and "5.19 short tons an acre" in text and "lb/ac" in text
    assert '<option value="lb_ac" selected>' in text
    bed = pages.get("/use?lot=26-01&use=bed&area_m2=1000&area_m2_unit=ft2&tilled_cm=8&tilled_cm_unit=in").text
    assert "1.6 in" in bed and "US bushels" in bed and "yd³" in bed
    assert pages.get(ask.replace("lb_ac", "furlong")).status_code == 422
