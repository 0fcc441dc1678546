"""A compost site's water of a year, as its permit file reckons it, and a peak flow.

Source: San Joaquin County, file 600648, page 330, lfweb.sjgov.org: all rain runs off
Source: rational method, Q = C i A / 360 in m3/s, mm/h, ha, with coefficients of NYC plumbing code 1114.3.1
Known: READ

The areas and depths are printed; the volumes were worked by hand from them.
"""

import pytest

from turnrow.handbook.figures import pond_figures
from turnrow.handbook.ground import grounds
from turnrow.pad.balance import Step, balance
from turnrow.pad.pond import Pond
from turnrow.pad.runoff import Surface, peak, season

ACRE, FOOT, INCH = 4046.8564224, 0.3048, 25.4
AREAS = (9.09, 7.67, 14.92, 1.55)  # acres; the last is the pond


def test_all_rain_of_a_year_off_33_acres__san_joaquin_600648() -> None:
    """33.23 acres under 14.62 in, coefficient 1.0: 40.49 acre-feet, which is 49,938 m3.

    Tolerance: half of the last digit; 0.02 % for m3
    """
    share = pond_figures()["runs_off"].value / 100
    parts = [Surface(str(n), area * ACRE, 98.0, runs_off=share) for n, area in enumerate(AREAS)]
    found = season(parts, 14.62 * INCH)
    assert found / (ACRE * FOOT) == pytest.approx(40.49, abs=0.005)
    assert found == pytest.approx(49_938, rel=2e-4)


def test_a_pond_that_loses_more_than_it_catches__san_joaquin_600648() -> None:
    """14.62 in fall on 1.55 acres and 67.36 in evaporate: 52.74 in less, 6.81 acre-feet.

    Known: CALC
    Tolerance: 0.005 acre-feet
    """
    side = (1.55 * ACRE) ** 0.5
    pond = Pond(side, side, 0.0)
    start = 8.0 * ACRE * FOOT
    (year,) = balance(pond, 3.0, 3.3, start, [Step("year", 0.0, 14.62 * INCH, 67.36 * INCH)])
    assert (start - year.end) / (ACRE * FOOT) == pytest.approx(52.74 / 12 * 1.55, abs=0.005)


def test_peak_flow_of_a_hectare() -> None:
    """C 0.9, 50 mm/h on 1 ha: 0.125 m3/s.

    Known: CALC
    Tolerance: rounding
    """
    assert peak([Surface("pad", 10_000.0, coefficient=0.9)], 50.0) == pytest.approx(0.125)


def test_peak_flow_in_acres_and_inches_is_nearly_c_i_a__rational_method() -> None:
    """2 acres of roof under 3 in/h: 0.95 x 3 x 2 = 5.7 ft3/s; the true factor is 1.008.

    Known: CALC
    Tolerance: 1 %
    """
    roof = Surface("roof", 2 * ACRE, coefficient=grounds()["roof"].coefficient)
    assert peak([roof], 3 * INCH) / FOOT**3 == pytest.approx(5.7, rel=0.01)
