"""Chances of normal limits to fail together: a quick bound that spares drawing hopeless plans."""

import math

import numpy as np

from turnrow.blend.limits_linear import Floats

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(10)
_PLACES = (_NODES + 1) / 2
_ROOM = 1e-12
_erfc = np.frompyfunc(math.erfc, 1, 1)


def tail(h: Floats) -> Floats:
    """P(Z > h) of a standard normal."""
    return np.asarray(0.5 * _erfc(h / math.sqrt(2)), dtype=float)


def joint_at_most(mean: Floats, covariance: Floats, groups: list[int]) -> Floats:
    """At most how likely every g <= 0 is, for plans with normal g: mean (plans, limits), covariance
    (plans, limits, limits). Limits of one group never fail together (the two sides of a range).

        P(any fails) >= sum_i P_i - sum_{i<j} P_ij
    """
    deviation = np.sqrt(np.clip(np.diagonal(covariance, axis1=1, axis2=2), 1e-30, None))
    h = np.clip(-mean / deviation, -38.0, 38.0)
    fails = tail(h)
    found = fails.sum(axis=1)
    matter = np.flatnonzero((fails > 1e-5).any(axis=0))
    pairs = [(i, j) for n, i in enumerate(matter) for j in matter[n + 1 :] if groups[i] != groups[j]]
    if pairs:
        i, j = np.array(pairs).T
        rho = covariance[:, i, j] / (deviation[:, i] * deviation[:, j])
        found = found - _both(h[:, i], h[:, j], rho, fails[:, i] * fails[:, j]).sum(axis=1)
    least = fails.max(axis=1, initial=0.0)  # with three at once the sum above may fall below one alone
    return np.asarray(1 - np.maximum(found, least))


def _both(h: Floats, k: Floats, rho: Floats, apart: Floats) -> Floats:
    """P(X > h, Y > k) of standard normals correlated by rho; all of one shape. `apart` is the chance of the
    two were they not correlated, Q(h) Q(k).

        P = Q(h) Q(k) + int_0^rho exp(-(h^2 - 2 r h k + k^2) / (2 (1 - r^2))) / (2 pi sqrt(1 - r^2)) dr

    Source: plackett-1954 (MEMORY); r = sin a, as Drezner & Wesolowsky 1990 put it (MEMORY).
    """
    top = np.arcsin(np.clip(rho, -1 + _ROOM, 1 - _ROOM))
    a = top[..., None] * _PLACES
    h_, k_ = h[..., None], k[..., None]
    sine = np.sin(a)
    inside = np.exp((2 * sine * h_ * k_ - (h * h + k * k)[..., None]) / (2 - 2 * sine * sine))
    found = apart + top * (inside @ _WEIGHTS) / (4 * math.pi)
    return np.asarray(np.clip(found, 0.0, 1.0))
