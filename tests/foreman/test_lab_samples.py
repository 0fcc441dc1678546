"""Lab results of the diary as samples of a recipe's materials.

The update is the normal with known variance (Bayes Rules! 2022, ch. 5): a mean between prior and sample.
"""

import math

import pytest

from turnrow.blend.prior import WITHIN, belief_from_table
from turnrow.foreman.lab_samples import lab_samples
from turnrow.gate.recipe_form import form_from
from turnrow.handbook.feedstocks import feedstocks
from turnrow.yard.entries import Amount, LoadIn
from turnrow.yard.goods import LabResult, Result
from turnrow.yard.numbers import MICRO

from .conftest import Yard

FORM = {
    "total": "20",
    "taken": "any",
    "cn_low": "20",
    "cn_high": "60",
    "name_1": "dairy manure",
    "name_2": "straw",
}


def result(analyte: str, value: float, unit: str, basis: str = "", *, below: bool = False) -> Result:
    return Result(analyte=analyte, amount=Amount(round(value * MICRO), unit), basis=basis, below=below)


def test_sheets_on_a_material_and_on_its_load_are_samples(yard: Yard) -> None:
    yard.say(1, LoadIn(load="L1", material="Dairy manure", amount=Amount(12 * MICRO, "t")))
    wet = (result("moisture", 75, "%", "as received"), result("N total", 0.6, "%", "as received"))
    yard.say(2, LabResult(results=wet, load="L1"))
    yard.say(3, LabResult(results=(result("N total", 2.0, "%", "dry", below=True),), material="straw"))
    yard.say(
        3,
        LabResult(results=(result("N total", 1.0, "%", "dry"), result("C:N", 45, "ratio")), material="straw"),
    )
    yard.say(4, LabResult(results=(result("N total", 1.0, "%", "dry"),), row="R1"))
    yard.desk.refresh()
    found = {(one.material, one.quantity): one.value for one in lab_samples(yard.desk)}
    assert found["Dairy manure", "moisture"] == pytest.approx(0.75)
    assert found["Dairy manure", "n"] == pytest.approx(0.006 / 0.25)  # per dry matter, by its own moisture
    assert found["straw", "n"] == pytest.approx(0.01)  # not the limit of detection
    assert found["straw", "c"] == pytest.approx(0.45) and ("straw", "cn") not in found
    assert len(found) == 4


def test_a_sample_draws_the_handbooks_number_and_does_not_replace_it(yard: Yard) -> None:
    yard.say(1, LabResult(results=(result("N total", 3.4, "%", "dry"),), material="dairy manure"))
    yard.desk.refresh()
    plain, drawn = (form_from(FORM, feedstocks(), sampled=own) for own in ((), lab_samples(yard.desk)))
    before, after = (100 * one.asked.problem.offers[0].what.n_dry for one in (plain, drawn))
    figure = feedstocks()["dairy manure"].figure("n")
    assert figure is not None
    prior = belief_from_table(figure)
    weight = prior.deviation**2 / (prior.deviation**2 + WITHIN["n"] ** 2)
    assert before < after < 3.4
    assert math.log(after) == pytest.approx(
        (1 - weight) * math.log(before) + weight * math.log(3.4), abs=1e-9
    )
    assert any("lab results of the diary" in one and "line 2" in one for one in drawn.asked.notices)


def test_nitrogen_as_received_is_the_same_as_its_dry_figure() -> None:
    wet = {**FORM, "typed_are": "exact", "moisture_1": "80", "n_1": "0.5", "n_1_unit": "wet"}
    dry = {**wet, "n_1": "2.5", "n_1_unit": "dry"}
    one, other = (form_from(form, feedstocks()).asked.problem.offers[0].what for form in (wet, dry))
    assert one.n_dry == pytest.approx(0.025) == other.n_dry
