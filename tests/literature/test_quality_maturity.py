"""Stability and maturity classes at their printed edges, and the two unit traps.

Source: TMECC 05.08, the Dewar table, CCQC June 2001, CCME 2005, PAS 100, EU 2019/1009 CMC 3: all recalled
Source: Minnesota stormwater manual, compost specification (CO2 under 8), READ
Known: MEMORY
"""

from datetime import date
from fractions import Fraction

import pytest

from turnrow.handbook.analytes import analytes
from turnrow.handbook.quality import schemes
from turnrow.quality.convert import in_unit
from turnrow.quality.found import Figure, Span
from turnrow.quality.maturity import Edge, SchemeClass, rise_step, scheme_class
from turnrow.yard.goods import Result
from turnrow.yard.kind import Amount
from turnrow.yard.numbers import parse_micro


def figure(analyte: str, number: str, unit: str = "", basis: str = "") -> Figure:
    amount = Amount(parse_micro(number), unit or analytes()[analyte].unit)
    return Figure(Result(analyte=analyte, amount=amount, basis=basis), date(2026, 9, 1), 1)


def word(scheme: str, *found: Figure, edge: Edge = "worse") -> SchemeClass:
    return scheme_class(schemes()[scheme], found, edge)


def test_pas_100_limit_as_carbon() -> None:
    """16 mg CO2/g OM/d is 4.36 mg CO2-C/g OM/d: times 12/44.

    Known: CALC
    Tolerance: 0.005
    """
    found = in_unit(figure("CO2 evolution", "16", "mg CO2/g OM/d"), "mg CO2-C/g OM/d", "organic matter")
    assert isinstance(found, Span)
    assert found.low == Fraction(16 * 12, 44)
    assert float(found.low) == pytest.approx(4.36, abs=0.005)


def test_the_same_number_as_co2_and_as_its_carbon_is_3_67_times_apart() -> None:
    """10 mg: kept as CO2 (2.7 mg of carbon), and not as CO2-C (36.7 mg of CO2)."""
    assert word("PAS 100 stability", figure("CO2 evolution", "10", "mg CO2/g OM/d")).word == "met"
    assert word("PAS 100 stability", figure("CO2 evolution", "10", "mg CO2-C/g OM/d")).word == "not met"


def test_eu_oxygen_limit_in_milligrams() -> None:
    """25 mmol O2/kg OM/h is 0.80 mg O2/g OM/h, at 32 g a mole; both are at the limit and within.

    Known: CALC
    """
    found = in_unit(figure("O2 uptake", "25", "mmol O2/kg OM/h"), "mg O2/g OM/h", "organic matter")
    assert isinstance(found, Span) and found.low == Fraction("0.8")
    assert word("EU CMC 3 stability", figure("O2 uptake", "0.8", "mg O2/g OM/h")).word == "met"
    assert word("EU CMC 3 stability", figure("O2 uptake", "0.801", "mg O2/g OM/h")).word == "not met"


@pytest.mark.parametrize(
    ("rise", "better", "worse"),
    [
        ("0", "V", "V"), ("9.9", "V", "V"), ("10", "V", "IV"), ("10.1", "IV", "IV"), ("20", "IV", "III"),
        ("20.1", "III", "III"), ("30", "III", "II"), ("30.1", "II", "II"), ("40", "II", "I"),
        ("40.1", "I", "I"), ("52", "I", "I"),
    ],
)  # fmt: skip
def test_self_heating_edges_by_both_tables(rise: str, better: str, worse: str) -> None:
    """Published tables overlap at 10, 20, 30 and 40 °C; the German absolute form (30, 40, 50, 60 °C at
    20 °C) puts the edge in the better class, whatever is chosen for the others."""
    over, absolute = "Self-heating, rise over ambient", "Self-heating, German absolute form"
    assert rise_step(over, Fraction(rise), "better").word.split(",")[0] == better
    assert rise_step(over, Fraction(rise), "worse").word.split(",")[0] == worse
    for edge in ("better", "worse"):
        assert rise_step(absolute, Fraction(rise), edge).word.split(",")[0] == better


def test_an_edge_says_what_the_other_table_would() -> None:
    """A rise of 20 °C is class III here and IV by the other table; both are said."""
    found = word("Self-heating, rise over ambient", figure("self-heating rise", "20", "C"))
    assert found.word.startswith("III") and found.tests[0].otherwise.startswith("IV")
    assert "IV" in found.sentence


@pytest.mark.parametrize(
    ("number", "wanted"),
    [
        ("1.99", "very stable"), ("2", "stable"), ("7.99", "stable"), ("8.01", "moderately unstable"),
        ("14.99", "moderately unstable"), ("15.01", "unstable"), ("40", "unstable"),
        ("40.01", "very unstable"),
    ],
)  # fmt: skip
def test_carbon_dioxide_classes(number: str, wanted: str) -> None:
    """mg CO2-C/g OM/d: under 2, 2-8, 8-15, 15-40, over 40."""
    assert word("CO2 classes", figure("CO2 evolution", number)).word == wanted


@pytest.mark.parametrize(
    ("number", "wanted"),
    [
        ("0.49", "very stable"), ("0.5", "stable"), ("1.01", "moderately unstable"), ("1.51", "unstable"),
        ("2", "unstable"), ("2.01", "raw"),
    ],
)  # fmt: skip
def test_oxygen_uptake_classes(number: str, wanted: str) -> None:
    """mg O2/g OM/h: under 0.5, 0.5-1.0, 1.0-1.5, 1.5-2.0, over 2.0."""
    assert word("O2 classes", figure("O2 uptake", number)).word == wanted


@pytest.mark.parametrize(("number", "wanted"), [("7.99", "met"), ("8", "not met")])
def test_minnesota_is_strictly_under_8(number: str, wanted: str) -> None:
    """CO2 under 8 mg CO2-C/g OM/d.

    Known: READ
    """
    found = word("Minnesota product line", figure("CO2 evolution", number))
    assert found.word == wanted and found.known == "READ"


def test_canadian_maturity_is_curing_and_one_test() -> None:
    """Cured 21 days AND one of O2 400 mg/kg OM/h, CO2 4 mg C/g OM/d, rise 8 °C: each edge is within."""
    cured = figure("curing days", "21")
    for one in (
        figure("O2 uptake", "400", "mg O2/kg OM/h"),
        figure("CO2 evolution", "4"),
        figure("self-heating rise", "8", "C"),
    ):
        assert word("CCME maturity", cured, one).word == "mature"
        assert word("CCME maturity", figure("curing days", "20"), one).word == "not shown"
    assert word("CCME maturity", cured, figure("self-heating rise", "8.1", "C")).word == "not shown"


@pytest.mark.parametrize(
    ("analyte", "number", "rank"),
    [
        ("CO2 evolution", "1.9", 1), ("CO2 evolution", "2", 2), ("CO2 evolution", "4", 2),
        ("CO2 evolution", "4.1", 3), ("O2 uptake", "0.39", 1), ("O2 uptake", "1.3", 2),
        ("self-heating rise", "10", 2), ("self-heating rise", "20.1", 3), ("NH4-N:NO3-N", "0.49", 1),
        ("NH4-N:NO3-N", "3", 2), ("NH4-N", "500", 2), ("NH4-N", "501", 3), ("organic acids", "199", 1),
        ("organic acids", "1001", 3), ("emergence", "90", 2), ("emergence", "90.1", 1),
        ("emergence", "79", 3), ("vigour", "85", 2),
    ],
)  # fmt: skip
def test_tests_of_the_maturity_index(analyte: str, number: str, rank: int) -> None:
    """Each test of groups A and B of the index at its recalled thresholds: very mature, mature, immature."""
    dry = "dry" if analytes()[analyte].basis == "dry" else ""
    found = word("CCQC maturity index", figure(analyte, number, basis=dry))
    assert [test.rank for test in found.tests] == [rank]


@pytest.mark.parametrize(("ratio", "wanted"), [("25", "very mature"), ("25.1", "immature")])
def test_the_gate_of_the_index(ratio: str, wanted: str) -> None:
    """C:N 25 or less; above it the index is not given."""
    a, b = figure("O2 uptake", "0.3"), figure("emergence", "95")
    assert word("CCQC maturity index", figure("C:N", ratio), a, b).word == wanted


@pytest.mark.parametrize(
    ("emergence", "vigour", "odd", "wanted"),
    [("80", "80", "0", "met"), ("79.9", "95", "0", "not met"), ("95", "95", "1", "not met")],
)
def test_growth_as_pas_100_has_it(emergence: str, vigour: str, odd: str, wanted: str) -> None:
    """Germination and top growth 80 % of the control or more, no abnormal plant."""
    sheet = (figure("emergence", emergence), figure("vigour", vigour), figure("abnormal plants", odd))
    assert word("PAS 100 growth", *sheet).word == wanted
