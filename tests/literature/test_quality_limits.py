"""Lots held against published limits, at their edges and with their own operators.

Source: 40 CFR 503.13 Tables 1 and 3, READ at law.cornell.edu, Cd and Pb in 27 Pa.B. 521
Source: 40 CFR 503.32(a), READ in 15A NCAC 02T .1106; OMRI generic entries, READ; 21 CFR 112.55, READ
Source: BioAbfV section 4(3), READ in a public Git copy; CCME Category A, READ second-hand
Known: READ
"""

from datetime import date

import pytest

from turnrow.handbook.quality import limit_sets, sets_known_for, yearly_metals
from turnrow.quality.found import Figure
from turnrow.quality.limits import Judged, judge
from turnrow.quality.part503 import yearly_rate
from turnrow.yard.goods import Result
from turnrow.yard.kind import Amount
from turnrow.yard.numbers import parse_micro

DAY = date(2026, 9, 1)


def figures(analyte: str, unit: str, basis: str, *values: str) -> list[Figure]:
    """One figure a month, oldest first; "<3" below detection."""
    found = []
    for n, text in enumerate(values):
        amount = Amount(parse_micro(text.lstrip("<")), unit)
        result = Result(analyte=analyte, amount=amount, basis=basis, below=text[0] == "<")
        found.append(Figure(result, date(2026, 1 + n, 1), n + 1))
    return found


def of(name: str, analyte: str, found: list[Figure], how: str = "") -> Judged:
    each = judge(limit_sets()[name], found, DAY).each
    return next(one for one in each if one.analyte == analyte and one.limit.how.startswith(how))


TABLE_1 = {
    "As": "75", "Cd": "85", "Cu": "4300", "Pb": "840", "Hg": "57", "Mo": "75", "Ni": "420", "Se": "100",
    "Zn": "7500",
}  # fmt: skip
TABLE_3 = {
    "As": "41", "Cd": "39", "Cu": "1500", "Pb": "300", "Hg": "17", "Ni": "420", "Se": "100", "Zn": "2800",
}  # fmt: skip
CCME_A = {
    "As": "13", "Cd": "3", "Cr": "210", "Co": "34", "Cu": "400", "Pb": "150", "Hg": "0.8", "Mo": "5",
    "Ni": "62", "Se": "2", "Zn": "700",
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "table"), [("us-503-table1", TABLE_1), ("us-503-table3", TABLE_3), ("ca-ccme-a", CCME_A)]
)
def test_metals_at_the_printed_limit_and_just_over(name: str, table: dict[str, str]) -> None:
    """Every printed metal: the figure itself is within, one thousandth of a mg/kg more is not."""
    assert {one.analyte for one in limit_sets()[name].limits} == set(table)
    for metal, limit in table.items():
        assert of(name, metal, figures(metal, "mg/kg", "dry", limit)).verdict == "PASS", metal
        over = f"{limit}.001" if "." not in limit else f"{limit}01"
        assert of(name, metal, figures(metal, "mg/kg", "dry", over)).verdict == "FAIL", metal


def test_table_3_is_the_plain_mean_of_a_month() -> None:
    """503.11(i): the monthly average is the arithmetic mean of the month's results. Table 1 looks at each."""
    two = [
        Figure(one.result, date(2026, 9, n + 1), n)
        for n, one in enumerate(figures("Cu", "mg/kg", "dry", "1900", "1100"))
    ]
    assert of("us-503-table3", "Cu", two).verdict == "PASS"
    assert of("us-503-table3", "Cu", two[:1]).verdict == "FAIL"
    assert of("us-503-table1", "Cu", two).verdict == "PASS"


@pytest.mark.parametrize(
    ("values", "mean", "single"),
    [
        (("110", "95", "98", "96"), "PASS", "PASS"),  # mean 99.75
        (("126", "80", "80", "80"), "PASS", "FAIL"),  # mean 91.5, one more than 25 % over 100
        (("125", "92", "92", "91"), "PASS", "PASS"),  # mean 100 and 125 % themselves
        (("101", "101", "100", "99"), "FAIL", "PASS"),  # mean 100.25
    ],
)
def test_running_mean_of_copper(values: tuple[str, ...], mean: str, single: str) -> None:
    """Copper, class of 20 t: the last four's mean within 100, no one over 125 mg/kg dry."""
    found = figures("Cu", "mg/kg", "dry", *values)
    assert of("de-bioabfv-1", "Cu", found, "last").verdict == mean
    assert of("de-bioabfv-1", "Cu", found, "each").verdict == single


def test_only_the_last_four_count_to_the_running_mean() -> None:
    """A first result of 124 leaves the mean once four others have followed."""
    found = figures("Cu", "mg/kg", "dry", "124", "99", "99", "99", "99")
    assert of("de-bioabfv-1", "Cu", found, "last").verdict == "PASS"
    assert of("de-bioabfv-1", "Cu", found[:4], "last").verdict == "FAIL"  # mean 105.25


def test_other_metals_of_the_german_rule_are_each_for_themselves() -> None:
    """Lead, class of 20 t: 150 mg/kg, no mean. Class of 30 t: 100."""
    found = figures("Pb", "mg/kg", "dry", "151", "10", "10", "10")
    assert of("de-bioabfv-1", "Pb", found).verdict == "FAIL"
    assert of("de-bioabfv-1", "Pb", figures("Pb", "mg/kg", "dry", "150")).verdict == "PASS"
    assert of("de-bioabfv-2", "Pb", figures("Pb", "mg/kg", "dry", "150")).verdict == "FAIL"


@pytest.mark.parametrize(
    ("name", "coliform", "salmonella"),
    [("omri-compost", "PASS", "PASS"), ("us-503-class-a", "FAIL", "FAIL"), ("us-fsma-55b", "FAIL", "FAIL")],
)
def test_germs_exactly_at_the_figure(name: str, coliform: str, salmonella: str) -> None:
    """1000 MPN/g and 3 MPN/4 g: "not more than" takes them, "less than" does not."""
    found = figures("fecal coliform", "MPN/g", "dry", "1000") + figures("Salmonella", "MPN/4 g", "dry", "3")
    assert of(name, "fecal coliform", found).verdict == coliform
    assert of(name, "Salmonella", found).verdict == salmonella


@pytest.mark.parametrize(("name", "verdict"), [("us-503-class-a", "PASS"), ("us-fsma-55b", "FAIL")])
def test_either_germ_or_both(name: str, verdict: str) -> None:
    """503.32(a) asks fecal coliform OR Salmonella; 112.55(b) asks both."""
    found = figures("fecal coliform", "MPN/g", "dry", "5000") + figures("Salmonella", "MPN/4 g", "dry", "<3")
    assert judge(limit_sets()[name], found, DAY).verdict == verdict


@pytest.mark.parametrize(("text", "verdict"), [("<0.3", "PASS"), ("<1", "REVIEW"), ("0.3", "FAIL")])
def test_not_detected_is_not_detected_by_a_method_that_would_have(text: str, verdict: str) -> None:
    """112.55(a): E. coli O157:H7 not detected at 0.3 MPN in 1 g; a coarser method does not say."""
    found = figures("E. coli O157:H7", "MPN/g", "as received", text)
    assert of("us-fsma-55a", "E. coli O157:H7", found).verdict == verdict


@pytest.mark.parametrize(
    ("analyte", "unit", "basis", "good", "bad"),
    [
        ("weed seeds", "per litre", "as received", "2", "3"),
        ("foreign matter over 2 mm", "%", "dry", "0.5", "0.51"),
        ("stones over 10 mm", "%", "dry", "5", "5.01"),
        ("Salmonella in 50 g", "found in 50 g", "", "0", "1"),
    ],
)
def test_german_product_limits(analyte: str, unit: str, basis: str, good: str, bad: str) -> None:
    """BioAbfV Anhang 2 Nr. 4.2.2, 4.3.2 and section 4(4): the figures themselves are within."""
    assert of("de-bioabfv-product", analyte, figures(analyte, unit, basis, good)).verdict == "PASS"
    assert of("de-bioabfv-product", analyte, figures(analyte, unit, basis, bad)).verdict == "FAIL"


@pytest.mark.parametrize(
    ("name", "metal", "limit"),
    [
        ("ca-ccme-b", "Pb", "500"),
        ("ca-ccme-b", "Zn", "1850"),
        ("eu-pfc3a", "Cu", "300"),
        ("eu-pfc3a", "Zn", "800"),
        ("uk-pas100", "Cd", "1.5"),
        ("uk-pas100", "Cu", "200"),
        ("us-wa-220b", "As", "20"),
        ("us-wa-220b", "Cd", "10"),
        ("us-wa-220b", "Pb", "150"),
        ("us-wa-220b", "Mo", "9"),
        ("us-wa-220b", "Zn", "1400"),
    ],
)
def test_limits_from_memory_say_so(name: str, metal: str, limit: str) -> None:
    """CCME B, EU PFC 3(A), PAS 100 and Washington's Table 220-B at the recalled figure; each is marked as
    not read.

    Known: MEMORY
    """
    found = of(name, metal, figures(metal, "mg/kg", "dry", limit))
    assert found.verdict == "PASS" and found.limit.known == "MEMORY"
    assert found.margin == 0


@pytest.mark.parametrize(
    ("metal", "limit"),
    [("As", 2), ("Cd", 1.9), ("Cu", 75), ("Pb", 15), ("Hg", 0.85), ("Ni", 21), ("Se", 5), ("Zn", 140)],
)
def test_the_yearly_rate_of_a_bag_by_table_4(metal: str, limit: float) -> None:
    """40 CFR 503.13 Table 4 [kg/ha in 365 days] over the concentration (Appendix A): of a compost with 1000
    mg/kg of one metal and a trace of the others, as many tonnes of dry matter as Table 4 allows kilograms.

    Known: MEMORY
    """
    others = [one for one in yearly_metals() if one != metal]
    found = figures(metal, "mg/kg", "dry", "1000")
    found += [one for name in others for one in figures(name, "mg/kg", "dry", "0.001")]
    ask, label = yearly_rate(found, yearly_metals())
    assert ask.state == "proven" and ask.known == "MEMORY"
    assert f"At most {limit:g} t of its dry matter a hectare" in label[0] and f"its {metal}." in label[0]


def test_what_is_known_for_a_rule_is_of_its_country() -> None:
    """Limit sets by the rule a row works to; those of other countries do not go with it."""
    for rule, wanted, other in (
        ("US-503-PFRP-WINDROW", "us-503-class-a", "eu-pfc3a"),
        ("US-NOP-WINDROW", "omri-compost", "ca-ccme-b"),
        ("EU-CMC3", "eu-pfc3a", "us-503-table1"),
        ("DE-BIOABFV", "de-bioabfv-1", "uk-pas100"),
        ("US-WA-220A", "us-wa-220b", "de-bioabfv-1"),
    ):
        known = {one.id for one in sets_known_for([rule])}
        assert wanted in known and other not in known and "germs-found" in known, rule
