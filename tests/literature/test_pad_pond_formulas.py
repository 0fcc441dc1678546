"""Volumes of ponds against the printed formulas of a worksheet, and against integration.

Source: NRCS Agricultural Waste Management Field Handbook, worksheet 10A-2 (copy at progressivegardening.com)
Known: READ
"""

import pytest
from scipy.integrate import quad

from turnrow.pad.pond import Pond

SIZES = [(20.0, 60.0, 3.0, 2.5), (0.0, 0.0, 2.0, 4.0), (15.0, 15.0, 0.0, 3.0), (200.0, 100.0, 4.0, 1.5)]


@pytest.mark.parametrize(("bw", "bl", "z", "d"), SIZES)
def test_a_rectangular_pond__awmfh_10a_2(bw: float, bl: float, z: float, d: float) -> None:
    """V = 4/3 Z2 d3 + Z BL d2 + Z BW d2 + BW BL d.

    Tolerance: 1e-9 relative
    """
    printed = 4 * z**2 * d**3 / 3 + z * bl * d**2 + z * bw * d**2 + bw * bl * d
    assert Pond(bw, bl, z).volume(d) == pytest.approx(printed, rel=1e-9)


@pytest.mark.parametrize(("w", "_", "z", "d"), SIZES)
def test_a_round_pond__awmfh_10a_2(w: float, _: float, z: float, d: float) -> None:
    """V = 1.05 Z2 d3 + 1.57 W Z d2 + 0.79 W2 d.

    Tolerance: 0.6 %, what 1.05, 1.57 and 0.79 round off pi/3, pi/2 and pi/4
    """
    printed = 1.05 * z**2 * d**3 + 1.57 * w * z * d**2 + 0.79 * w**2 * d
    assert Pond(w, 0.0, z, round=True).volume(d) == pytest.approx(printed, rel=0.006)


@pytest.mark.parametrize(("bw", "bl", "z", "d"), SIZES)
@pytest.mark.parametrize("is_round", [False, True])
def test_volume_is_the_integral_of_the_surface(
    bw: float, bl: float, z: float, d: float, is_round: bool
) -> None:
    """Surface of the water at every height, by numeric quadrature.

    Known: CALC
    Tolerance: 1e-8 relative
    """
    pond = Pond(bw, bl, z, is_round)
    found, _ = quad(pond.surface, 0.0, d)
    assert pond.volume(d) == pytest.approx(found, rel=1e-8)
