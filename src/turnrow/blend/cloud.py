"""Likely outcomes of a recipe as points (moisture, C:N), load by load; and what a load more does.

Drawn the long way round, so that it also checks the quicker figures of `chance`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.ingredient import Spread
from turnrow.blend.mixing import mix
from turnrow.blend.problem import Offer, Problem
from turnrow.blend.recipe import Recipe

Floats = NDArray[np.float64]
DRAWS = 400
MOISTURE_MOST = 0.99
LEAST = 0.02  # of a mean: nothing is drawn below it


@dataclass(frozen=True)
class Move:
    """Where the mix goes with one load (one tonne where any amount may be taken) more of a material."""

    name: str
    loads: bool
    moisture_wet: float
    cn: float


def cloud(problem: Problem, recipe: Recipe, seed: int = 0, draws: int = DRAWS) -> Floats:
    """Moisture (wet fraction) and C:N of `draws` outcomes of a recipe that was found. Shape (draws, 2)."""
    rng = np.random.default_rng((seed, 4))
    totals = np.zeros((4, draws))  # mass, water, nitrogen, carbon
    for offer in problem.offers:
        kg = recipe.mass_kg[offer.what.name]
        if kg > 0:
            totals += _brought(offer, kg, draws, rng)
    mass, water, nitrogen, carbon = totals
    added = recipe.water_kg
    return np.column_stack([(water + added) / (mass + added), carbon / np.maximum(nitrogen, 1e-12)])


def _brought(offer: Offer, kg: float, draws: int, rng: np.random.Generator) -> Floats:
    """Mass, water, nitrogen and carbon that an offer brings in each outcome. Shape (4, draws)."""
    what = offer.what
    count = max(1, round(kg / offer.unit_kg)) if offer.load_m3 is not None else 1
    lot = _errors(offer.lot, (draws, 1), rng)
    load = _errors(offer.load, (draws, count), rng)
    moisture, n, c, density, fill = (common + own for common, own in zip(lot, load, strict=True))
    wet = np.clip(what.moisture_wet + moisture, 0.0, MOISTURE_MOST)
    size = np.ones((draws, count))
    if offer.load_m3 is not None and what.density:
        size = np.maximum((1 + density / what.density) * (1 + fill), LEAST)
    each = kg / count * size
    dry = each * (1 - wet)
    nitrogen = dry * np.maximum(what.n_dry + n, LEAST * what.n_dry)
    carbon = dry * np.maximum(what.c_dry + c, LEAST * what.c_dry)
    return np.array([part.sum(axis=1) for part in (each, each * wet, nitrogen, carbon)])


def _errors(spread: Spread, shape: tuple[int, int], rng: np.random.Generator) -> tuple[Floats, ...]:
    """Errors of moisture, nitrogen, carbon, density, fill."""
    z = rng.standard_normal((5, *shape))
    rho = spread.corr_c_n
    beside = rho * z[1] + np.sqrt(1 - rho * rho) * z[2]
    sizes = (spread.moisture_wet, spread.n_dry, spread.c_dry, spread.density, spread.fill)
    return tuple(size * one for size, one in zip(sizes, (z[0], z[1], beside, z[3], z[4]), strict=True))


def moves(problem: Problem, recipe: Recipe, loads: int = 1) -> tuple[Move, ...]:
    """Where the mix of a recipe goes with `loads` more of each material on offer, each alone."""
    whats = [offer.what for offer in problem.offers]
    kg = [recipe.mass_kg[what.name] for what in whats]
    found = []
    for place, offer in enumerate(problem.offers):
        more = [*kg]
        more[place] += loads * offer.unit_kg
        then = mix(whats, more, recipe.water_kg, problem.shrink)
        found.append(Move(offer.what.name, offer.load_m3 is not None, then.moisture_wet, then.cn))
    return tuple(found)
