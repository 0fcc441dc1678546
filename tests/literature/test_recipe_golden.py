"""Mixes worked by hand in whole fractions from the tables' typical values.

Source: typical values of NRAES-54 Table A.1 (N and C:N READ in a copy, moisture and density MEMORY)
Source: Wyoming rule "half a pound of straw a pound", thefencepost.com (READ)
Known: CALC

These are not published answers. The inputs are the tables'; the expected figures are worked again here
with Python's whole fractions and the plain sums, apart from the mixing room, and must also round to
figures worked before by somebody else from the same inputs.
"""

from fractions import Fraction as F

import pytest

from turnrow.blend.closed_form import two_for_cn, two_for_moisture
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import mix
from turnrow.blend.water import water_to_add

LB = F("0.593276")  # kg/m3 in a lb/yd3, rounded as those figures had it
# moisture, N % dry, C:N, lb/yd3
TABLE = {
    "dairy": (F("0.81"), F("2.4"), F(19), F(1458)),
    "straw": (F("0.12"), F("0.7"), F(80), F(227)),
    "leaves": (F("0.38"), F("0.9"), F(54), F(450)),
    "broiler": (F("0.37"), F("2.7"), F(14), F(864)),
    "hay": (F("0.09"), F("2.1"), F(23), F(0)),
    "sawdust": (F("0.39"), F(50) / 442, F(442), F(410)),
}
Parts = dict[str, F]


def one(name: str) -> Ingredient:
    m, n, cn, lb = TABLE[name]
    return Ingredient(
        name, float(m), float(n / 100), float(n * cn / 100), 0.85, float(lb * LB) if lb else None
    )


def moisture(parts: Parts) -> F:
    return sum((q * TABLE[k][0] for k, q in parts.items()), F(0)) / sum(parts.values(), F(0))


def ratio(parts: Parts) -> F:
    carbon = sum((q * (1 - TABLE[k][0]) * TABLE[k][1] * TABLE[k][2] for k, q in parts.items()), F(0))
    return carbon / sum((q * (1 - TABLE[k][0]) * TABLE[k][1] for k, q in parts.items()), F(0))


def density(parts: Parts) -> F:
    return sum(parts.values(), F(0)) / sum((q / (TABLE[k][3] * LB) for k, q in parts.items()), F(0))


GOLDEN = [
    # parts, moisture, C:N, kg/m3 as worked before (None: not worked)
    ({"dairy": "1", "straw": "0.1629"}, 0.7134, 30.0, 492),
    ({"dairy": "1", "straw": "0.4375"}, 0.600, 41.66, 326),
    ({"dairy": "1", "straw": "0.5"}, 0.580, 43.6, None),
    ({"dairy": "1", "leaves": "0.3746"}, 0.693, 30.0, None),
    ({"broiler": "1", "sawdust": "0.9573"}, 0.380, 30.0, None),
    ({"dairy": "1000", "straw": "242.55", "hay": "183.48"}, 0.600, 30.0, None),
    ({"dairy": "1000", "leaves": "757.53", "broiler": "188.45"}, 0.600, 30.0, 446),
]
DIGIT = {0.7134: 1e-4, 41.66: 5e-3, 43.6: 0.05}


@pytest.mark.parametrize(("said", "wet", "cn", "rho"), GOLDEN)
def test_golden_mix(said: dict[str, str], wet: float, cn: float, rho: float | None) -> None:
    """Moisture, C:N and density of seven mixes that can be made.

    The earlier masses are rounded, so their figures are met to a unit of the last digit only.

    Tolerance: 1e-6 relative against the whole fractions; a unit of the last digit against the earlier ones
    """
    parts = {name: F(kg) for name, kg in said.items()}
    got = mix([one(name) for name in parts], [float(kg) for kg in parts.values()])
    assert got.moisture_wet == pytest.approx(float(moisture(parts)), rel=1e-6)
    assert got.cn == pytest.approx(float(ratio(parts)), rel=1e-6)
    assert got.moisture_wet == pytest.approx(wet, abs=DIGIT.get(wet, 5e-4))
    assert got.cn == pytest.approx(cn, abs=DIGIT.get(cn, 0.05))
    if rho is not None:
        assert got.density == pytest.approx(float(density(parts)), rel=1e-6)
        assert got.density == pytest.approx(rho, abs=0.5)


@pytest.mark.parametrize(("kg", "times"), [("0.1629", 1.05), ("0.4375", 2.81)])
def test_golden_volumes(kg: str, times: float) -> None:
    """Straw to manure by volume: 1.05 and 2.81.

    Tolerance: 0.005
    """
    straw, dairy = mix([one("straw")], [float(kg)]), mix([one("dairy")], [1.0])
    assert straw.volume_m3 is not None
    assert dairy.volume_m3 is not None
    assert straw.volume_m3 / dairy.volume_m3 == pytest.approx(times, abs=0.005)


def test_golden_straw_for_dairy() -> None:
    """Straw for C:N 30 is 0.1629 and for 60 % water 0.4375 of the manure, in whole fractions.

    Tolerance: 1e-9 relative; 5e-5 against the earlier figures
    """
    by_cn, by_water = (
        two_for_cn(one("straw"), one("dairy"), 30),
        two_for_moisture(one("straw"), one("dairy"), 0.60),
    )
    m, n, cn, _ = TABLE["dairy"]
    ms, ns, cns, _ = TABLE["straw"]
    assert by_cn == pytest.approx(float(n * (30 - cn) * (1 - m) / (ns * (cns - 30) * (1 - ms))), rel=1e-9)
    assert by_water == pytest.approx(float((m - F("0.6")) / (F("0.6") - ms)), rel=1e-9)
    assert by_cn == pytest.approx(0.1629, abs=5e-5)
    assert by_water == pytest.approx(0.4375, abs=5e-5)


def test_golden_water_for_litter_and_sawdust() -> None:
    """Litter and sawdust at C:N 30 hold 38 % water and need 1.078 kg per kg of litter for 60 %.

    Tolerance: 5e-4
    """
    share = two_for_cn(one("sawdust"), one("broiler"), 30)
    assert isinstance(share, float)
    assert share == pytest.approx(0.9573, abs=5e-5)
    got = mix([one("broiler"), one("sawdust")], [1, share])
    assert water_to_add(got.mass_kg, got.moisture_wet, 0.60) == pytest.approx(1.078, abs=5e-4)


def test_golden_water() -> None:
    """100 t from 45 to 60 % take 37.5 t of water; 800 lb from 40 to 55 % take 266.7 lb.

    Tolerance: 1e-9 relative; 0.05 lb
    """
    assert water_to_add(100, 0.45, 0.60) == pytest.approx(37.5, rel=1e-9)
    assert water_to_add(800, 0.40, 0.55) == pytest.approx(266.7, abs=0.05)
