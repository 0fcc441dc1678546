"""Of plans that cost the same, the one easiest at the loader."""

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.limits_linear import Floats

SAME = 1e-9  # of the cost: closer is the same cost
NEAR = 0.02  # of the cost: closer is a near-tie


def order(plans: Floats, cost: Floats) -> NDArray[np.int64]:
    """Places of the plans (plans, columns), the best first: cheapest; then fewest loads; then fewest
    materials; then the ratio in the smallest whole numbers (2:1 before 7:4); then as listed in the file."""
    price = plans @ cost
    step = SAME * max(1.0, float(np.abs(price).max(initial=0.0)))
    loads = plans.sum(axis=1)
    kinds = (plans > 0).sum(axis=1)
    whole = plans.astype(np.int64)
    common = np.gcd.reduce(whole, axis=1) if len(whole) else np.zeros(0, np.int64)
    ratio = loads / np.maximum(common, 1)
    keys = [*(-plans[:, ::-1]).T, ratio, kinds, loads, np.round(price / step)]
    return np.lexsort(keys)
