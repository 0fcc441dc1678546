"""All that a recipe's page and paper say, as plain arguments, gathered by whoever asked."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from turnrow.blend.explain import Explanation
from turnrow.blend.layers import Layer
from turnrow.blend.problem import Problem
from turnrow.blend.recipe import Recipe
from turnrow.blend.used import Used


@dataclass(frozen=True, eq=False)
class RecipePaper:
    """told, reachable  only without a plan: what stands in the way, the chance some plan has
    used             every number of every material with where it comes from
    sources          key -> title and place, for the sources of `used`
    unsaid           of the mix what cannot be said: moisture, cn, fas
    unturned         nobody will turn the row: its air space is looked at more closely
    made             the paper's own date
    """

    problem: Problem
    recipe: Recipe
    layers: tuple[Layer, ...]
    told: Explanation | None
    reachable: float | None
    used: tuple[Used, ...]
    sources: Mapping[str, str]
    edition: str
    made: datetime
    seed: int = 0
    notices: tuple[str, ...] = ()
    unsaid: frozenset[str] = frozenset()
    length_m: float | None = None
    height_m: float | None = None
    unturned: bool = False
    yard: str = ""
    place: str = ""
    invented: bool = False
