"""Reference evapotranspiration against the worked examples of the paper that sets it.

Source: FAO irrigation and drainage paper 56 (Allen et al. 1998), Examples 2, 17 and 18
Known: READ

The figures of Examples 2 and 18 were read as they stand in the tests of open packages that quote the paper
(pyet, pyeto, CSLSevap); those of Example 17 are recalled.
"""

import pytest

from turnrow.pad.evaporation import (
    Air,
    Place,
    above_the_air,
    clear_sky,
    on_the_ground,
    pressure,
    reference,
    saturation,
)

UCCLE = Place(50.8, 100.0, wind_height=10.0)
JULY = Air(21.5, 12.3, 84.0, 63.0, 2.78, sun=9.25)


def test_pressure_at_1200_and_1800_m__fao56_example_2() -> None:
    """87.9 and 81.8 kPa.

    Tolerance: half of the last printed digit, and 0.01 kPa
    """
    assert [pressure(1200), pressure(1800)] == pytest.approx([87.9, 81.8], abs=0.06)


def test_sun_above_the_air_and_on_a_clear_day__fao56_example_18() -> None:
    """Uccle, 50.8 N, 6 July: 41.09 and 30.90 MJ/m2, 16.1 h of daylight; 22.07 MJ/m2 with 9.25 h of sun.

    Tolerance: half of the last printed digit
    """
    above, daylight = above_the_air(50.8, 187)
    assert above == pytest.approx(41.09, abs=0.005)
    assert daylight == pytest.approx(16.1, abs=0.05)
    assert clear_sky(above, 100.0) == pytest.approx(30.90, abs=0.005)
    assert on_the_ground(above, daylight, 9.25) == pytest.approx(22.07, abs=0.005)


def test_vapour__fao56_example_18() -> None:
    """Saturated 1.997 kPa, held 1.409 kPa.

    Tolerance: half of the last printed digit, and a rounding of it
    """
    warm, cold = saturation(21.5), saturation(12.3)
    assert (warm + cold) / 2 == pytest.approx(1.997, abs=0.001)
    assert (cold * 84 + warm * 63) / 200 == pytest.approx(1.409, abs=0.001)


def test_the_day_at_uccle__fao56_example_18() -> None:
    """3.9 mm, from hours of sun as from 22.07 MJ/m2; by hand with all digits 3.880.

    Tolerance: half of the last printed digit; 0.005 mm of the value by hand
    """
    assert reference(UCCLE, 187, JULY) == pytest.approx(3.9, abs=0.05)
    assert reference(UCCLE, 187, JULY) == pytest.approx(3.880, abs=0.005)
    told = Air(21.5, 12.3, 84.0, 63.0, 2.78, solar=22.07)
    assert reference(UCCLE, 187, told) == pytest.approx(3.880, abs=0.005)


def test_april_at_bangkok__fao56_example_17() -> None:
    """34.8 and 25.6 °C, 2.85 kPa of vapour, 2 m/s, 8.5 h of sun: 5.72 mm, and 5.76 without soil heat.

    Known: MEMORY
    Tolerance: 0.05 mm; half of the last digit without soil heat
    """
    damp = 100 * 2.85 / ((saturation(34.8) + saturation(25.6)) / 2)
    found = reference(Place(13 + 44 / 60, 2.0), 105, Air(34.8, 25.6, damp, damp, 2.0, sun=8.5))
    assert found == pytest.approx(5.72, abs=0.05)
    assert found == pytest.approx(5.76, abs=0.005)
