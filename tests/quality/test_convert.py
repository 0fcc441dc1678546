"""What a figure is in another unit or on another basis, and when that cannot be told."""

from fractions import Fraction

import pytest

from turnrow.handbook.analytes import analytes
from turnrow.quality.convert import Beside, beside, figures_of, in_unit, told_as
from turnrow.quality.found import Span, held, mean, number

from .conftest import Make

WET = Beside(moisture=Fraction(2, 5), organic=Fraction(1, 2))


def exact(found: Span | str) -> Fraction:
    assert isinstance(found, Span) and found.exact, found
    return found.low


@pytest.mark.parametrize(
    ("analyte", "text", "unit", "basis", "want"),
    [
        ("Cu", "60 mg/kg as received", "mg/kg", "dry", 100),
        ("N total", "0.9 % as received", "%", "dry", Fraction(3, 2)),
        ("Cu", "0.01 % dry", "mg/kg", "dry", 100),
        ("N total", "20 lb/ton dry", "%", "dry", 1),  # 20 lb in 2000 lb
        ("CO2 evolution", "2 mg CO2-C/g dry", "x", "", None),
        ("CO2", "44 mg CO2/g OM/d", "mg CO2-C/g OM/d", "organic matter", 12),
        ("EC", "2500 µS/cm", "dS/m", "", Fraction(5, 2)),
        ("Salmonella", "3 MPN/4 g dry", "MPN/g", "dry", Fraction(3, 4)),
        ("self-heating rise", "18 F", "C", "", 10),
    ],
)
def test_units_and_bases(
    figure: Make, analyte: str, text: str, unit: str, basis: str, want: Fraction | None
) -> None:
    if want is None:
        assert isinstance(in_unit(figure(analyte, text), "mg CO2-C/g OM/d", "organic matter", WET), str)
    else:
        assert exact(in_unit(figure(analyte, text), unit, basis, WET)) == want


@pytest.mark.parametrize(
    ("analyte", "text", "unit", "basis", "says"),
    [
        ("fecal coliform", "900 CFU/g dry", "MPN/g", "dry", "two ways to count"),
        ("CO2", "4 mg/g/d", "mg CO2-C/g OM/d", "organic matter", "CO2 or CO2-C"),
        ("Cu", "60 mg/kg as received", "mg/kg", "dry", "moisture is not told"),
        ("Cu", "60 mg/kg", "mg/kg", "dry", "does not say what its mass is of"),
        ("Cu", "60 mg/L", "mg/kg", "dry", "cannot be read"),
    ],
)
def test_what_cannot_be_turned_into_another(
    figure: Make, analyte: str, text: str, unit: str, basis: str, says: str
) -> None:
    found = in_unit(figure(analyte, text), unit, basis)
    assert isinstance(found, str) and says in found


def test_organic_matter_basis_wants_the_organic_matter(figure: Make) -> None:
    one = figure("CO2 evolution", "2 mg CO2-C/g/d dry")
    assert isinstance(in_unit(one, "mg CO2-C/g OM/d", "organic matter"), str)
    assert exact(in_unit(one, "mg CO2-C/g OM/d", "organic matter", WET)) == 4


def test_a_unit_of_another_kind_of_limit_is_a_fault_of_ours(figure: Make) -> None:
    with pytest.raises(ValueError, match="unit 'dS/m' for Cu"):
        in_unit(figure("Cu", "60 mg/kg dry"), "dS/m", "dry")


def test_oxides_are_the_element_in_other_clothes(figure: Make) -> None:
    """141.943 g of P2O5 hold 61.948 g of P: atomic masses P 30.974 and O 15.999 (MEMORY)."""
    p = analytes()["P total"]
    found = exact(told_as(figure("P2O5", "141.943 % dry"), p, "%", "dry"))
    assert found == Fraction("61.948")
    k = exact(told_as(figure("K2O", "94.195 g/kg dry"), analytes()["K total"], "g/kg", "dry"))
    assert k == Fraction("78.196")


def test_moisture_is_taken_from_the_same_sample_only(figure: Make) -> None:
    metal = figure("Cu", "60 mg/kg as received", sample="A")
    mine, other = figure("moisture", "40 %", sample="A"), figure("moisture", "80 %", sample="B")
    assert beside(metal, [other, mine]).moisture == Fraction(2, 5)
    assert beside(metal, [other]).moisture is None
    assert beside(metal, [figure("TS", "60 %", sample="A")]).moisture == Fraction(2, 5)


def test_names_are_known_in_their_other_spellings(figure: Make) -> None:
    sheet = [figure("Blei", "1 mg/kg dry"), figure("lead", "2 mg/kg dry"), figure("Cu", "3 mg/kg dry")]
    assert [one.words() for one in figures_of("Pb", sheet)] == ["1 mg/kg dry", "2 mg/kg dry"]


@pytest.mark.parametrize(
    ("span", "op", "limit", "verdict"),
    [
        (Span(Fraction(0), Fraction(10), high_open=True), "<=", 5, "REVIEW"),
        (Span(Fraction(0), Fraction(10), high_open=True), "<", 10, "PASS"),
        (Span(Fraction(10), Fraction(10)), "<", 10, "FAIL"),
        (Span(Fraction(10), Fraction(10)), "<=", 10, "PASS"),
        (Span(Fraction(10), None, low_open=True), "<=", 10, "FAIL"),
        (Span(Fraction(10), None, low_open=True), "<=", 11, "REVIEW"),
        (Span(Fraction(10), None, low_open=True), ">", 10, "PASS"),
        (Span(Fraction(0), Fraction(80), high_open=True), ">=", 80, "FAIL"),
        (Span(Fraction(80), Fraction(80)), ">=", 80, "PASS"),
        (Span(Fraction(80), Fraction(80)), ">", 80, "FAIL"),
    ],
)
def test_a_span_against_a_limit(span: Span, op: str, limit: int, verdict: str) -> None:
    assert held(span, op, Fraction(limit)) == verdict


def test_a_mean_of_spans_keeps_its_ends() -> None:
    found = mean([Span(Fraction(0), Fraction(4), high_open=True), Span(Fraction(6), Fraction(6))])
    assert found == Span(Fraction(3), Fraction(5), high_open=True)
    with pytest.raises(ValueError, match="0 figures"):
        mean([])


def test_a_number_just_over_a_limit_does_not_read_as_the_limit() -> None:
    assert number(Fraction(16), Fraction(16)) == "16"
    assert number(Fraction(48, 11)) == "about 4.364"
    over = Fraction(200) + Fraction(1, 700_000)
    assert number(over, Fraction(200)) not in ("200", "about 200")
