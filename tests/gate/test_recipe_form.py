"""What a form of a recipe may say: units, names of the handbook, own numbers, and every refusal at once.

Units: 1 lb/yd3 is 0.593276 kg/m3, 1 yd3 0.764555 m3, 1 short ton 0.907185 t (NIST Handbook 44, MEMORY).
"""

import tomllib

import pytest

from turnrow.blend.ingredient import Ingredient
from turnrow.gate.recipe_file import read_recipe
from turnrow.gate.recipe_form import Form, field_of, form_from
from turnrow.gate.recipe_text import toml_of
from turnrow.handbook.feedstocks import feedstocks
from turnrow.yard.wrongs import Refused

GOOD = {
    "total": "40",
    "bucket": "2.5",
    "cn_low": "25",
    "cn_high": "40",
    "moisture_low": "50",
    "moisture_high": "65",
    "air_low": "35",
    "fill": "10",
    "name_1": "dairy manure",
    "name_2": "straw",
}


def form(**more: str) -> Form:
    return form_from({**GOOD, **more}, feedstocks())


def made_of(found: Form, place: int) -> Ingredient:
    return found.asked.problem.offers[place].what


def refused(**more: str) -> dict[str, str]:
    with pytest.raises(Refused) as caught:
        form(**more)
    return {field_of(one): one.do for one in caught.value.refusals}


def test_a_name_alone_takes_the_handbooks_numbers_with_their_sources() -> None:
    found = form()
    table = feedstocks()["dairy manure"]
    moisture, n = table.figure("moisture"), table.figure("n")
    assert moisture is not None and n is not None
    assert made_of(found, 0).moisture_wet * 100 == pytest.approx(moisture.value)
    assert made_of(found, 0).n_dry * 100 == pytest.approx(n.value)
    first = found.used[0]
    assert (first.whence, first.figure) == ("handbook", moisture)


@pytest.mark.parametrize(
    ("unit", "tonnes"),
    [
        ("t", 30.0),
        ("ton", 30 * 0.90718474),
        ("m3", 30 * 0.865),
        ("yd3", 30 * 0.764555 * 0.865),
        ("buckets", 64.875),
    ],
)
def test_stock_may_be_said_in_any_unit(unit: str, tonnes: float) -> None:
    """Dairy manure weighs 865 kg/m3 in the handbook; 30 buckets of 2.5 m3 are 64.875 t."""
    found = form(stock_1="30", stock_1_unit=unit)
    kg = found.asked.problem.offers[0].stock_kg
    assert kg is not None and kg / 1000 == pytest.approx(tonnes, rel=1e-5)


@pytest.mark.parametrize(("unit", "cubic"), [("m3", 40.0), ("yd3", 30.58219), ("buckets", 100.0)])
def test_the_total_may_be_a_volume(unit: str, cubic: float) -> None:
    assert form(total_unit=unit).asked.problem.total_m3 == pytest.approx(cubic, rel=1e-5)


def test_own_numbers_are_one_sample_and_draw_the_handbooks() -> None:
    drawn = made_of(form(moisture_1="75"), 0).moisture_wet
    assert 0.75 < drawn < 0.81
    assert made_of(form(moisture_1="75", typed_are="exact"), 0).moisture_wet == pytest.approx(0.75)


def test_a_lab_sheet_makes_a_lot_surer_than_the_book() -> None:
    by_book, by_sheet = (
        found.asked.problem.offers[0].lot for found in (form(), form(n_1="2.4", moisture_1="81"))
    )
    assert by_sheet.n_dry < by_book.n_dry and by_sheet.moisture_wet < by_book.moisture_wet


def test_one_of_nitrogen_and_cn_typed_leaves_the_carbon() -> None:
    for more in ({"n_1": "3"}, {"cn_1": "15.2"}):
        what = made_of(form(typed_are="exact", **more), 0)
        assert (what.n_dry, what.c_dry) == (pytest.approx(0.03), pytest.approx(0.456))


def test_density_may_be_typed_in_pounds_a_yard() -> None:
    what = made_of(form(density_1="1400", density_1_unit="lb/yd3", typed_are="exact"), 0)
    assert what.density == pytest.approx(1400 * 0.593276, rel=1e-5)


def test_a_material_of_ones_own_takes_what_is_typed() -> None:
    own = {"name_3": "grape marc", "moisture_3": "65", "n_3": "2", "cn_3": "24", "density_3": "400"}
    what = made_of(form(**own), 2)
    assert (what.moisture_wet, what.n_dry, what.c_dry, what.density) == pytest.approx((0.65, 0.02, 0.48, 400))


def test_a_decimal_comma_is_taken() -> None:
    assert form(total="40,5").asked.problem.total_kg == pytest.approx(40_500)


def test_everything_wrong_is_told_at_once_under_its_field() -> None:
    found = refused(
        total="0",
        bucket="",
        cn_low="50",
        chance="99.9",
        name_1="dragon dung",
        moisture_1="12",
        n_2="5",
        cn_2="90",
        name_3="leaves",
        density_3="-1",
        moisture_4="40",
        width="4 m",
    )
    assert set(found) == {
        *("total", "bucket", "cn_low", "chance", "n_1", "cn_1", "density_1"),
        *("cn_2", "density_3", "name_4", "width"),
    }
    assert "The low end comes first" in found["cn_low"]
    assert "58 % carbon" in found["cn_2"]


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"stock_1": "0"}, "stock_1"),
        ({"stock_1": "5", "least_1": "9"}, "least_1"),
        ({"name_2": "dairy manure"}, "name_2"),
        ({"moisture_1": "101"}, "moisture_1"),
        ({"cost_1": "-3"}, "cost_1"),
        ({"name_1": "", "name_2": ""}, "name_1"),
        ({"total": ""}, "total"),
        ({"kept": "unturned"}, "height"),
        ({"total_unit": "stone"}, "total"),
        ({"stock_1": "3", "stock_1_unit": "barrels"}, "stock_1"),
    ],
)
def test_one_thing_wrong_is_told_under_its_field(more: dict[str, str], field: str) -> None:
    assert set(refused(**more)) == {field}


def test_a_unit_slip_is_noticed_and_nothing_is_changed() -> None:
    """1458 lb/yd3 (NRAES-54, MEMORY) typed as kg/m3 is 1.69 times too heavy."""
    notices = " ".join(form(density_1="1458").asked.notices)
    assert "lb/yd3" in notices and "865" in notices


def test_a_range_a_spreadsheet_made_a_day_of_is_told_as_such() -> None:
    assert refused(moisture_1="27-Apr")["moisture_1"].startswith(
        "A spreadsheet has made a day of a range, likely 4-27."
    )


def test_the_text_is_the_same_recipe_in_a_file() -> None:
    found = form(stock_1="30", cost_2="60", chance="50", water="never", shrink="5")
    again = read_recipe(found.text.encode(), "again", feedstocks())
    assert again.problem == found.asked.problem
    assert tomllib.loads(found.text)["confidence"] == 0.5


def test_a_hostile_name_stays_a_name() -> None:
    name = 'a"b\\\n[targets]\x7f ]#'
    raw = {"total_t": 1.0, "ingredient": [{"name": name, "moisture_pct": 3, 'odd "key"': True}]}
    assert tomllib.loads(toml_of(raw, "x\ny = 3")) == raw
