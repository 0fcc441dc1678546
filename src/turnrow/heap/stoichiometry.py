"""Oxygen that a substance takes and what it gives, from its formula."""

import re

MASS = {"C": 12.011, "H": 1.008, "O": 15.999, "N": 14.007}  # g/mol


def atoms(formula: str) -> dict[str, float]:
    """Counts of C, H, O and N in "C10H19O3N". ValueError for anything else in it."""
    if not re.fullmatch(r"(?:[CHON](?:\d+(?:\.\d+)?)?)+", formula):
        raise ValueError(f"formula {formula!r}, want C, H, O and N with counts")
    found = dict.fromkeys(MASS, 0.0)
    for element, count in re.findall(r"([CHON])(\d+(?:\.\d+)?)?", formula):
        found[element] += float(count or 1)
    return found


def molar_mass(formula: str) -> float:
    """[g/mol]."""
    return sum(MASS[element] * count for element, count in atoms(formula).items())


def oxygen_moles(formula: str) -> float:
    """O2 per mole burnt to CO2, H2O and NH3:  a + (b - 3d)/4 - c/2  for Ca Hb Oc Nd.

    Source: polprasert-2007, equations 3.14 and 3.15.
    """
    n = atoms(formula)
    return n["C"] + (n["H"] - 3.0 * n["N"]) / 4.0 - n["O"] / 2.0


def oxygen_per_kg(formula: str) -> float:
    """Oxygen per mass burnt [kg/kg]."""
    return oxygen_moles(formula) * 2.0 * MASS["O"] / molar_mass(formula)


def water_per_kg(formula: str) -> float:
    """Water made per mass burnt [kg/kg]: (b - 3d)/2 moles."""
    n = atoms(formula)
    return (n["H"] - 3.0 * n["N"]) / 2.0 * (2.0 * MASS["H"] + MASS["O"]) / molar_mass(formula)


def ash_loss(ash0: float, ash1: float) -> tuple[float, float]:
    """(organic matter lost, dry matter lost), shares, from the ash shares before and after, if no ash came
    or went:  1 - a0 (1 - a1) / (a1 (1 - a0))  and  1 - a0 / a1."""
    if not (0.0 < ash0 < 1.0 and 0.0 < ash1 < 1.0):
        raise ValueError(f"ash shares {ash0} and {ash1}, want both between 0 and 1")
    return 1.0 - ash0 * (1.0 - ash1) / (ash1 * (1.0 - ash0)), 1.0 - ash0 / ash1
