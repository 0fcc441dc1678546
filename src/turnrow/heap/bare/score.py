"""How good forecasts were: errors, the ranked probability score, coverage, skill; of numbers alone."""

import math

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]


def mean_absolute_error(forecast: Numbers, came: Numbers) -> float:
    """Mean of |forecast − came| over (n,) forecasts, in their unit. ValueError for none."""
    _some(forecast, came)
    return float(np.mean(np.abs(forecast - came)))


def crps_sample(sample: Numbers, came: float) -> float:
    """Continuous ranked probability score of an ensemble (m,) against what came; smaller is better.

        CRPS = mean|x_i − y| − ½ mean|x_i − x_j|

    The score of the sample's own step distribution, so that of a single value is its absolute error.
    Source: Gneiting & Raftery 2007, eq. 21 (MEMORY).
    """
    if not len(sample):
        raise ValueError("CRPS of a sample of 0, want at least 1")
    x, m = np.sort(sample), len(sample)
    spread = float(np.dot(2 * np.arange(1, m + 1) - m - 1, x)) / m**2
    return float(np.mean(np.abs(x - came))) - spread


def coverage(low: Numbers, high: Numbers, came: Numbers) -> float:
    """Share of (n,) values that came within low..high, both ends counted."""
    _some(low, came)
    return float(np.mean((low <= came) & (came <= high)))


def skill(score: float, reference: float) -> float:
    """1 − score / reference: 0.15 is 15 % better than the reference; 0 where the reference never missed
    and neither did the forecast, minus infinity where only the forecast missed."""
    if reference < 0 or score < 0:
        raise ValueError(f"scores {score} and {reference}, want none below 0")
    if reference == 0:
        return 0.0 if score == 0 else -math.inf
    return 1 - score / reference


def _some(forecast: Numbers, came: Numbers) -> None:
    if forecast.shape != came.shape or not forecast.size:
        raise ValueError(f"{forecast.size} forecasts for {came.size} values, want as many, at least 1")
