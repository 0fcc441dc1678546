"""How what a load brings scatters: exact means and covariances of products of independent normals."""

import numpy as np

from turnrow.blend.ingredient import Spread
from turnrow.blend.limits_linear import Floats, Limit, parts
from turnrow.blend.problem import Offer


def variances(offers: tuple[Offer, ...], limits: tuple[Limit, ...]) -> tuple[Floats, Floats]:
    """Covariance of the limits' g per offer: of the lot, common to all loads (n loads: n^2 times), and of
    single loads (n loads: n times). An offer taken in any amount is one load: its lot's holds both. Two
    arrays (offers, limits, limits).

        Var sum = n^2 (E[(E[b|lot])^2] - (E b)^2) + n (E[b^2] - E[(E[b|lot])^2])
    """
    n, k = len(offers), len(limits)
    rates = np.array([limit.rates for limit in limits]).reshape(k, n, 5).transpose(1, 0, 2)
    mean = np.array([parts(offer) for offer in offers])
    by_lot, by_both = _seconds(offers, mean, ("lot",)), _seconds(offers, mean, ("lot", "load"))
    loads = np.array([offer.load_m3 is not None for offer in offers])[:, None, None]
    lot = np.where(loads, by_lot, by_both) - mean[:, :, None] * mean[:, None, :]
    load = np.where(loads, by_both - by_lot, 0.0)
    found = []
    for one in (lot, load):
        covariance = rates @ one @ rates.transpose(0, 2, 1)
        own = np.arange(k)  # rounding may leave variances just below 0
        covariance[:, own, own] = np.clip(covariance[:, own, own], 0.0, None)
        found.append(covariance)
    return found[0], found[1]


def _seconds(offers: tuple[Offer, ...], mean: Floats, spreads: tuple[str, ...]) -> Floats:
    """E[b_p b_q] of one load of each, when its numbers scatter by all of `spreads`. Shape (offers, 5, 5)."""
    each = [[getattr(offer, one) for one in spreads] for offer in offers]
    fill, density, moisture, n2, c2, nc2 = np.array(
        [[sum(values) for values in zip(*map(_squares, own), strict=True)] for own in each]
    ).T
    whats = [offer.what for offer in offers]
    m, n, c, rho = (
        np.array([getattr(what, key) or 0.0 for what in whats])
        for key in ("moisture_wet", "n_dry", "c_dry", "density")
    )
    by_water = np.empty((len(offers), 5, 5))
    dry = slice(3, 5)
    by_water[:, :2, :2] = 1.0
    by_water[:, :2, 2] = by_water[:, 2, :2] = m[:, None]
    by_water[:, :2, dry] = by_water[:, dry, :2] = (1 - m)[:, None, None]
    by_water[:, 2, 2] = m * m + moisture
    by_water[:, 2, dry] = by_water[:, dry, 2] = (m - m * m - moisture)[:, None]
    by_water[:, dry, dry] = ((1 - m) ** 2 + moisture)[:, None, None]
    one = np.ones(len(offers))
    share = np.stack([one, one, one, n, c], axis=1)
    shares = share[:, :, None] * share[:, None, :]
    shares[:, 3, 3] += n2
    shares[:, 4, 4] += c2
    shares[:, 3, 4] += nc2
    shares[:, 4, 3] += nc2
    size = mean[:, [0, 1, 1, 1, 1]]
    sizes = size[:, :, None] * size[:, None, :]
    dense = np.where(rho > 0, 1 + density / np.where(rho > 0, rho, 1.0) ** 2, 1.0)
    whole = np.array([offer.load_m3 is not None for offer in offers])
    sizes[:, 0, 0] *= np.where(whole, 1.0, dense)  # of a tonne, the volume scatters and not the mass
    sizes[:, 1:, 1:] *= np.where(whole, dense, 1.0)[:, None, None]
    sizes *= np.where(whole, 1 + fill, 1.0)[:, None, None]
    found: Floats = sizes * by_water * shares
    return found


def _squares(one: Spread) -> tuple[float, ...]:
    """Variances of fill, density, moisture, nitrogen and carbon, and the last two's covariance."""
    both = one.corr_c_n * one.n_dry * one.c_dry
    return one.fill**2, one.density**2, one.moisture_wet**2, one.n_dry**2, one.c_dry**2, both
