"""Pail, oven, ash and water from a form's fields: results, or every refusal at once."""

from collections.abc import Mapping

import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from turnrow.gate.measuring import WHATS, Ash, Oven, Pail, Watering, measured_from
from turnrow.gate.recipe_form import field_of
from turnrow.yard.wrongs import Refused

AIR = 35.0
FIELDS = (
    *("pail", "empty", "full", "brim", "cup", "wet", "dry", "again", "ash", "burnt", "mass", "moisture"),
    *(
        "moisture_of",
        "wanted",
        "stays",
        "density",
        "organic",
        "material",
        "row",
        "apart_1",
        "mixed_1",
        "apart_2",
    ),
    *("pail_unit", "empty_unit", "brim_unit", "mass_unit", "density_unit"),
)
TYPED = st.sampled_from(
    ["", "0", "1", "-1", "4", "9 9", "20", "100", "1e9", "0.000001", "99999999", "5;;6", ",", "1,5", "1 x",
     "٣", "nan", "27-Apr", "kg", "lb", "gal", "dry", "%", "10 %", "<b>"]
)  # fmt: skip


def refused(what: str, given: Mapping[str, str]) -> dict[str, str]:
    """What is wrong with each field."""
    with pytest.raises(Refused) as wrong:
        measured_from(what, given, AIR)
    return {field_of(one): one.do for one in wrong.value.refusals}


def test_fills_of_a_pail_tell_density_and_spread_and_water_tells_the_air() -> None:
    given = {"pail": "20", "empty": "1", "full": "10 10,4; 9.6", "brim": "9"}
    got = measured_from("pail", given, AIR)
    assert isinstance(got, Pail)
    assert got.density.each == pytest.approx((450, 470, 430))
    assert got.density.mean == pytest.approx(450)
    assert got.density.sd == pytest.approx(20)
    assert got.air == pytest.approx(0.45)


def test_pounds_and_gallons_give_the_same_density() -> None:
    """45 lb in 5 US gallons: 67.3 lb/ft3, as a gallon is 231 of the 1728 cubic inches of a cubic foot."""
    given = {"pail": "5", "pail_unit": "gal", "empty": "2", "empty_unit": "lb", "full": "47"}
    got = measured_from("pail", given, AIR)
    assert isinstance(got, Pail)
    assert got.density.mean / 16.018463 == pytest.approx(45 / (5 * 231 / 1728), rel=1e-6)
    assert got.density.sd is None and got.air is None


def test_water_may_be_weighed_instead_of_poured_by_the_litre() -> None:
    poured = measured_from("pail", {"pail": "20", "empty": "1", "full": "9", "brim": "9"}, AIR)
    weighed = measured_from(
        "pail", {"pail": "20", "empty": "1", "full": "9", "brim": "9", "brim_unit": "kg"}, AIR
    )
    assert poured == weighed


@pytest.mark.parametrize(
    ("given", "wrong"),
    [
        ({"pail": "20", "empty": "10", "full": "9 11"}, {"full"}),
        ({"pail": "20", "empty": "1", "full": "1"}, {"full"}),
        ({"pail": "0", "empty": "1", "full": "9"}, {"pail"}),
        ({"pail": "0.02", "empty": "1", "full": "9"}, {"full"}),
        ({"pail": "20", "empty": "1", "full": "9", "brim": "21"}, {"brim"}),
        ({"pail": "20", "empty": "-1", "full": "x"}, {"empty", "full"}),
        ({"pail": "20", "pail_unit": "hats", "empty": "1", "full": "9"}, {"pail"}),
        ({"full": "9"}, {"pail", "empty"}),
        ({"pail": "20", "empty": "1", "full": " ".join(["9"] * 13)}, {"full"}),
        ({"pail": "nan", "empty": "inf", "full": "1e400"}, {"pail", "empty", "full"}),
        ({"pail": "20", "empty": "1", "full": "9", "material": "straw", "row": "R7"}, {"row"}),
    ],
)
def test_a_pail_that_cannot_be_is_refused_field_by_field(given: dict[str, str], wrong: set[str]) -> None:
    assert set(refused("pail", given)) == wrong


def test_samples_of_an_oven_share_a_container_or_have_their_own() -> None:
    one = measured_from("oven", {"cup": "4", "wet": "14 24", "dry": "6.3 8.6"}, AIR)
    own = measured_from("oven", {"cup": "4 5", "wet": "14 25", "dry": "6.3 9.6"}, AIR)
    assert isinstance(one, Oven) and isinstance(own, Oven)
    assert one.moisture == own.moisture
    assert one.moisture.mean == pytest.approx(0.77)
    assert one.per_dry == pytest.approx(0.77 / 0.23)


@pytest.mark.parametrize(
    ("again", "steady"), [("", None), ("40", True), ("39.8", True), ("39", False), ("40.9", False)]
)
def test_dry_is_dry_when_two_weighings_agree(again: str, steady: bool | None) -> None:
    """Net 30 g: two tenths of a gram less is within a hundredth, a gram is not."""
    got = measured_from("oven", {"cup": "10", "wet": "110", "dry": "40", "again": again}, AIR)
    assert isinstance(got, Oven)
    assert got.steady is steady
    assert got.moisture.mean == pytest.approx(1 - (float(again or 40) - 10) / 100)


@pytest.mark.parametrize(
    ("given", "wrong"),
    [
        ({"wet": "10", "dry": "12"}, {"dry"}),
        ({"wet": "10 10", "dry": "5"}, {"dry"}),
        ({"cup": "1 2 3", "wet": "10 10", "dry": "5 5"}, {"cup"}),
        ({"cup": "6", "wet": "10", "dry": "5"}, {"dry"}),
        ({"cup": "5", "wet": "10", "dry": "5"}, {"dry"}),
        ({"wet": "10", "dry": "5", "again": "11"}, {"again"}),
        ({"wet": "10", "dry": "0"}, {"dry"}),
        ({"wet": "much"}, {"wet", "dry"}),
    ],
)
def test_an_oven_that_cannot_be_is_refused(given: dict[str, str], wrong: set[str]) -> None:
    assert set(refused("oven", given)) == wrong


def test_nothing_lost_in_the_oven_is_no_moisture() -> None:
    got = measured_from("oven", {"wet": "10", "dry": "10"}, AIR)
    assert isinstance(got, Oven) and got.moisture.mean == 0


def test_ash_comes_by_percent_or_by_weights_and_not_by_both() -> None:
    typed = measured_from("ash", {"ash": "20"}, AIR)
    burnt = measured_from("ash", {"cup": "30", "dry": "40", "burnt": "32"}, AIR)
    assert isinstance(typed, Ash) and isinstance(burnt, Ash)
    assert burnt.organic == pytest.approx(typed.organic) == pytest.approx(0.8)
    assert set(refused("ash", {"ash": "20", "burnt": "32"})) == {"burnt"}
    assert set(refused("ash", {"ash": "120"})) == {"ash"}
    assert set(refused("ash", {"dry": "40", "burnt": "41"})) == {"burnt"}
    clean = measured_from("ash", {"cup": "30", "dry": "40", "burnt": "30"}, AIR)
    assert isinstance(clean, Ash) and clean.ash.mean == 0


def test_a_moisture_of_the_dry_mass_is_turned_before_it_is_used() -> None:
    wet = measured_from("water", {"mass": "100", "moisture": "45", "wanted": "60"}, AIR)
    per_dry = {"mass": "100", "moisture": "81.818182", "moisture_of": "dry", "wanted": "60"}
    dry = measured_from("water", per_dry, AIR)
    assert isinstance(wet, Watering) and isinstance(dry, Watering)
    assert wet.give_t == pytest.approx(37.5) == pytest.approx(dry.give_t, rel=1e-6)
    assert wet.lose_t == 0 and wet.ceiling is None
    assert wet.after_t == pytest.approx(137.5)


def test_water_needs_all_it_asks_and_density_and_organic_matter_go_together() -> None:
    assert set(refused("water", {"mass": "1"})) == {"moisture", "wanted"}
    asked = {"mass": "1", "moisture": "50", "wanted": "60"}
    assert set(refused("water", {**asked, "density": "500"})) == {"organic"}
    assert set(refused("water", {**asked, "organic": "80"})) == {"density"}
    assert set(refused("water", {**asked, "wanted": "100", "moisture": "-1"})) == {"moisture", "wanted"}


def test_bucket_tests_need_two_parts_and_a_mix() -> None:
    assert set(refused("shrink", {"apart_1": "10", "mixed_1": "9"})) == {"apart_1"}
    assert set(refused("shrink", {"apart_1": "10 10", "mixed_1": "18", "apart_2": "5 5"})) == {"mixed_2"}


@pytest.mark.parametrize("what", WHATS)
def test_nothing_typed_is_nothing_asked(what: str) -> None:
    assert measured_from(what, {"pail_unit": "L", "row": "R7", "moisture_of": "wet"}, AIR) is None


@drawn(st.sampled_from(WHATS), st.dictionaries(st.sampled_from(FIELDS), TYPED))
def test_anything_typed_is_answered_or_refused_with_reasons(what: str, typed: dict[str, str]) -> None:
    try:
        measured_from(what, typed, AIR)
    except Refused as wrong:
        assert wrong.refusals
        assert all(field_of(one) and one.do for one in wrong.refusals)
