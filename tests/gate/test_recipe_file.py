"""What a recipe file may say, and what is turned away: everything at once, each with where and what to do.

Materials are invented; the as-received example is W3 of the recipe notes (docslib.org 12269573, READ).
"""

import pytest

from turnrow.gate.recipe_file import RecipeFile, read_recipe
from turnrow.handbook.feedstocks import feedstocks
from turnrow.yard.wrongs import Refused

GOOD = """
total_t = 10
[targets]
cn = [25, 40]
moisture_pct = [50, 65]
[[ingredient]]
name = "manure"
moisture_pct = 80
n_pct_dry = 2.4
cn = 19
bulk_density_kg_m3 = 860
[[ingredient]]
name = "chips"
moisture_pct = 25
c_pct_dry = 50
n_pct_dry = 0.25
bulk_density_kg_m3 = 300
"""


def read(text: str) -> RecipeFile:
    return read_recipe(text.encode(), "r.toml", feedstocks())


def refusals(text: str) -> list[str]:
    with pytest.raises(Refused) as told:
        read(text)
    return [one.sentence() for one in told.value.refusals]


def changed(old: str, new: str) -> str:
    assert GOOD.count(old) >= 1
    return GOOD.replace(old, new, 1)


def test_a_good_file_is_read_as_it_says() -> None:
    found = read(GOOD)
    manure, chips = found.problem.offers
    assert found.problem.total_kg == 10_000
    assert found.problem.targets.moisture_wet == (0.5, 0.65)
    assert (manure.what.moisture_wet, manure.what.n_dry) == (0.8, 0.024)
    assert manure.what.c_dry == pytest.approx(0.456)
    assert chips.what.c_dry == 0.5
    assert manure.what.om_dry == pytest.approx(0.8208)  # 1.8 x carbon, where no organic matter is given
    assert found.notices == () and found.unsaid == frozenset()


def test_as_received_is_turned_by_its_own_moisture() -> None:
    text = changed("n_pct_dry = 2.4\ncn = 19", 'basis = "as received"\nn_pct_dry = 0.48\nc_pct_dry = 9.12')
    what = read(text).problem.offers[0].what
    assert what.n_dry == pytest.approx(0.024)
    assert what.c_dry == pytest.approx(0.456)


def test_as_received_needs_no_moisture_where_none_is_asked__w3() -> None:
    """50 lb hay (40 C, 1 N), 10 lb scraps (10, 1), 2 lb coffee (25, 1): 34.677."""
    parts = "".join(
        f'[[ingredient]]\nname = "{name}"\nbasis = "as received"\nc_pct_dry = {c}\nn_pct_dry = 1\n'
        f"at_least_t = {t}\nstock_t = {t}\n"
        for name, c, t in (("hay", 40, 0.05), ("scraps", 10, 0.01), ("coffee", 25, 0.002))
    )
    found = read("[targets]\ncn = [30, 40]\n" + parts)
    offers = found.problem.offers
    carbon = sum(o.least_kg * o.what.c_dry for o in offers)
    assert carbon / sum(o.least_kg * o.what.n_dry for o in offers) == pytest.approx(34.677, abs=5e-4)
    assert "moisture" in found.unsaid
    assert found.notices == ()  # the carbon check is for shares of dry mass


def test_spreads_are_in_the_unit_of_their_key() -> None:
    more = (
        "load_m3 = 3\nloads = [1, 9]\ncorr_c_n = 0.5\n"
        "[ingredient.sd_lot]\nmoisture_pct = 3\nn_pct_dry = 0.2\n"
        "[ingredient.sd_load]\nfill_pct = 7\nbulk_density_kg_m3 = 30\ncorr_c_n = 0.1\n"
    )
    manure = read(changed("860\n", "860\n" + more)).problem.offers[0]
    assert manure.loads == (1, 9)
    assert manure.lot.moisture_wet == 0.03
    assert manure.lot.n_dry == pytest.approx(0.002)
    assert (manure.lot.corr_c_n, manure.load.corr_c_n) == (0.5, 0.1)
    assert (manure.load.fill, manure.load.density) == (0.07, 30)


def test_a_name_alone_is_the_handbooks_with_a_word_on_it() -> None:
    found = read('total_t = 5\n[targets]\ncn = [20, 40]\n[[ingredient]]\nname = "Dairy manure"\n')
    assert found.problem.offers[0].what.moisture_wet == pytest.approx(0.81)
    assert "typical values" in found.notices[0] and "MEMORY" in found.notices[0]


def test_an_unknown_name_alone_is_turned_away_with_near_ones() -> None:
    (told,) = refusals('total_t = 5\n[targets]\ncn = [20, 40]\n[[ingredient]]\nname = "dairy dung"\n')
    assert "dairy manure" in told


@pytest.mark.parametrize(
    ("old", "new", "where", "do"),
    [
        ("moisture_pct = 80", "moisture_pct = -3", "moisture_pct", "0 or more"),
        ("moisture_pct = 80", "moisture_pct = 104", "moisture_pct", "at most 100"),
        ("moisture_pct = 80", 'moisture_pct = "80 %"', "moisture_pct", "plain number"),
        ("moisture_pct = 80", 'moisture_pct = "27-Apr"', "moisture_pct", "likely 4-27. Write a plain number"),
        ("moisture_pct = 80", "moisture_pct = nan", "moisture_pct", "plain number"),
        ("moisture_pct = 80", "moisture_pct = true", "moisture_pct", "plain number"),
        ("moisture_pct = 80\n", "", "moisture_pct", "Write its moisture"),
        ("n_pct_dry = 2.4\n", "", "cn", "C:N alone"),
        ("n_pct_dry = 2.4", "n_pct_dry = 0", "cn", "without nitrogen"),
        ("n_pct_dry = 2.4\ncn = 19\n", "", "n_pct_dry, c_pct_dry, cn", "two of them"),
        ("cn = 19", "cn = 19\nc_pct_dry = 30", "n_pct_dry, c_pct_dry, cn", "Keep two"),
        ("cn = 19", "cn = 40", "carbon", "Nothing organic"),
        ("cn = 19", 'cn = 19\nbasis = "as received"', "carbon", "Nothing organic"),
        ("cn = 19", 'cn = 19\nbasis = "wet"', "basis", "as received"),
        ("cn = 19", "cn = 19\nstock_t = 0", "stock_t", "above 0"),
        ("cn = 19", "cn = 19\ncost_per_t = -4", "cost_per_t", "0 or more"),
        ("cn = 19", "cn = 19\nloads = [1, 4]", "loads", "load_m3"),
        ("cn = 19", "cn = 19\nload_m3 = 3\nloads = [4, 1]", "loads", "[1, 4]"),
        ("cn = 19", "cn = 19\nload_m3 = 3\nloads = [0.5, 4]", "loads", "whole numbers"),
        ("bulk_density_kg_m3 = 860", "load_m3 = 3", "bulk_density_kg_m3", "volume"),
        ("bulk_density_kg_m3 = 860", "bulk_density_kg_m3 = 0", "bulk_density_kg_m3", "above 0"),
        ("moisture_pct = 80", "moisture_pct = 80\nmoistur = 3", "moistur", "moisture_pct"),
        ('name = "chips"', 'name = "manure"', "name", "own name"),
        ('name = "chips"\n', "", "name", "Name it"),
        ("cn = [25, 40]", "cn = [40, 25]", "cn", "[25, 40]"),
        ("cn = [25, 40]", "cn = 30", "cn", "two numbers"),
        ("cn = [25, 40]", "cn = [-1, 40]", "cn", "from 0"),
        ("moisture_pct = [50, 65]", "moisture_pct = [0.5, 0.65]", "moisture_pct", "percent"),
        ("moisture_pct = [50, 65]", "moisture_pct = [50, 165]", "moisture_pct", "to 99"),
        ("total_t = 10", "total_t = 10\ntotal_m3 = 30", "total_t, total_m3", "Keep one"),
        ("total_t = 10\n", "", "total_t", "how much"),
        ("total_t = 10", "total_t = 0", "total_t", "0.001 or more"),
        ("total_t = 10", "total_t = 10\nconfidence = 95", "confidence", "0.95"),
        ("total_t = 10", "total_t = 10\nconfidence = 1", "confidence", "below 1"),
        ("total_t = 10", "total_t = 10\ntarget = 1", "target", "targets"),
        ("total_t = 10", "total_t = 10\nfar_outside = { worst = 0.1 }", "[far_outside], widths", "both"),
        ("moisture_pct = [50, 65]\n", '[[ingredient]]\nname = "water"\n', "moisture_pct", "would be water"),
        ("total_t = 10", 'total_t = 10\nwater = "yes"', "water", "needed"),
    ],
)
def test_bad_input_is_turned_away(old: str, new: str, where: str, do: str) -> None:
    told = refusals(changed(old, new))
    assert any(where in one.split(":")[0] and do in one for one in told), told


def test_everything_wrong_is_told_at_once() -> None:
    text = changed("moisture_pct = 80", "moisture_pct = 180\nstock_t = 0\ncost = 3")
    text = text.replace("cn = [25, 40]", "cn = [40, 25]").replace("c_pct_dry = 50", "c_pct_dry = -50")
    told = refusals(text)
    assert len(told) == 5
    assert sum("[[ingredient]] 1 (manure)" in one for one in told) == 3


def test_toml_that_is_none_is_turned_away_with_its_line() -> None:
    (told,) = refusals("total_t = 10\n[targets\ncn = [25, 40]\n")
    assert "line 2" in told
    with pytest.raises(Refused):
        read_recipe(b"\xff\xfe\x00", "r.toml", feedstocks())


def test_unit_slips_are_told_and_nothing_is_changed() -> None:
    found = read(changed("bulk_density_kg_m3 = 860", "bulk_density_kg_m3 = 1458"))
    assert "lb/yd3" in found.notices[0] and "865" in found.notices[0]
    assert found.problem.offers[0].what.density == 1458
    fraction = read(changed("moisture_pct = 80", "moisture_pct = 0.8"))
    assert "80" in fraction.notices[0]


def test_water_may_be_an_ingredient() -> None:
    what = read(GOOD + '[[ingredient]]\nname = "water"\ncost_per_t = 1\n').problem.offers[2].what
    assert (what.moisture_wet, what.n_dry) == (1.0, 0.0)


BASE = """
total_t = 10
height_m = 2.0
[targets]
fas_base_pct_min = 30
[[ingredient]]
name = "dairy manure"
[[ingredient]]
name = "straw"
"""


def test_air_at_the_base_is_a_target_with_a_height() -> None:
    targets = read_recipe(BASE.encode(), "x.toml", feedstocks()).problem.targets
    assert targets.fas_base_min == 0.30 and targets.height_m == 2.0
    with pytest.raises(Refused) as wrong:
        read_recipe(BASE.replace("height_m = 2.0", "").encode(), "x.toml", feedstocks())
    assert [one.where.rpartition(", ")[2] for one in wrong.value.refusals] == ["height_m"]


def test_a_number_far_from_the_handbooks_range_of_its_name_is_told() -> None:
    """1458 lb/yd3 of dairy manure (NRAES-54 table A.1, MEMORY) written as if it were kg/m3."""
    own = 'name = "dairy manure"\nmoisture_pct = 81\nn_pct_dry = 2.4\ncn = 19\nbulk_density_kg_m3 = '
    slip = BASE.replace('name = "dairy manure"', own + "1458")
    notices = read_recipe(slip.encode(), "x.toml", feedstocks()).notices
    assert any("density" in one and "dairy manure" in one for one in notices)
    right = BASE.replace('name = "dairy manure"', own + "865")
    assert not any("density" in one for one in read_recipe(right.encode(), "x.toml", feedstocks()).notices)


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("total_t = 10", "total_t = 1e308", "total_t"),
        ("total_t = 10", "total_t = 1e-300", "total_t"),
        ("bulk_density_kg_m3 = 860", "bulk_density_kg_m3 = 1e200", "bulk_density_kg_m3"),
        ("bulk_density_kg_m3 = 860", "bulk_density_kg_m3 = 860\nload_m3 = 1e-9", "load_m3"),
        ("bulk_density_kg_m3 = 860", "bulk_density_kg_m3 = 860\ncost_per_t = 1e300", "cost_per_t"),
        (
            "bulk_density_kg_m3 = 860",
            "bulk_density_kg_m3 = 860\nload_m3 = 2\nloads = [0, 99999999999]",
            "loads",
        ),
    ],
)
def test_sizes_no_yard_has_are_refused(old: str, new: str, where: str) -> None:
    found = refusals(changed(old, new))
    assert len(found) == 1 and where in found[0]


def test_targets_that_are_no_table_are_refused_with_the_rest() -> None:
    found = refusals("targets = 3\ningredient = [1]\nconfidence = 7\n")
    assert len(found) >= 3 and any("targets" in one for one in found)
