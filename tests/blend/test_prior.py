"""A yard's samples pull the table's value by their weight; the table never vanishes, nor stands still."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.blend.prior import Belief, belief, belief_from_table, update
from turnrow.blend.sampled import lot_of
from turnrow.blend.table import from_table
from turnrow.handbook.feedstocks import feedstocks

DAIRY = feedstocks()["dairy manure"]


def test_a_prior_has_its_median_at_the_typical_value_and_a_quarter_of_the_range_for_spread() -> None:
    cn = belief("cn", 19, 11, 30)
    assert cn.typical == pytest.approx(19)
    assert cn.deviation == pytest.approx(math.log(30 / 11) / 4)
    moisture = belief("moisture", 0.81, 0.67, 0.87)
    assert moisture.typical == pytest.approx(0.81)
    assert moisture.sd == pytest.approx(0.05, abs=0.005)


@given(
    st.sampled_from(["cn", "density", "moisture"]),
    st.floats(0.05, 0.9),
    st.floats(0.05, 0.9),
    st.integers(1, 30),
)
def test_samples_pull_between_table_and_mean_and_make_it_surer(
    quantity: str, typical: float, sample: float, n: int
) -> None:
    prior = belief(quantity, typical)
    after = update(prior, [sample] * n)
    assert min(typical, sample) * (1 - 1e-9) <= after.typical <= max(typical, sample) * (1 + 1e-9)
    assert after.deviation < prior.deviation
    more = update(prior, [sample] * (n + 1))
    assert abs(more.typical - sample) <= abs(after.typical - sample) + 1e-12


@given(st.lists(st.floats(5, 60), min_size=2, max_size=8))
def test_samples_one_by_one_or_together_come_to_the_same(samples: list[float]) -> None:
    together = update(belief("cn", 19, 11, 30), samples)
    one_by_one = belief("cn", 19, 11, 30)
    for one in samples:
        one_by_one = update(one_by_one, [one])
    assert one_by_one.mean == pytest.approx(together.mean)
    assert one_by_one.deviation == pytest.approx(together.deviation)


def test_no_sample_leaves_the_table_and_a_sure_prior_cannot_be_moved() -> None:
    prior = belief("cn", 19, 11, 30)
    assert update(prior, []) is prior
    sure = Belief("cn", math.log(19), 0.0)
    assert update(sure, [40]) is sure


def test_more_grabs_in_a_composite_weigh_more() -> None:
    prior = belief("n", 0.024, 0.015, 0.042)
    assert update(prior, [0.03], grabs=25).typical > update(prior, [0.03]).typical


def test_a_share_stays_between_nothing_and_all() -> None:
    wet = update(belief("moisture", 0.95), [0.99, 0.98])
    assert 0 < wet.at(-6) < wet.at(6) < 1


def test_a_lot_without_samples_is_the_table(  # and its spread is what the books leave open
) -> None:
    lot = lot_of(DAIRY, {})
    tabled = from_table(DAIRY)
    for name in ("moisture_wet", "n_dry", "c_dry", "om_dry", "density"):
        assert getattr(lot.ingredient, name) == pytest.approx(getattr(tabled, name)), name
    assert 0.15 < lot.spread.n_dry / tabled.n_dry < 0.40
    assert lot.spread.c_dry / tabled.c_dry == pytest.approx(0.06)


def test_a_lab_sheet_shrinks_the_lot_towards_itself() -> None:
    before, after = lot_of(DAIRY, {}), lot_of(DAIRY, {"n": [0.031], "moisture": [0.74, 0.75]})
    assert 0.024 < after.ingredient.n_dry < 0.031
    assert 0.745 < after.ingredient.moisture_wet < 0.81
    assert after.spread.n_dry / after.ingredient.n_dry < before.spread.n_dry / before.ingredient.n_dry
    assert after.spread.moisture_wet < before.spread.moisture_wet


def test_a_sampled_cn_moves_nitrogen_beside_the_carbon() -> None:
    after = lot_of(DAIRY, {"cn": [14.0]})
    assert 14 < after.cn.typical < 19
    assert after.ingredient.c_dry == pytest.approx(from_table(DAIRY).c_dry)
    assert after.ingredient.n_dry > 0.024


def test_wood_keeps_its_carbon_and_nitrogen_follows() -> None:
    lot = lot_of(feedstocks()["sawdust"], {})
    assert lot.ingredient.c_dry == pytest.approx(0.5)
    assert lot.ingredient.n_dry == pytest.approx(0.5 / 442)


def test_an_as_received_row_is_turned_to_dry_mass() -> None:
    tabled = from_table(feedstocks()["dairy deep bedding Canada"])
    assert tabled.n_dry == pytest.approx(0.00715 / (1 - 0.6008))
    assert tabled.c_dry / tabled.n_dry == pytest.approx(17.66, abs=0.01)
    assert lot_of(feedstocks()["dairy deep bedding Canada"], {}).ingredient.om_dry == pytest.approx(
        tabled.om_dry
    )


def test_a_density_is_that_of_the_form_asked_for() -> None:
    straw = feedstocks()["straw"]
    assert (from_table(straw).density, from_table(straw, "loose").density) == (135, 40)
    assert from_table(straw, "pellets").density is None
    assert lot_of(straw, {"density": [55, 60]}, "loose").ingredient.density == pytest.approx(52, abs=6)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: belief("moisture", 81), "moisture 81"),
        (lambda: belief("cn", 0), "cn 0"),
        (lambda: belief("cn", 19, 30, 11), "range 30-11"),
        (lambda: update(belief("cn", 19), [-3]), "cn -3"),
        (lambda: update(belief("cn", 19), [20], within=0), "spread within the lot 0"),
        (lambda: lot_of(DAIRY, {"colour": [1.0]}), "samples of colour"),
        (lambda: lot_of(DAIRY, {"cn": [0.0]}), "C:N 0"),
        (lambda: from_table(feedstocks()["coffee grounds"]), "coffee grounds: the handbook has no moisture"),
    ],
)
def test_what_cannot_be_is_named(call: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()  # type: ignore[operator]


def test_every_row_of_the_table_makes_a_prior() -> None:
    for key, one in feedstocks().items():
        for figure in one.figures:
            if figure.use in ("default", "rival") and figure.value > 0:
                assert belief_from_table(figure).deviation > 0, (key, figure)
