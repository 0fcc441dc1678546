"""A recipe asked for and answered: the plan, or why there is none and what would mend it."""

from dataclasses import asdict, dataclass, replace
from typing import Any

from turnrow.blend.explain import Explanation, explain, reachable
from turnrow.blend.layers import Layer, layers
from turnrow.blend.problem import Problem
from turnrow.blend.recipe import Recipe
from turnrow.blend.remedy import remedies
from turnrow.blend.sampled import lot_of
from turnrow.blend.solve import solve
from turnrow.gate.recipe_file import RecipeFile
from turnrow.handbook.feedstocks import feedstocks
from turnrow.records.recipe_words import purchase_words

BESIDE = 5  # near ties shown
HARDLY_EVER = 0.15  # chance of the plan on the means: below it no lower chance is sought (OWN)
CHANCES = ("moisture", "cn", "fas", "bulk_density", "joint")


@dataclass(frozen=True)
class Answered:
    """`told`, `reachable`: only where there is no plan; what stands in the way, and the chance that some
    plan holds."""

    asked: RecipeFile
    recipe: Recipe
    seed: int
    told: Explanation | None
    reachable: float | None
    layers: tuple[Layer, ...]

    @property
    def length_m(self) -> float | None:
        """Length of the row as built, where its section was given."""
        mix = self.recipe.mix
        if not self.asked.section_m2 or mix is None or mix.volume_m3 is None:
            return None
        return mix.volume_m3 / self.asked.section_m2

    @property
    def why(self) -> str:
        """What stands in the way, what chance could be had, and what purchase would mend it."""
        parts = [self.recipe.why] if self.told is None else [self.told.sentence()]
        if self.reachable is not None:
            parts.append(f"a plan holds with a chance of {100 * self.reachable:g} %")
        if self.told is not None and self.told.purchases:
            parts.append(f"it would be mended by {', or '.join(map(purchase_words, self.told.purchases))}")
        return ". ".join(parts)


def answered(asked: RecipeFile, seed: int = 0) -> Answered:
    """The answer to `asked`; the same seed, the same answer."""
    recipe = solve(asked.problem, seed, beside=BESIDE)
    told, lower = None, None
    if not recipe.found and _worth_asking(asked.problem, seed):
        lower = reachable(asked.problem, seed)
    if recipe.status == "infeasible":
        whole = [one for one in feedstocks().values() if "n, c or cn" not in one.missing]
        market = [lot_of(one, {}) for one in whole if "moisture" not in one.missing]
        spreads = {lot.ingredient.name: lot.spread for lot in market}
        told = explain(asked.problem, (), seed)
        bought = remedies(asked.problem, [lot.ingredient for lot in market], spreads, seed)
        told = replace(told, purchases=bought)
    return Answered(asked, recipe, seed, told, lower, layers(asked.problem, recipe))


def _worth_asking(problem: Problem, seed: int) -> bool:
    """Whether some lower chance may be had; the plan on the means is quickly found, and where even that
    hardly ever holds, the long search for a better one is spared."""
    if problem.confidence is None:
        return False
    means = solve(replace(problem, confidence=None), seed).chances
    return means is not None and (means.joint or 0.0) >= HARDLY_EVER


def as_keys(found: Answered) -> dict[str, Any]:
    """The answer as plain keys, those that checks rely on first."""
    recipe, unsaid = found.recipe, found.asked.unsaid
    mix, chances = recipe.mix, recipe.chances
    said: dict[str, float | None] = {
        "moisture_pct": None if mix is None or "moisture" in unsaid else 100 * mix.moisture_wet,
        "cn": None if mix is None or "cn" in unsaid or mix.n_kg <= 0 else mix.cn,
        "bulk_density_kg_m3": None if mix is None else mix.density,
        "fas_pct": _percent(None if mix is None or "fas" in unsaid else mix.fas),
        "fas_pct_conservative": _percent(None if mix is None or "fas" in unsaid else mix.fas_conservative),
    }
    more: dict[str, Any] = {}
    if found.told is not None:
        more["conflict"] = list(found.told.conflict)
        more["purchases"] = [
            {
                "ingredient": one.name,
                "t": one.least_kg / 1000,
                "side": one.side,
                "loads": one.loads,
                "load_m3": one.load_m3,
                "chance": one.chance,
            }
            for one in found.told.purchases
        ]
    return {
        "status": recipe.status,
        "loads": dict(recipe.loads),
        "mass_t": {name: kg / 1000 for name, kg in recipe.mass_kg.items()},
        "water_t": recipe.water_kg / 1000,
        "mix": said,
        "cost": recipe.cost,
        "chance": {name: None if chances is None else getattr(chances, name) for name in CHANCES},
        "far_outside_widths": recipe.far,
        "warnings": [*recipe.warnings, *found.asked.notices],
        "why": found.why,
        "near_ties": [
            {
                "loads": dict(tie.loads),
                "mass_t": {name: kg / 1000 for name, kg in tie.mass_kg.items()},
                "more_cost": tie.more_cost,
                "joint": tie.joint,
            }
            for tie in recipe.near_ties
        ],
        "layers": [asdict(one) for one in found.layers],
        "total_t": None if mix is None else mix.mass_kg / 1000,
        "volume_m3": None if mix is None else mix.volume_m3,
        "row_length_m": found.length_m,
        "draws": None if chances is None else chances.draws,
        **more,
    }


def _percent(share: float | None) -> float | None:
    return None if share is None else 100 * share
