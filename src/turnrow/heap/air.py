"""Moist air, by the exact formulas; what the kernel's quick ones are checked against."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
PRESSURE = 101325.0  # Pa


def saturation_pa(temp_c: Floats | float) -> Floats:
    """Saturation vapour pressure over liquid water [Pa], -40..200 °C (supercooled below 0).

        ln e = -5800.2206/T + 1.3914993 - 0.048640239 T + 4.1764768e-5 T^2 - 1.4452093e-8 T^3 + 6.5459673 ln T

    T in kelvin. Source: ASHRAE Fundamentals 2017 ch. 1 eq. 6 (Hyland and Wexler).
    """
    t = np.asarray(temp_c, dtype=np.float64) + 273.15
    return np.exp(
        -5.8002206e3 / t
        + 1.3914993
        + t * (-4.8640239e-2 + t * (4.1764768e-5 - 1.4452093e-8 * t))
        + 6.5459673 * np.log(t)
    )


def humidity_ratio(
    temp_c: Floats | float, relative: Floats | float = 1.0, pressure: float = PRESSURE
) -> Floats:
    """Vapour per dry air [kg/kg], w = 0.622 e / (p - e), e at most 0.8 p. Source: ASHRAE ch. 1 eq. 20."""
    vapour = np.minimum(np.asarray(relative) * saturation_pa(temp_c), 0.8 * pressure)
    return np.asarray(0.622 * vapour / (pressure - vapour))


def enthalpy(temp_c: Floats | float, humidity: Floats | float) -> Floats:
    """Enthalpy of moist air [J/kg dry air], 0 for dry air and liquid water at 0 °C:

    h = 1006 T + w (2501000 + 1860 T)
    """
    t = np.asarray(temp_c, dtype=np.float64)
    return np.asarray(1006.0 * t + humidity * (2.501e6 + 1860.0 * t))


def density(temp_c: Floats | float, vapour_pa: Floats | float) -> Floats:
    """Density of moist air [kg/m3] at 101325 Pa, ideal gas: 353.05 (1 - 0.378 e/p) / T."""
    t = np.asarray(temp_c, dtype=np.float64) + 273.15
    return np.asarray(353.05 * (1.0 - 0.378 * np.asarray(vapour_pa) / PRESSURE) / t)
