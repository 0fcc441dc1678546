"""A limit set held against figures: each limit for itself, the missing named, nothing undone by a repeat."""

from datetime import date
from fractions import Fraction

import pytest

from turnrow.handbook.quality import limit_sets
from turnrow.quality.found import Figure
from turnrow.quality.limits import Judged, Stream, judge

from .conftest import DAY, Make

SETS = limit_sets()


def of(analyte: str, found: tuple[Judged, ...]) -> Judged:
    return next(one for one in found if one.analyte == analyte)


def test_what_is_not_tested_is_named_and_is_no_pass(figure: Make) -> None:
    found = judge(SETS["us-503-table1"], [figure("Cu", "300 mg/kg dry")], DAY)
    assert found.verdict == "NOT_TESTED"
    assert set(found.missing) == {"As", "Cd", "Pb", "Hg", "Mo", "Ni", "Se", "Zn"}
    assert of("Cu", found.each).verdict == "PASS"


def test_margins_and_lines(figure: Make) -> None:
    found = of("Cu", judge(SETS["us-503-table1"], [figure("Cu", "1075 mg/kg dry", line=41)], DAY).each)
    assert found.margin == Fraction(3, 4) and found.lines == (41,)
    over = of("Cu", judge(SETS["us-503-table1"], [figure("Cu", "8600 mg/kg dry", line=41)], DAY).each)
    assert over.verdict == "FAIL" and over.margin == -1


def test_a_second_sample_does_not_undo_the_first(figure: Make) -> None:
    twice = [figure("Pb", "841 mg/kg dry", line=5), figure("Pb", "20 mg/kg dry", line=9)]
    found = of("Pb", judge(SETS["us-503-table1"], twice, DAY).each)
    assert found.verdict == "FAIL" and found.lines == (5, 9)
    assert "line 5" in found.sentence and "does not undo" in found.sentence


def test_below_detection_above_the_limit_is_for_a_person(figure: Make) -> None:
    found = of("Hg", judge(SETS["ca-ccme-a"], [figure("Hg", "<1 mg/kg dry")], DAY).each)
    assert found.verdict == "REVIEW" and "finer method" in found.sentence
    assert of("Hg", judge(SETS["ca-ccme-a"], [figure("Hg", "<0.8 mg/kg dry")], DAY).each).verdict == "PASS"


def test_wet_and_dry_without_moisture_is_for_a_person(figure: Make) -> None:
    found = of("Cu", judge(SETS["ca-ccme-a"], [figure("Cu", "10 mg/kg as received")], DAY).each)
    assert found.verdict == "REVIEW" and "moisture" in found.sentence


def test_either_germ_is_enough_where_the_text_says_or(figure: Make) -> None:
    one = judge(SETS["us-503-class-a"], [figure("fecal coliform", "<20 MPN/g dry")], DAY)
    assert one.verdict == "PASS" and of("Salmonella", one.each).other
    both = judge(SETS["ca-germs"], [figure("fecal coliform", "<20 MPN/g dry")], DAY)
    assert both.verdict == "NOT_TESTED" and both.missing == ("Salmonella",)


def test_when_both_of_either_fail_it_fails(figure: Make) -> None:
    sheet = [figure("fecal coliform", "2000 MPN/g dry"), figure("Salmonella", "4 MPN/4 g dry")]
    assert judge(SETS["us-503-class-a"], sheet, DAY).verdict == "FAIL"


def test_five_samples_are_five_samples(figure: Make) -> None:
    four = [figure("E. coli", "900 CFU/g as received", line=n) for n in range(1, 5)]
    assert of("E. coli", judge(SETS["eu-pfc3a"], four, DAY).each).verdict == "NOT_TESTED"
    five = [*four, figure("E. coli", "1000 CFU/g as received", line=5)]
    assert of("E. coli", judge(SETS["eu-pfc3a"], five, DAY).each).verdict == "PASS"
    six = [*five, figure("E. coli", "1001 CFU/g as received", line=6)]
    assert of("E. coli", judge(SETS["eu-pfc3a"], six, DAY).each).verdict == "FAIL"


@pytest.mark.parametrize(("on", "verdict"), [(date(2026, 7, 15), "PASS"), (date(2026, 7, 16), "FAIL")])
def test_a_limit_that_changes_on_a_day(figure: Make, on: date, verdict: str) -> None:
    found = judge(SETS["eu-pfc3a"], [figure("plastic", "2.8 g/kg dry")], on)
    plastic = [one for one in found.each if one.analyte == "plastic over 2 mm"]
    assert [one.verdict for one in plastic] == [verdict]


def month_of(figure: Make, *values: str) -> list[Figure]:
    days = (date(2026, 8, 31), date(2026, 9, 1), date(2026, 9, 30))
    return [figure("Cu", f"{v} mg/kg dry", line=n, day=days[n]) for n, v in enumerate(values)]


def test_a_month_is_a_month_of_the_calendar(figure: Make) -> None:
    """August's 9000 does not count to September's mean of 1500."""
    stream = month_of(figure, "9000", "1400", "1600")
    found = of("Cu", judge(SETS["us-503-table3"], stream[1:2], DAY, Stream.made(stream)).each)
    assert found.verdict == "PASS" and found.margin == 0
    august = of("Cu", judge(SETS["us-503-table3"], stream[:2], DAY, Stream.made(stream)).each)
    assert august.verdict == "FAIL" and "2026-08" in august.sentence


def test_a_mean_with_figures_below_detection_is_a_span(figure: Make) -> None:
    stream = [figure("Hg", "<20 mg/kg dry", line=1), figure("Hg", "16 mg/kg dry", line=2)]
    found = of("Hg", judge(SETS["us-503-table3"], stream, DAY).each)
    assert found.verdict == "REVIEW" and "between 8 and 18" in found.sentence


def test_any_order_of_the_same_figures_says_the_same(figure: Make) -> None:
    sheet = [figure("Zn", f"{v} mg/kg dry", line=n) for n, v in enumerate((390, 420, 380, 400), start=1)]
    there = judge(SETS["de-bioabfv-1"], sheet, DAY)
    back = judge(SETS["de-bioabfv-1"], sheet[::-1], DAY)
    assert [one.verdict for one in there.each] == [one.verdict for one in back.each]
