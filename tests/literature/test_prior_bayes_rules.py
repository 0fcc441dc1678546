"""A normal belief with known variance, updated by samples: a textbook's worked result.

Source: Johnson, Ott and Dogucu, Bayes Rules! (2022) ch. 5, as run in r4ds.github.io/bookclub-bayes_rules
Known: READ
"""

import pytest

from turnrow.blend.prior import Belief, shrunk


def test_normal_normal__bayes_rules_ch5() -> None:
    """Prior N(6.5, 0.4), 25 samples of mean 5.735 and deviation 0.5: 5.78, variance 0.009411765.

    Tolerance: 0.005 for the mean; half of the last printed digit for variance and deviation
    """
    got = shrunk(Belief("density", 6.5, 0.4), 5.735, 0.5, 25)
    assert got.mean == pytest.approx(5.78, abs=0.005)
    assert got.deviation**2 == pytest.approx(0.009411765, abs=5e-10)
    assert got.deviation == pytest.approx(0.09701425, abs=5e-9)
