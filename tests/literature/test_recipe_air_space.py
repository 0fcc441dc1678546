"""Free air space and carbon from ash: the printed equations at printed points.

Source: Richard et al. 2004 (phase sum), Haug 1993 (bound), both recalled
Source: compost.css.cornell.edu/calc/carbon.html (carbon from ash)
Known: CALC

The constants 1600, 1000 and 2500 kg/m3 are MEMORY; the checks below were worked
apart from this code from the equations, and are no published answers.
"""

import pytest

from turnrow.blend.air_space import HAUG, air_space, air_space_by_density
from turnrow.blend.carbon import carbon_from_ash
from turnrow.blend.water import moisture_ceiling

POINTS = [
    (475, 0.60, 0.85, 0.6027, 0.5421),
    (593, 0.60, 0.85, 0.5040, 0.4283),
    (593, 0.65, 0.80, 0.4942, 0.4319),
    (713, 0.65, 0.80, 0.3918, 0.3169),
    (800, 0.70, 0.70, 0.3062, 0.2432),
]


@pytest.mark.parametrize(("rho", "moisture", "organic", "phase", "haug"), POINTS)
def test_air_space(rho: float, moisture: float, organic: float, phase: float, haug: float) -> None:
    """Phase sum and Haug's bound at five densities; Haug's is 6-9 points lower.

    Tolerance: 5e-5
    """
    assert air_space(rho, moisture, organic) == pytest.approx(phase, abs=5e-5)
    assert air_space(rho, moisture, organic, HAUG) == pytest.approx(haug, abs=5e-5)
    assert 0.055 < phase - haug < 0.09


@pytest.mark.parametrize(("rho", "air"), [(475, 0.573), (593, 0.466), (713, 0.358), (800, 0.280)])
def test_air_space_by_density_alone(rho: float, air: float) -> None:
    """The line 100 - 0.09 rho %, between the two formulas.

    Known: MEMORY
    Tolerance: 0.0006
    """
    assert air_space_by_density(rho) == pytest.approx(air, abs=0.0006)


@pytest.mark.parametrize(("dry", "most"), [(150, 80.3), (200, 74.5), (250, 68.9), (300, 63.7)])
def test_moisture_ceiling(dry: float, most: float) -> None:
    """Most water that leaves 30 % air at a dry density, organic matter 80 %.

    Tolerance: 0.05 points
    """
    assert 100 * moisture_ceiling(dry, 0.80, 0.30) == pytest.approx(most, abs=0.05)
    wet = most / 100
    assert air_space(dry / (1 - wet), wet, 0.80) == pytest.approx(0.30, abs=2e-3)


@pytest.mark.parametrize(("moisture", "slope"), [(0.5, 0.079), (0.7, 0.087)])
def test_air_space_falls_with_density(moisture: float, slope: float) -> None:
    """Slope of the phase sum in points per kg/m3: 0.079 at half water, 0.087 at 0.7.

    Agnew et al.'s line has 0.09 (MEMORY).

    Tolerance: 0.0005
    """
    fall = air_space(500, moisture, 0.8) - air_space(600, moisture, 0.8)
    assert fall == pytest.approx(slope, abs=0.0005)


def test_carbon_from_ash__cornell_carbon() -> None:
    """Volatile solids 80 %: 44.4 % carbon; 45-60 % of volatile solids leave -19 % and +8 %.

    Known: READ for /1.8 and 45-60 %
    Tolerance: 0.05 points; 0.5 % of the figure
    """
    got = carbon_from_ash(0.20)
    assert 100 * got.c_dry == pytest.approx(44.4, abs=0.05)
    assert got.low / got.c_dry == pytest.approx(0.81, abs=0.005)
    assert got.high / got.c_dry == pytest.approx(1.08, abs=0.005)
