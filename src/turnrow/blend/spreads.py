"""How what a load brings scatters: exact means and covariances of products of independent normals."""

from dataclasses import dataclass

import numpy as np

from turnrow.blend.ingredient import Spread
from turnrow.blend.limits_linear import Floats, Limit, parts
from turnrow.blend.problem import Offer


@dataclass(frozen=True, eq=False)
class Scatter:
    """Covariances (5, 5) of the parts of `limits_linear`, per load: of the lot, common to all loads
    (n loads: n^2 times), and of single loads (n loads: n times). An offer taken in any amount is one
    load: its lot's covariance holds both."""

    lot: Floats
    load: Floats


def scatter(offer: Offer) -> Scatter:
    """Lot and load covariance.  Var sum = n^2 (E[(E[b|lot])^2] - (E b)^2) + n (E[b^2] - E[(E[b|lot])^2])"""
    mean = parts(offer)
    lot, whole = _second(offer, (offer.lot,)), _second(offer, (offer.lot, offer.load))
    if offer.load_m3 is None:
        return Scatter(whole - np.outer(mean, mean), np.zeros((5, 5)))
    return Scatter(lot - np.outer(mean, mean), whole - lot)


def _second(offer: Offer, spreads: tuple[Spread, ...]) -> Floats:
    """E[b_p b_q] of one load, when its numbers scatter by all of `spreads`. Shape (5, 5)."""
    what = offer.what
    fill, density, moisture, n, c = (
        sum(getattr(s, key) ** 2 for s in spreads)
        for key in ("fill", "density", "moisture_wet", "n_dry", "c_dry")
    )
    both = sum(s.corr_c_n * s.n_dry * s.c_dry for s in spreads)
    m = what.moisture_wet
    wet, dry, mixed = m * m + moisture, (1 - m) ** 2 + moisture, m - m * m - moisture
    by_water = np.array(
        [
            [1, 1, m, 1 - m, 1 - m],
            [1, 1, m, 1 - m, 1 - m],
            [m, m, wet, mixed, mixed],
            [1 - m, 1 - m, mixed, dry, dry],
            [1 - m, 1 - m, mixed, dry, dry],
        ]
    )
    nc = np.ones((5, 5))
    nc[3, :], nc[:, 3] = what.n_dry, what.n_dry
    nc[4, :], nc[:, 4] = what.c_dry, what.c_dry
    nc[3, 3], nc[4, 4] = what.n_dry**2 + n, what.c_dry**2 + c
    nc[3, 4] = nc[4, 3] = what.n_dry * what.c_dry + both
    volume, kg = parts(offer)[:2]
    size = np.full(5, kg)
    size[0] = volume
    sizes = np.outer(size, size)
    if offer.load_m3 is None:
        if what.density:
            sizes[0, 0] *= 1 + density / what.density**2
        return np.asarray(sizes * by_water * nc)
    if what.density:
        sizes[1:, 1:] *= 1 + density / what.density**2
    return np.asarray((1 + fill) * sizes * by_water * nc)


def variances(offers: tuple[Offer, ...], limits: tuple[Limit, ...]) -> tuple[Floats, Floats]:
    """Covariance of the limits' g per offer: lot and load. Two arrays (offers, limits, limits)."""
    found = [scatter(offer) for offer in offers]
    lots, loads = [], []
    for i, one in enumerate(found):
        rates = np.array([limit.rates[i] for limit in limits]).reshape(len(limits), 5)
        lots.append(rates @ one.lot @ rates.T)
        loads.append(rates @ one.load @ rates.T)
    for one in (*lots, *loads):
        np.fill_diagonal(one, np.clip(one.diagonal(), 0.0, None))  # rounding may leave them just below 0
    return np.array(lots), np.array(loads)
