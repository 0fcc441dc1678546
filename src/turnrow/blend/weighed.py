"""What a yard weighs itself, several times over: the mean, how far the results lie apart, what to say."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

STEADY = 0.01  # of the dry mass, between the last two weighings; common practice, no source
APART = {
    "density": 0.10,
    "moisture": 0.03,
    "ash": 0.03,
}  # spread worth a second look: density of its mean. OWN
ENOUGH = 3  # weighings that tell a spread; OWN


@dataclass(frozen=True)
class Several:
    """Results of one thing measured several times; `sd` is the standard deviation of one, None with one."""

    each: tuple[float, ...]
    mean: float
    sd: float | None


def several(values: Sequence[float]) -> Several:
    """Mean and standard deviation (n - 1) of results. ValueError: none, or one that is not finite."""
    if not values or not all(math.isfinite(one) for one in values):
        raise ValueError(f"results {list(values)}, want at least 1, all finite")
    mean = math.fsum(values) / len(values)
    if len(values) == 1:
        return Several((values[0],), mean, None)
    squares = math.fsum((one - mean) ** 2 for one in values)
    return Several(tuple(values), mean, math.sqrt(squares / (len(values) - 1)))


def steady(first_g: float, again_g: float) -> bool:
    """Whether two weighings of a drying sample, net of its container, agree: no more water leaves it.

    Within a hundredth of the dry mass. ValueError: a mass not above 0.
    """
    if not (first_g > 0 and again_g > 0):
        raise ValueError(f"dry {first_g} g and {again_g} g, want both above 0")
    return abs(first_g - again_g) <= STEADY * again_g * (1 + 1e-9)


def ash_of_sample(dry_g: float, burnt_g: float) -> float:
    """Ash per dry mass of a dry sample weighed before and after it was burnt, net of its container.

        ash = burnt/dry                              what burnt is the organic (volatile) matter

    ValueError unless 0 <= burnt <= dry and dry > 0.
    """
    if not (dry_g > 0 and 0 <= burnt_g <= dry_g):
        raise ValueError(f"dry {dry_g} g and burnt {burnt_g} g, want dry above 0 and burnt no more than dry")
    return burnt_g / dry_g


def spread_words(kind: str, found: Several) -> str:
    """What to say of how far results of a `kind` ("density", "moisture", "ash") lie apart; often nothing."""
    size = found.mean if kind == "density" else 1.0
    if found.sd is not None and found.sd > APART[kind] * size * (1 + 1e-9):
        return "They lie far apart: look for a slip, mix the heap's grabs better, and weigh more of them."
    if len(found.each) < ENOUGH:
        return f"Weigh {ENOUGH}, each of its own grabs: fewer do not tell how far they lie apart."
    return ""
