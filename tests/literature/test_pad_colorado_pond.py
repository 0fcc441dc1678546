"""A pond of a reclamation permit, against what its file prints.

Source: Colorado DRMS, permit file 504003, Area 2, Pond 2, dnrweblink.state.co.us
Known: READ
"""

import pytest

from turnrow.handbook.figures import pond_figures
from turnrow.pad.runoff import Surface, shed

ACRE, FOOT, INCH = 4046.8564224, 0.3048, 25.4


def test_runoff_and_volume_of_5_acres_under_1_8_inches__colorado_504003() -> None:
    """Curve number 85: 0.65 in, and 0.2773 acre-feet from 5.12 acres.

    Tolerance: half of the last printed digit; 0.5 % of the volume, printed from the rounded depth
    """
    found = shed([Surface("basin", 5.12 * ACRE, 85.0)], 1.8 * INCH, pond_figures())
    assert found.depth / INCH == pytest.approx(0.65, abs=0.005)
    assert found.total / (ACRE * FOOT) == pytest.approx(0.2773, rel=0.005)
