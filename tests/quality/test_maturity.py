"""Each scheme's class in its own words, never merged; growth tests, self-heating records, herbicides."""

from fractions import Fraction

import numpy as np
import pytest

from turnrow.handbook.quality import herbicide_inputs, quality_figures, schemes
from turnrow.quality import bioassay, herbicide
from turnrow.quality.maturity import SchemeClass, classes, scheme_class
from turnrow.quality.self_heating import rise
from turnrow.yard.readings import NO_DEPTH, Readings

from .conftest import Make

FIGURES = quality_figures()


def named(found: tuple[SchemeClass, ...], name: str) -> SchemeClass:
    return next(one for one in found if one.scheme == name)


def test_one_figure_has_a_class_under_each_scheme_that_knows_it_and_none_under_the_others(
    figure: Make,
) -> None:
    found = classes([figure("CO2 evolution", "5 mg CO2-C/g OM/d", line=7)])
    told = {one.scheme: one.word for one in found if one.state == "told"}
    assert told == {
        "CO2 classes": "stable",
        "Minnesota product line": "met",
        "PAS 100 stability": "not met",
    }
    assert named(found, "O2 classes").state == "not tested"
    assert named(found, "CO2 classes").lines == (7,)


def test_the_newest_figure_speaks_for_what_ripens(figure: Make) -> None:
    two = [figure("O2 uptake", "1.6 mg O2/g OM/h", line=1), figure("O2 uptake", "0.4 mg O2/g OM/h", line=2)]
    assert scheme_class(schemes()["O2 classes"], two).word == "very stable"


def test_a_scheme_of_several_parts_wants_each_of_them(figure: Make) -> None:
    ccme = schemes()["CCME maturity"]
    cured, co2 = figure("curing days", "21 d"), figure("CO2", "4 mg CO2-C/g OM/d")
    assert scheme_class(ccme, [co2]).state == "not tested"
    assert scheme_class(ccme, [cured, co2]).word == "mature"
    assert scheme_class(ccme, [figure("curing days", "20 d"), co2]).word == "not shown"


def test_one_of_several_tests_is_enough(figure: Make) -> None:
    eu = schemes()["EU CMC 3 stability"]
    bad, good = figure("O2 uptake", "26 mmol O2/kg OM/h"), figure("self-heating rise", "30 C")
    alone = scheme_class(eu, [bad])
    assert alone.word == "not met" and "self-heating rise is not tested" in alone.sentence
    assert scheme_class(eu, [bad, good]).word == "met"


def test_the_index_is_not_told_where_its_parts_do_not_agree(figure: Make) -> None:
    index = schemes()["CCQC maturity index"]
    gate, a = figure("C:N", "18 ratio"), figure("CO2", "1.9 mg CO2-C/g OM/d")
    agree = scheme_class(index, [gate, a, figure("NH4-N", "74 mg/kg dry")])
    assert agree.word == "very mature" and agree.known == "MEMORY"
    assert scheme_class(index, [gate, a, figure("NH4-N", "75 mg/kg dry")]).state == "review"
    assert scheme_class(index, [gate, a]).state == "not tested"
    assert scheme_class(index, [figure("C:N", "26 ratio"), a]).word == "immature"


def test_a_figure_that_may_be_of_two_classes_is_of_none(figure: Make) -> None:
    found = scheme_class(schemes()["CO2 classes"], [figure("CO2", "<5 mg CO2-C/g OM/d")])
    assert found.state == "review" and "finer method" in found.sentence


def vessel(heat_c: list[float], hours: float = 6.0, start: int = 0) -> Readings:
    n = len(heat_c)
    at = start + (np.arange(n) * hours * 3600).astype(np.int64)
    return Readings(
        at=at,
        day=np.zeros(n, dtype=np.int32),
        station=np.zeros(n, dtype=np.int32),
        depth=np.full(n, NO_DEPTH, dtype=np.int32),
        value=np.rint(np.array(heat_c) * 1e6).astype(np.int64),
        unit=np.zeros(n, dtype=np.int8),
        timed=np.ones(n, dtype=np.bool_),
        line=np.zeros(n, dtype=np.int32),
        item=np.arange(1, n + 1, dtype=np.int32),
        stations=("vessel",),
    )


def test_the_rise_is_the_hottest_reading_over_the_air_of_that_time() -> None:
    record = vessel([20.0, 26.5, 31.0, 38.2, 36.0, 33.0, 30.0, 28.0, *[25.0] * 16])
    found = rise(record, Fraction(20), FIGURES)
    assert found.rise == Fraction("18.2") and found.at == 18 * 3600 and not found.doubts
    drifting = vessel([19.0, 19.5, 20.0, 21.5, *[21.0] * 20])
    assert rise(record, drifting, FIGURES).rise == Fraction("16.7")


def test_what_heats_after_the_ten_days_is_not_the_tests() -> None:
    record = vessel([20.0] * 41 + [60.0] * 4)  # 41 readings at 6 h are ten days
    assert rise(record, Fraction(20), FIGURES).rise == 0


@pytest.mark.parametrize(
    ("record", "air", "says"),
    [
        (vessel([20.0, 30.0]), Fraction(20), "may still warm"),
        (vessel([20.0 + n for n in range(30)]), Fraction(20), "gone on rising"),
        (vessel([20.0, 40.0, 30.0] + [25.0] * 10, hours=13.0), Fraction(20), "Nothing was read for 13 h"),
        (vessel([20.0, 40.0, 30.0] + [25.0] * 20), Fraction(12), "asks for about 20 °C"),
    ],
)
def test_a_doubtful_record_says_why(record: Readings, air: Fraction, says: str) -> None:
    assert any(says in doubt for doubt in rise(record, air, FIGURES).doubts)


def test_air_read_at_another_time_is_refused() -> None:
    with pytest.raises(ValueError, match="from the hottest moment"):
        rise(vessel([20.0, 30.0, 25.0]), vessel([20.0], start=900_000), FIGURES)


def test_a_growth_test_is_a_share_of_its_control() -> None:
    found = bioassay.emergence([9, 8, 10], [10, 10, 10], 10, FIGURES)
    assert found.percent == 90 and not found.doubts
    poor = bioassay.emergence([7, 7, 7], [7, 8, 8], 10, FIGURES)
    assert any("sow the test again" in doubt for doubt in poor.doubts)
    grown = bioassay.of_control([Fraction(3), Fraction(5)], [Fraction(5), Fraction(5)], "vigour")
    assert grown.percent == 80


@pytest.mark.parametrize(("up", "control"), [([11], [10]), ([5], [0]), ([], [10]), ([-1], [10])])
def test_counts_that_cannot_be(up: list[int], control: list[int]) -> None:
    with pytest.raises(ValueError, match="want"):
        bioassay.emergence(up, control, 10, FIGURES)


def test_hay_straw_and_manure_ask_for_a_growth_test_for_herbicides() -> None:
    found = herbicide.check([("horse manure", 3), ("Barley straw", 4), ("wood chips", 5)], herbicide_inputs())
    assert found.advised and len(found.inputs) == 2 and "line 3" in found.inputs[0]
    assert any("label" in one for one in found.sentences) and any("adviser" in one for one in found.sentences)
    assert not herbicide.check([("wood chips", 5), ("shayne's leaves", 6)], herbicide_inputs()).advised
