"""Limits, units and bases worked by pencil before they were run; limits as in `test_quality_limits.py`.

1 lb in a short ton is 1/2000 = 500 mg/kg; 12 g of carbon in 44 g of CO2; 32 g in a mole of O2 (MEMORY).
"""

from datetime import date
from fractions import Fraction

import pytest

from turnrow.handbook.quality import limit_sets, sampling_plans
from turnrow.quality.limits import Judged, Stream, judge
from turnrow.quality.maturity import rise_step
from turnrow.quality.sampling import Made, plan

from .conftest import DAY, Make

SETS = limit_sets()
ON_SHEET = {
    # 0.75 % = 7500 mg/kg, the ceiling itself
    ("us-503-table1", "Zn", "0.75 % dry"): "PASS",
    ("us-503-table1", "Zn", "0.750001 % dry"): "FAIL",
    # 8.6 lb/ton = 4300 mg/kg
    ("us-503-table1", "Cu", "8.6 lb/ton dry"): "PASS",
    ("us-503-table1", "Cu", "8.6001 lb/ton dry"): "FAIL",
    ("us-503-table1", "Pb", "840000 ug/kg dry"): "PASS",
    ("us-503-table1", "Pb", "0.840001 g/kg dry"): "FAIL",
    # at 60 % moisture a kilogram holds 0.4 of dry matter: 160 / 0.4 = 400
    ("ca-ccme-a", "Cu", "160 mg/kg as received"): "PASS",
    ("ca-ccme-a", "Cu", "160.001 mg/kg as received"): "FAIL",
    # <0.32 / 0.4 = <0.8; <0.4 / 0.4 = <1.0 may be either
    ("ca-ccme-a", "Hg", "<0.32 mg/kg as received"): "PASS",
    ("ca-ccme-a", "Hg", "<0.4 mg/kg as received"): "REVIEW",
    ("ca-ccme-a", "Hg", ">0.8 mg/kg dry"): "FAIL",
    ("ca-ccme-a", "Hg", ">0.7 mg/kg dry"): "REVIEW",
    # under 1000 and not more than 1000
    ("ca-germs", "fecal coliform", "999.999999 MPN/g dry"): "PASS",
    ("ca-germs", "fecal coliform", "1000 MPN/g dry"): "FAIL",
    ("omri-compost", "fecal coliform", "1000 MPN/g dry"): "PASS",
    ("omri-compost", "fecal coliform", "1000.000001 MPN/g dry"): "FAIL",
    ("ca-germs", "fecal coliform", "<1000 MPN/g dry"): "PASS",
    ("ca-germs", "fecal coliform", "399.9 MPN/g as received"): "PASS",  # 999.75
    ("ca-germs", "fecal coliform", "400 MPN/g as received"): "FAIL",  # 1000
    ("ca-germs", "fecal coliform", "20 CFU/g dry"): "REVIEW",  # another way to count
    ("ca-germs", "Salmonella", "0.75 MPN/g dry"): "FAIL",  # 3 in 4 g
    ("ca-germs", "Salmonella", "<0.75 MPN/g dry"): "PASS",
    # 16 mg of CO2 hold 16 x 12/44 = 4.3636... of carbon
    ("uk-pas100", "CO2 evolution", "4.363636 mg CO2-C/g OM/d organic matter"): "PASS",
    ("uk-pas100", "CO2 evolution", "4.363637 mg CO2-C/g OM/d organic matter"): "FAIL",
    ("uk-pas100", "CO2 evolution", "16 mg CO2/g OM/d organic matter"): "PASS",
    # 25 mmol x 32 = 800 mg/kg
    ("eu-pfc3a", "O2 uptake", "800 mg O2/kg OM/h organic matter"): "PASS",
    ("eu-pfc3a", "O2 uptake", "0.800001 mg O2/g OM/h organic matter"): "FAIL",
}


def of(analyte: str, found: tuple[Judged, ...]) -> Judged:
    return next(one for one in found if one.analyte == analyte)


@pytest.mark.parametrize(("name", "analyte", "text"), ON_SHEET)
def test_one_figure_of_a_sheet_at_60_percent_moisture(
    figure: Make, name: str, analyte: str, text: str
) -> None:
    sheet = [figure("moisture", "60 % as received"), figure(analyte, text)]
    assert of(analyte, judge(SETS[name], sheet, DAY).each).verdict == ON_SHEET[name, analyte, text]


def test_dry_matter_told_instead_of_moisture_says_the_same(figure: Make) -> None:
    sheet = [figure("dry matter", "40 % as received"), figure("Cu", "160.001 mg/kg as received")]
    assert of("Cu", judge(SETS["ca-ccme-a"], sheet, DAY).each).verdict == "FAIL"


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        (("110", "95", "98"), "FAIL"),  # three: the mean of four is not known, and 110 is over 100
        (("100", "95", "98"), "PASS"),
        (("110", "95", "98", "97"), "PASS"),  # (110 + 95 + 98 + 97) / 4 = 100
        (("110", "95", "98", "97.000004"), "FAIL"),  # 100.000001
        (("125", "110", "95", "98", "97"), "PASS"),  # the first no longer counts
        (("80", "110", "95", "98", "97.000004"), "FAIL"),
    ],
)
def test_the_running_mean_of_copper_with_three_four_and_five(
    figure: Make, values: tuple[str, ...], verdict: str
) -> None:
    """Class 1: at most 100 as the mean of the last four; the lot's own is the last one."""
    every = [
        figure("Cu", f"{text} mg/kg dry", line=n, day=date(2026, 1, n), sample=f"S{n}")
        for n, text in enumerate(values, 1)
    ]
    found = judge(SETS["de-bioabfv-1"], every[-1:], DAY, Stream.made(every))
    mean = next(one for one in found.each if one.analyte == "Cu" and one.limit.how.startswith("last"))
    assert mean.verdict == verdict


@pytest.mark.parametrize(
    ("first", "second", "day", "verdict"),
    [
        ("1700", "1300", date(2026, 1, 30), "PASS"),  # one month: 1500
        ("1700", "1300.000002", date(2026, 1, 30), "FAIL"),
        ("1700", "1300", date(2026, 2, 1), "FAIL"),  # January alone has 1700
        ("<1000", "2000", date(2026, 1, 30), "PASS"),  # 1000 to under 1500
        ("<1000.1", "2000", date(2026, 1, 30), "REVIEW"),
        ("<1000", "3001", date(2026, 1, 30), "FAIL"),  # 1500.5 at the least
    ],
)
def test_the_mean_of_a_month_over_its_end(
    figure: Make, first: str, second: str, day: date, verdict: str
) -> None:
    both = [
        figure("Cu", f"{first} mg/kg dry", day=date(2026, 1, 31), sample="S1"),
        figure("Cu", f"{second} mg/kg dry", line=2, day=day, sample="S2"),
    ]
    assert of("Cu", judge(SETS["us-503-table3"], both, DAY).each).verdict == verdict


@pytest.mark.parametrize(
    ("name", "year", "since", "due"),
    [
        # 1 February plus: a year, a quarter, 60 days, a month
        ("us-503-16", "289.999", "1", date(2027, 2, 1)),
        ("us-503-16", "290", "1", date(2026, 5, 1)),
        ("us-503-16", "1500", "1", date(2026, 4, 2)),
        ("us-503-16", "15000", "1", date(2026, 3, 1)),
        # at the pace of a year 1 yd3 takes 365/5000 of a day, the next day begun; 5000 are today
        ("ca-17868-1", "5000", "4999", date(2026, 2, 11)),
        ("ca-17868-1", "5000", "5000", date(2026, 2, 10)),
        ("de-bioabfv", "2000", "2000", date(2026, 2, 10)),
        ("de-bioabfv", "100", "1", date(2026, 5, 1)),  # little came in: three months
    ],
)
def test_the_next_sample(name: str, year: str, since: str, due: date) -> None:
    plans = sampling_plans()
    made = Made(Fraction(year), Fraction(since))
    found = plan(plans[name], plans["any"], made, date(2026, 2, 1), date(2026, 1, 1), date(2026, 2, 10))
    assert found.due == due


@pytest.mark.parametrize("edge", [10, 20, 30, 40])
def test_self_heating_just_over_an_edge_is_the_worse_class_by_either_table(edge: int) -> None:
    scheme = "Self-heating, rise over ambient"
    over, at = Fraction(edge) + Fraction(1, 1_000_000), Fraction(edge)
    assert rise_step(scheme, over, "better") == rise_step(scheme, over, "worse")
    assert rise_step(scheme, over, "better").rank == rise_step(scheme, at, "better").rank + 1
