"""Published recipes that are wrong, and why: averaged ratios and a slipped target (W5-W8).

Source: N.C. extension method on a vendor's page, CompostBalanceCalculation.html (W5)
Source: Wisconsin recipe key, studylib.net/doc/7712348 (W6)
Source: a county composting sheet, scribd.com/doc/45204219 (W7, W8)
Source: typical values of NRAES-54 Table A.1 (size of the error, CALC)
Known: READ

A C:N is carbon over nitrogen. Averaging C:N by weight weighs straw's ratio as if straw held as much
nitrogen as manure; it holds a third or less, so the true C:N is lower than the average says, and the
heap loses ammonia. These tests hold that the mixing law does not give the printed answers, and what
the printed method did.
"""

import pytest

from turnrow.blend.closed_form import two_for_cn
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import mix


def averaged(masses: list[float], ratios: list[float]) -> float:
    """The wrong way: C:N averaged by weight."""
    return sum(m * r for m, r in zip(masses, ratios, strict=True)) / sum(masses)


def by_average(cn_a: float, cn_b: float, target: float) -> float:
    """The wrong way, for a target: mass of a per mass of b."""
    return (cn_b - target) / (target - cn_a)


def dry(name: str, n_pct: float, cn: float, moisture: float = 0.0) -> Ingredient:
    return Ingredient(name, moisture, n_pct / 100, n_pct / 100 * cn, 0.85)


def test_w5_litter_and_straw_for_30_was_worked_for_20() -> None:
    """W5: litter 7.5, straw 130, target said to be 30: the printed 110/122.5 = 0.90 litter is that for 20.

    For 30 the printed method gives 100/122.5 = 0.816, and it averages ratios. With litter of 5 % nitrogen
    (37.5 % carbon) and straw of 0.38 % (49.4 %), as if both were dry, 0.90 litter has a C:N under 9.

    Tolerance: 0.005 for the printed method
    """
    assert by_average(7.5, 130, 20) / (1 + by_average(7.5, 130, 20)) == pytest.approx(0.90, abs=0.005)
    share = by_average(7.5, 130, 30) / (1 + by_average(7.5, 130, 30))
    assert share == pytest.approx(0.816, abs=0.0005)
    litter, straw = dry("litter", 5, 7.5), dry("straw", 0.38, 130)
    assert mix([litter, straw], [0.90, 0.10]).cn < 9
    right = two_for_cn(litter, straw, 30)
    assert isinstance(right, float)
    assert right / (1 + right) < share / 2


def test_w6_two_of_dairy_to_one_of_stalks_is_not_30() -> None:
    """W6: 2 lb of dairy (15) and 1 lb of stalks (65) make "about 30": 31.7 by averaging, about 20 by mass.

    Dairy of 3 % nitrogen and stalks of 45/65 %, so that each holds 45 % carbon, as if both were dry.

    Tolerance: 0.05 for the average; 1e-9 for the mass-correct figure
    """
    assert averaged([2, 1], [15, 65]) == pytest.approx(31.7, abs=0.05)
    got = mix([dry("dairy", 3.0, 15), dry("stalks", 45 / 65, 65)], [2, 1]).cn
    assert got == pytest.approx(3 * 45 / (2 * 3.0 + 45 / 65), rel=1e-9)
    assert got < 21


def test_w7_half_grass_half_leaves_is_not_30() -> None:
    """W7: half grass (20) and half leaves (40): 10 + 20 = 30 by averaging; 26.7 with equal carbon.

    Two materials of equal carbon mix to the harmonic mean of their ratios, 2/(1/20 + 1/40), never to the
    arithmetic.

    Tolerance: 1e-9
    """
    assert averaged([1, 1], [20, 40]) == 30
    got = mix([dry("grass", 2.25, 20), dry("leaves", 1.125, 40)], [1, 1]).cn
    assert got == pytest.approx(2 / (1 / 20 + 1 / 40), rel=1e-9)
    assert got < 27


def test_w8_cornstalks_for_five_of_manure() -> None:
    """W8: 5 lb of manure (25), cornstalks (60), target 30: 0.833 lb by its own averaging, 2.0 lb by mass.

    Its printed answer was cut off. With equal carbon, s pounds of stalks satisfy 5 + s = 30 (5/25 + s/60).

    Tolerance: 0.0005 for its own method, 1e-9 for the mass-correct one
    """
    assert 5 / by_average(25, 60, 30) == pytest.approx(0.833, abs=0.0005)
    ratio = two_for_cn(dry("stalks", 45 / 60, 60), dry("manure", 45 / 25, 25), 30)
    assert isinstance(ratio, float)
    assert 5 * ratio == pytest.approx(2.0, rel=1e-9)


@pytest.mark.parametrize(
    ("parts", "masses", "true", "wrong"),
    [
        (
            [dry("layer manure", 8.0, 6, 0.69), Ingredient("sawdust", 0.39, 0.5 / 442, 0.5, 0.98)],
            [1.0, 0.3],
            9.6,
            107,
        ),
        ([dry("broiler litter", 2.7, 14, 0.37), dry("straw", 0.7, 80, 0.12)], [9.0, 1.0], 16.6, 20.6),
    ],
)
def test_the_size_of_the_error(
    parts: list[Ingredient], masses: list[float], true: float, wrong: float
) -> None:
    """1 t layer manure and 0.3 t sawdust: 9.6, averaged 107; 9:1 litter and straw: 16.6, averaged 20.6.

    Known: CALC, worked apart from this code
    Tolerance: 0.05; 0.5 for 107
    """
    assert mix(parts, masses).cn == pytest.approx(true, abs=0.05)
    ratios = [one.c_dry / one.n_dry for one in parts]
    assert averaged(masses, ratios) == pytest.approx(wrong, abs=0.5 if wrong > 100 else 0.05)
