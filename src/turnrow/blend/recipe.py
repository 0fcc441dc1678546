"""What a search for a recipe gives back."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from turnrow.blend.chance import Chances
from turnrow.blend.mixing import Mix

Status = Literal["optimal", "infeasible", "limit"]


@dataclass(frozen=True)
class Tie:
    """Another plan, nearly as cheap: loads by name, what it costs more, its joint chance."""

    loads: Mapping[str, int]
    mass_kg: Mapping[str, float]
    more_cost: float
    joint: float | None


@dataclass(frozen=True)
class Recipe:
    """status   optimal: no plan is cheaper; infeasible: no plan holds; limit: the search ended first
    loads, mass_kg   by name, loads of those taken in whole loads alone; empty without a plan
    far      mean of the worst outcomes outside, in widths, where it was limited
    why      what stands in the way, or how far the search came; empty where there is nothing to say
    """

    status: Status
    loads: Mapping[str, int]
    mass_kg: Mapping[str, float]
    water_kg: float
    mix: Mix | None
    cost: float | None
    chances: Chances | None
    far: float | None = None
    near_ties: tuple[Tie, ...] = ()
    warnings: tuple[str, ...] = ()
    why: str = ""

    @property
    def found(self) -> bool:
        return bool(self.mass_kg)
