"""Oxygen and water of burning what composts, from formulas.

Source: Polprasert 2007, Organic Waste Recycling, p. 107, table 3.2 and equations 3.14, 3.15
Known: READ
"""

import pytest

from turnrow.handbook.heap import heap_parameters
from turnrow.heap.stoichiometry import ash_loss, oxygen_moles, oxygen_per_kg, water_per_kg


def test_sludge_takes_12_5_moles() -> None:
    """C10H19O3N + 12.5 O2, equation 3.14; per mass 1.99 kg/kg (the mass by us).

    Tolerance: the moles exactly; 0.005 kg/kg
    """
    assert oxygen_moles("C10H19O3N") == 12.5
    assert oxygen_per_kg("C10H19O3N") == pytest.approx(1.99, abs=0.005)


def test_bacteria_take_5_moles() -> None:
    """C5H7O2N + 5 O2, equation 3.15; per mass 1.41 kg/kg.

    Tolerance: the moles exactly; 0.005 kg/kg
    """
    assert oxygen_moles("C5H7O2N") == 5.0
    assert oxygen_per_kg("C5H7O2N") == pytest.approx(1.41, abs=0.005)


@pytest.mark.parametrize(
    ("formula", "given", "within"),
    [("C6H10O5", 1.18, 0.01), ("C16H24O5N4", 1.5, 0.01), ("C50H90O6", 2.85, 0.05)],
)
def test_carbohydrate_protein_and_fat(formula: str, given: float, within: float) -> None:
    """Formulas of table 3.2; oxygen per mass 1.18, 1.5 and 2.8 to 2.9 as Haug 1993 is recalled.

    Known: MEMORY for the oxygen, READ for the formulas
    Tolerance: 0.01 kg/kg; for fat the range given
    """
    assert oxygen_per_kg(formula) == pytest.approx(given, abs=within)


def test_the_handbooks_oxygen_and_water_lie_among_the_formulas() -> None:
    """The default oxygen per mass lies between carbohydrate and mixed refuse, the water likewise."""
    row = heap_parameters()
    assert oxygen_per_kg("C6H10O5") < row["oxygen_per_kg"].value < oxygen_per_kg("C64H104O37N")
    water = sorted(water_per_kg(one) for one in ("C6H10O5", "C64H104O37N"))
    assert water[0] - 0.01 < row["water_per_kg"].value < water[1] + 0.01


def test_ash_tells_what_was_lost() -> None:
    """Ash from 20 to 33 % of the dry matter: 49.2 % of the organic and 39.4 % of the dry matter are gone.

    Known: CALC
    Tolerance: 0.0005
    """
    organic, dry = ash_loss(0.20, 0.33)
    assert organic == pytest.approx(0.492, abs=0.0005)
    assert dry == pytest.approx(0.394, abs=0.0005)
