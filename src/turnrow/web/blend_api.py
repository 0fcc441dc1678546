"""POST /api/blend: the desk command's question and answer, as JSON."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from turnrow.foreman.recipes import answered, as_keys
from turnrow.gate.recipe_file import read_recipe
from turnrow.gate.recipe_text import toml_of
from turnrow.handbook.feedstocks import feedstocks
from turnrow.web.api import WRONG

MOST = 60  # ingredients at once; a longer list is for the desk command
NAME = "the recipe"
router = APIRouter(prefix="/api", responses={k: WRONG[k] for k in (400, 422)}, tags=["blend"])

Share = Annotated[float, Field(ge=0, le=100)]
Amount = Annotated[float, Field(ge=0, le=100_000)]
Above = Annotated[float, Field(gt=0, le=100_000)]
Pair = Annotated[list[Amount], Field(min_length=2, max_length=2)]
Weights = Annotated[list[Above], Field(min_length=1, max_length=12)]
Key = Annotated[str, Field(max_length=60)]


class Asked(BaseModel):
    model_config = ConfigDict(extra="forbid")


class SpreadIn(Asked):
    """Standard deviations, in the key's own unit."""

    moisture_pct: Share | None = None
    n_pct_dry: Share | None = None
    c_pct_dry: Share | None = None
    bulk_density_kg_m3: Annotated[float, Field(ge=0, le=2_000)] | None = None
    fill_pct: Share | None = None
    corr_c_n: Annotated[float, Field(ge=-1, le=1)] | None = None


class IngredientIn(Asked):
    """A name of the handbook alone, or with numbers of its own."""

    name: Annotated[str, Field(min_length=1, max_length=80)]
    moisture_pct: Share | None = None
    n_pct_dry: Share | None = None
    c_pct_dry: Share | None = None
    cn: Annotated[float, Field(gt=0, le=2_000)] | None = None
    bulk_density_kg_m3: Annotated[float, Field(gt=0, le=2_500)] | None = None
    organic_matter_pct_dry: Share | None = None
    pail_l: Above | None = None
    pail_empty_kg: Amount | None = None
    pail_full_kg: Weights | None = None
    wet_g: Weights | None = None
    dry_g: Weights | None = None
    cup_g: Amount | None = None
    ash_pct_dry: Share | None = None
    basis: Literal["dry", "as received"] | None = None
    form: Key | None = None
    cost_per_t: Amount | None = None
    load_m3: Annotated[float, Field(ge=0.1, le=100)] | None = None
    loads: Annotated[list[Annotated[int, Field(ge=0, le=500)]], Field(min_length=2, max_length=2)] | None = (
        None
    )
    stock_t: Above | None = None
    at_least_t: Amount | None = None
    sd_lot: SpreadIn | None = None
    sd_load: SpreadIn | None = None


class TargetsIn(Asked):
    """Pairs are low and high; the same twice is an exact target."""

    cn: Pair | None = None
    moisture_pct: Pair | None = None
    fas_pct_min: Annotated[float, Field(ge=0, lt=100)] | None = None
    fas_base_pct_min: Annotated[float, Field(ge=0, lt=100)] | None = None
    bulk_density_kg_m3_max: Annotated[float, Field(gt=0, le=2_500)] | None = None


class FarIn(Asked):
    """In the mean, the worst share of outcomes may lie so many widths of a range outside it."""

    worst: Annotated[float, Field(gt=0, le=0.5)]
    widths: Annotated[float, Field(gt=0, le=100)]


class BucketTestIn(Asked):
    """Litres of the parts measured apart, and of their mix."""

    parts_l: Weights
    mix_l: Above


class RecipeIn(Asked):
    """A recipe asked for, in the keys of `turnrow blend`."""

    total_t: Annotated[float, Field(gt=0, le=2_000)] | None = None
    total_m3: Annotated[float, Field(gt=0, le=4_000)] | None = None
    confidence: Annotated[float, Field(ge=0.5, lt=1)] | None = None
    targets: TargetsIn | None = None
    ingredient: Annotated[list[IngredientIn], Field(min_length=1, max_length=MOST)]
    water: Literal["needed", "never", "any"] | None = None
    shrink: Annotated[float, Field(ge=0, le=0.5)] | None = None
    bucket_test: Annotated[list[BucketTestIn], Field(min_length=1, max_length=12)] | None = None
    section_m2: Above | None = None
    height_m: Annotated[float, Field(gt=0, le=30)] | None = None
    far_outside: FarIn | None = None
    seed: Annotated[int, Field(ge=0, le=1_000_000, description="The same seed, the same answer")] = 0


class MixOut(BaseModel):
    """On the means; None where it cannot be said."""

    moisture_pct: float | None
    cn: float | None
    bulk_density_kg_m3: float | None
    fas_pct: float | None
    fas_pct_conservative: float | None


class ChanceOut(BaseModel):
    moisture: float | None
    cn: float | None
    fas: float | None
    bulk_density: float | None
    joint: float | None


class TieOut(BaseModel):
    loads: dict[str, int]
    mass_t: dict[str, float]
    more_cost: float
    joint: float | None


class LayerOut(BaseModel):
    step: int
    ingredient: str
    loads: int | None
    tonnes: float
    times: int
    what: str


class PurchaseOut(BaseModel):
    ingredient: str
    t: float
    side: str
    loads: int | None = None
    load_m3: float | None = None
    chance: float | None = None


class RecipeOut(BaseModel):
    status: Literal["optimal", "infeasible", "limit"]
    loads: dict[str, int]
    mass_t: dict[str, float]
    water_t: float
    mix: MixOut
    cost: float | None
    chance: ChanceOut
    far_outside_widths: float | None
    warnings: list[str]
    why: str
    near_ties: list[TieOut]
    layers: list[LayerOut]
    total_t: float | None
    volume_m3: float | None
    row_length_m: float | None
    draws: int | None
    conflict: list[str] = []
    purchases: list[PurchaseOut] = []


@router.post("/blend")
def blend(recipe: RecipeIn) -> RecipeOut:
    """The cheapest mix that holds its limits, or why there is none. Nothing is written."""
    raw: dict[str, Any] = recipe.model_dump(exclude_none=True, exclude={"seed"})
    asked = read_recipe(toml_of(raw).encode(), NAME, feedstocks())
    return RecipeOut.model_validate(as_keys(answered(asked, recipe.seed)))
