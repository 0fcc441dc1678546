"""Rates of compost for fields, beds and potting mixes, against published figures.

Source: CalRecycle, mean of more than 1,600 compost analyses, calrecycle.ca.gov/organics/Farming/Analyses.htm
Source: Alberta Nutrient Management Planning Guide, p. 168: availability of compost nutrients
Source: Cornell CSS412 module 2: decay series of manure nitrogen
Source: compost.css.cornell.edu/market-label/guidelines/formula.htm: volume for a field 2 in deep
Source: champlainvalleycompost.com: 324 square feet to the cubic yard at one inch
Known: READ

The analysis and the factors are published; the rates that follow from them were worked by hand.
"""

import math

import pytest

from turnrow.handbook.figures import use_figures
from turnrow.sales.analysis import Analysis
from turnrow.sales.field import Before, available_n, credits, field_rate
from turnrow.sales.garden import bed, salt_share

BOOK = use_figures()
FOOT, YARD3 = 0.3048, 0.764554857984  # m, m3: exact by definition (NIST SP 811, MEMORY)
MEAN = Analysis(  # kg per t of dry matter
    moisture=0.45, n_total=15.3, nh4_n=0.7419, no3_n=0.291, p2o5=13.4, k2o=13.6, carbon=221.9
)


def yards_of(area_ft2: float, depth_in: float) -> float:
    """Cubic yards for a bed that is nothing but compost, so deep."""
    found = bed(MEAN, area_ft2 * FOOT**2, depth_in * FOOT / 12 * 100, BOOK, share=1.0)
    assert found.depth_mm == pytest.approx(depth_in * 25.4)
    return found.compost_m3 / YARD3


def test_available_nitrogen_of_the_mean_compost__calrecycle_alberta_p168() -> None:
    """0.12 of 14.267 kg organic N, and 0.742 + 0.291 kg mineral N: 2.745 kg.

    Tolerance: half of the last printed digit
    """
    assert MEAN.organic_n == pytest.approx(14.267, abs=5e-4)
    assert available_n(MEAN, BOOK) == pytest.approx(2.745, abs=5e-4)


def test_a_hundred_kilograms_of_nitrogen_is_66_t_and_too_much_phosphorus__calrecycle_alberta_p168() -> None:
    """36.43 t dry, 66.2 t wet at 45 %, carrying 488 kg P2O5 (342 available) and 495 kg K2O.

    Tolerance: half of the last printed digit
    """
    rate = field_rate(MEAN, {"n": 100.0}, {}, BOOK)
    assert rate.limited_by == "nitrogen"
    assert rate.dry_t_ha == pytest.approx(36.43, abs=5e-3)
    assert rate.wet_t_ha == pytest.approx(66.2, abs=5e-2)
    assert rate.gives["p2o5_total"] == pytest.approx(488, abs=0.5)
    assert rate.gives["p2o5_first"] == pytest.approx(342, abs=0.5)
    assert rate.gives["k2o_total"] == pytest.approx(495, abs=0.5)


def test_sixty_kilograms_of_phosphate_is_eleven_and_a_half_tonnes__calrecycle_alberta_p168() -> None:
    """6.40 t dry, 11.6 t wet, giving 17.6 kg of nitrogen.

    Tolerance: half of the last printed digit
    """
    rate = field_rate(MEAN, {"n": 100.0, "p2o5": 60.0}, {}, BOOK)
    assert rate.limited_by == "phosphorus"
    assert rate.dry_t_ha == pytest.approx(6.40, abs=5e-3)
    assert rate.wet_t_ha == pytest.approx(11.6, abs=5e-2)
    assert rate.gives["n_first"] == pytest.approx(17.6, abs=5e-2)


def test_the_carbon_to_nitrogen_of_one_analysis_is_not_the_mean_of_many__calrecycle() -> None:
    """The page prints 16.8, the mean of ratios; the ratio of its means is 14.5.

    Tolerance: half of the last printed digit
    """
    assert MEAN.cn == pytest.approx(14.5, abs=0.05)


def test_yearly_spreading_comes_to_23_percent_of_a_years_organic_nitrogen__alberta_p168() -> None:
    """12 + 7 + 4 %.

    Tolerance: rounding
    """
    dry, organic = 10.0, 14.0
    before = [Before(1, dry, organic), Before(2, dry, organic), Before(3, dry, organic)]
    this = BOOK["n_organic_year1"].value / 100 * dry * organic
    assert (this + credits(before, BOOK)) / (dry * organic) == pytest.approx(0.23)


def test_the_decay_series_of_raw_manure_in_its_second_and_third_year__alberta_p168() -> None:
    """13 and 6 % of the organic nitrogen of fresh manure.

    Tolerance: rounding
    """
    assert credits([Before(1, 10.0, 5.0), Before(2, 10.0, 5.0)], BOOK, raw=True) == pytest.approx(9.5)


@pytest.mark.parametrize(
    ("oxide", "element", "share", "printed", "within"),
    [("p2o5_of_p", "P", 0.59, 1.34, 0.015), ("k2o_of_k", "K", 1.13, 1.36, 0.005)],
)
def test_elements_and_their_oxides__calrecycle(oxide, element, share, printed, within) -> None:
    """P 0.59 % beside P2O5 1.34 % (1.352 by the factor), K 1.13 % beside K2O 1.36 %.

    Tolerance: 0.015 % P2O5, 0.005 % K2O: what the page rounds
    """
    assert share * BOOK[oxide].value == pytest.approx(printed, abs=within)


def test_two_inches_on_a_field_of_350_by_200_feet__cornell_formula() -> None:
    """The page multiplies by 0.0031 and prints 434 yd3; 1/324 gives 432.1.

    Tolerance: half of the last digit; 0.5 % against the page's own factor
    """
    found = yards_of(350 * 200, 2.0)
    assert found == pytest.approx(432.1, abs=0.05)
    assert found == pytest.approx(434, rel=0.005)


def test_a_yard_on_a_thousand_square_feet__champlain() -> None:
    """1 yd3 on 324 ft2 is an inch; on 1000 ft2 0.324 in.

    Tolerance: rounding
    """
    assert yards_of(324.0, 1.0) == pytest.approx(1.0)
    assert yards_of(1000.0, 0.324) == pytest.approx(1.0)


def test_salt_share_is_where_the_mixed_line_meets_the_limit() -> None:
    """Worked by hand: compost 7, peat 0.5 and limit 3.5 dS/m meet at 3.0 / 6.5: just the limit.

    Tolerance: rounding
    """
    salty = Analysis(moisture=0.4, ec=7.0, extract="saturated extract")
    share = salt_share(salty, 0.5, 3.5)
    assert share == pytest.approx(3.0 / 6.5)
    assert math.isclose(share * 7.0 + (1 - share) * 0.5, 3.5)
