"""What a load of each offer brings in every outcome, drawn in stages that follow one another.

A stage goes on where the one before ended, so that a plan looked at closely is never drawn twice. The same
seed gives the same numbers for every plan.
"""

from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.ingredient import Spread
from turnrow.blend.problem import Offer

STAGES = (
    0,
    2_000,
    *range(10_000, 160_001, 10_000),
)  # outcomes after each stage; small ones stay in the cache
NORMALS = 10  # numbers drawn for an offer in each outcome
Singles = NDArray[np.float32]


def stages(draws: int) -> list[tuple[int, int]]:
    """(stage, outcomes of it) that make up the first `draws` outcomes. ValueError: more than are drawn."""
    if not 0 < draws <= STAGES[-1]:
        raise ValueError(f"{draws} outcomes, want 1 to {STAGES[-1]}")
    ends = enumerate(pairwise(STAGES))
    return [(n, min(draws, end) - start) for n, (start, end) in ends if draws > start]


def brought(offer: Offer, seed: int, key: int, stage: int) -> Singles:
    """Volume, mass, water, nitrogen and carbon of one load given its lot, and what a load's own errors add
    where there are any. Shape (1 or 2, 5, outcomes of the stage)."""
    z = _normals(seed, key, stage)
    what, load = offer.what, offer.load
    own = offer.load_m3 is not None and load != Spread(corr_c_n=load.corr_c_n)
    found = np.empty((1 + own, 5, z.shape[1]), dtype=np.float32)
    volume, kg, water, nitrogen, carbon = found[0]
    size = _together(offer.lot, offer.load) if offer.load_m3 is None else offer.lot
    density = _about(what.density or 0.0, size.density, z[3])
    moisture = _about(what.moisture_wet, size.moisture_wet, z[0])
    n = _about(what.n_dry, size.n_dry, z[1])
    c = _about(what.c_dry, size.c_dry, _beside(size.corr_c_n, z[1], z[2]))
    if offer.load_m3 is not None:
        volume[:] = _about(offer.load_m3, offer.load_m3 * size.fill, z[4])
        np.multiply(volume, density, out=kg)
    else:
        kg[:] = offer.unit_kg
        volume[:] = kg / density if what.density else 0.0
    np.multiply(kg, moisture, out=water)
    dry = kg - water
    np.multiply(dry, n, out=nitrogen)
    np.multiply(dry, c, out=carbon)
    if own and offer.load_m3 is not None:
        more_volume, more_kg, more_water, more_n, more_c = found[1]
        np.multiply(z[9], offer.load_m3 * load.fill, out=more_volume)
        np.multiply(more_volume, density, out=more_kg)
        if load.density:
            more_kg += volume * (load.density * z[8])
        np.multiply(more_kg, moisture, out=more_water)
        if load.moisture_wet:
            more_water += kg * (load.moisture_wet * z[5])
        more_dry = more_kg - more_water
        np.multiply(more_dry, n, out=more_n)
        np.multiply(more_dry, c, out=more_c)
        if load.n_dry:
            more_n += dry * (load.n_dry * z[6])
        if load.c_dry:
            more_c += dry * (load.c_dry * _beside(load.corr_c_n, z[6], z[7]))
    return found


@lru_cache(maxsize=512)
def _normals(seed: int, key: int, stage: int) -> Singles:
    own = np.random.default_rng((seed, key, stage))
    found = own.standard_normal((NORMALS, STAGES[stage + 1] - STAGES[stage]), dtype=np.float32)
    found.flags.writeable = False
    return found


def _beside(rho: float, first: Singles, second: Singles) -> Singles:
    """A normal that goes with `first` by the correlation rho."""
    return rho * first + float(np.sqrt(1 - rho * rho)) * second if rho else second


def _about(mean: float, deviation: float, z: Singles) -> Singles | np.float32:
    return deviation * z + mean if deviation else np.float32(mean)


def _together(lot: Spread, load: Spread) -> Spread:
    """Both errors as one, for an offer taken in any amount."""
    n, c = np.hypot(lot.n_dry, load.n_dry), np.hypot(lot.c_dry, load.c_dry)
    both = lot.corr_c_n * lot.n_dry * lot.c_dry + load.corr_c_n * load.n_dry * load.c_dry
    return Spread(
        moisture_wet=float(np.hypot(lot.moisture_wet, load.moisture_wet)),
        n_dry=float(n),
        c_dry=float(c),
        density=float(np.hypot(lot.density, load.density)),
        corr_c_n=float(both / (n * c)) if n * c > 0 else 0.0,
    )
