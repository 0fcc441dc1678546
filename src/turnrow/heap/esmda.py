"""Ensemble smoother with multiple data assimilation: many guesses drawn towards what was read.

Source: Emerick & Reynolds 2013, Computers & Geosciences 55:3-15 (MEMORY); the inversion in the
directions of most of the scaled spread after Evensen 2004 (MEMORY).
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
ALPHAS = (24.0, 12.0, 8.0, 6.0, 4.0, 3.0)  # their inverses sum to 1; gently first: a heap may catch late
KEPT = 0.999  # of the spread's energy that is inverted


def step(guess: Floats, seen: Floats, read: Floats, root: Floats, alpha: float, drawn: Floats) -> Floats:
    """The guesses after one assimilation.

    guess  (p, n) parameters, one column a member
    seen   (m, n) what each member says was to be read
    read   (m,) what was read
    root   (m, m) Cholesky factor of the covariance of what is wrong with a reading or with the model
    alpha  inflation of that covariance; inverses of all steps sum to 1
    drawn  (m, n) standard normals
    """
    n = guess.shape[1]
    missing = np.linalg.solve(root, read[:, None] - seen) + np.sqrt(alpha) * drawn
    spread = np.linalg.solve(root, seen - seen.mean(axis=1, keepdims=True)) / np.sqrt(n - 1)
    energy, way = np.linalg.eigh(spread @ spread.T)
    energy, way = energy[::-1], way[:, ::-1]
    kept = int(np.searchsorted(np.cumsum(energy), KEPT * energy.sum())) + 1
    energy, way = energy[:kept], way[:, :kept]
    apart = (guess - guess.mean(axis=1, keepdims=True)) / np.sqrt(n - 1)
    gain = (apart @ (spread.T @ way)) / (energy + alpha)
    return np.asarray(guess + gain @ (way.T @ missing))
