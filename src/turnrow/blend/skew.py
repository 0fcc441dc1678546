"""How far the limits' tails lie from normal, so that a search in standard deviations fits the drawing."""

from dataclasses import replace
from statistics import NormalDist

import numpy as np

from turnrow.blend.chance import FULL, Outcomes
from turnrow.blend.cones import cone, tangents, tightened
from turnrow.blend.limits_linear import Floats
from turnrow.blend.program import Columns

LEAST_Z = 0.5  # below, a tail's distance says nothing of its width
WIDEST = 1.5  # times wider or narrower than normal, at most


def fitted(columns: Columns, outcomes: Outcomes, z: float) -> tuple[Columns, list[Floats]]:
    """The columns with each limit's deviations scaled so that its drawn tail begins z of them from its
    mean, as seen at the cheapest mix that the limits' normal margins allow; and cuts to begin a search
    with. Products of wet and dry shares lean to one side; the lean changes slowly from plan to plan."""
    if z < LEAST_Z or not len(columns.limits):
        return columns, []
    margins = np.where(columns.exact, 0.0, z)
    solved, _, _ = tightened(columns, margins)
    if not len(solved.x):
        return columns, []
    scale = _tails(columns, outcomes, solved.x, z)
    square = scale[:, None] ** 2
    lot, load = (one * np.outer(scale, scale) for one in columns.spread)
    found = replace(columns, lot=columns.lot * square, load=columns.load * square, spread=(lot, load))
    return found, tangents(found, cone(found), solved.x, margins)


def _tails(columns: Columns, outcomes: Outcomes, x: Floats, z: float) -> Floats:
    """Drawn over normal distance of each limit's tail from its mean. Shape (limits,)."""
    n = columns.offers
    scale = np.ones(len(columns.limits))
    deviation = columns.deviation(x) * columns.scale
    mean = columns.mean(x) * columns.scale
    near = [k for k in np.flatnonzero(deviation > 0) if mean[k] > -(2 * z + 1) * deviation[k]]
    if not near:
        return scale
    place = min(round(NormalDist().cdf(z) * FULL), FULL - 1)
    water = float(x[n:].sum()) * 1000
    drawn = outcomes.outside(x[:n], water, FULL, [int(k) for k in near])
    for row, k in enumerate(near):
        at = float(np.partition(drawn[row], place)[place])
        scale[k] = np.clip((at - mean[k]) / (z * deviation[k]), 1 / WIDEST, WIDEST)
    return scale
