"""Scores of forecasts against closed forms and values worked by hand.

Source: Gneiting & Raftery 2007, J Am Stat Assoc 102:359-378, section 4.2
Known: MEMORY
"""

import math

import numpy as np
import pytest
import scoringrules
from scipy.integrate import quad
from scipy.stats import norm

from turnrow.heap.bare.score import coverage, crps_sample, mean_absolute_error, skill

NORMALS = [(0.0, 1.0, 0.0), (55.0, 4.0, 61.3), (20.0, 0.5, 18.0), (-3.0, 12.0, 30.0)]


@pytest.mark.parametrize(("mean", "sd", "came"), NORMALS)
def test_crps_of_a_fine_sample_is_the_integral_that_defines_it(mean, sd, came):
    """99,999 even percentiles of a normal against the integral of (F(x) - 1{x >= y})² over x, by quadrature.

    Tolerance: 1e-4 of the standard deviation
    """
    sample = norm.ppf((np.arange(99_999) + 1) / 100_000, mean, sd)
    below, _ = quad(lambda x: norm.cdf(x, mean, sd) ** 2, mean - 40 * sd, came, limit=400, points=[mean])
    above, _ = quad(lambda x: norm.sf(x, mean, sd) ** 2, came, mean + 40 * sd, limit=400)
    assert crps_sample(sample, came) == pytest.approx(below + above, abs=1e-4 * sd)


@pytest.mark.parametrize(("mean", "sd", "came"), NORMALS)
def test_crps_of_a_fine_sample_is_a_librarys_of_the_normal(mean, sd, came):
    """99,999 even percentiles of a normal against scoringrules' closed form.

    Source: scoringrules, an independent library
    Known: READ
    Tolerance: 1e-4 of the standard deviation
    """
    sample = norm.ppf((np.arange(99_999) + 1) / 100_000, mean, sd)
    known = float(scoringrules.crps_normal(came, mean, sd))
    assert crps_sample(sample, came) == pytest.approx(known, abs=1e-4 * sd)


def test_crps_of_samples_is_a_librarys():
    """Two hundred samples of 1 to 120 values, drawn skew and with ties, against scoringrules' energy form.

    Source: scoringrules, an independent library
    Known: READ
    Tolerance: 1e-9 of the score
    """
    r = np.random.default_rng(4)
    for size in r.integers(1, 121, 200):
        sample, came = np.round(40 + r.gamma(2.0, 6.0, size), 1), float(np.round(r.normal(50, 10), 1))
        known = float(scoringrules.crps_ensemble(came, sample, estimator="nrg"))
        assert crps_sample(sample, came) == pytest.approx(known, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("came", [20.0, 48.0, 52.0, 55.0, 80.0])
def test_crps_of_percentiles_is_twice_their_mean_pinball_loss(came):
    """99 values as the middles of 99 even parts of the odds, against scoringrules' quantile form.

    Source: scoringrules, an independent library
    Known: READ
    Tolerance: 1e-9 of the score
    """
    percentiles = np.sort(np.random.default_rng(6).gamma(9.0, 6.0, 5000))[49:4999:50]
    known = float(scoringrules.crps_quantile(came, percentiles, (np.arange(99) + 0.5) / 99))
    assert crps_sample(percentiles, came) == pytest.approx(known, rel=1e-9)


@pytest.mark.parametrize(
    ("sample", "came", "by_hand"), [([4.0], 7.0, 3.0), ([0, 2], 1, 0.5), ([1, 2, 6], 3, 8 / 9)]
)
def test_crps_of_small_samples_worked_by_hand(sample, came, by_hand):
    """mean|x − y| − ½ mean|x − x'|: one value 3; 1 − ½·1; (2 + 1 + 3)/3 − ½·(2·(1 + 5 + 4))/9 = 2 − 10/9.

    Known: CALC
    Tolerance: 1e-12
    """
    assert crps_sample(np.array(sample, dtype=float), came) == pytest.approx(by_hand, abs=1e-12)


def test_errors_coverage_and_skill_worked_by_hand():
    """Errors 1, 2 and 3 make 2; two of three within; 2 against 4 is half better.

    Known: CALC
    Tolerance: 1e-12
    """
    forecast, came = np.array([10.0, 20.0, 30.0]), np.array([11.0, 18.0, 33.0])
    assert mean_absolute_error(forecast, came) == pytest.approx(2.0, abs=1e-12)
    assert coverage(forecast - 2, forecast + 2, came) == pytest.approx(2 / 3, abs=1e-12)
    assert skill(2.0, 4.0) == pytest.approx(0.5, abs=1e-12)
    assert skill(0.0, 0.0) == 0.0
    assert skill(1.0, 0.0) == -math.inf


def test_scores_of_nothing_are_refused():
    """No forecast has no score.

    Known: CALC
    """
    none = np.zeros(0)
    for call in (
        lambda: mean_absolute_error(none, none),
        lambda: coverage(none, none, none),
        lambda: crps_sample(none, 1.0),
        lambda: skill(-1.0, 2.0),
    ):
        with pytest.raises(ValueError, match="want"):
            call()
