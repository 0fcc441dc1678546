"""What a recipe is asked for: materials on offer, limits of the mix, how much, how sure."""

from dataclasses import dataclass
from typing import Literal

from turnrow.blend.ingredient import Ingredient, Spread

Range = tuple[float, float]
NO_SPREAD = Spread()


@dataclass(frozen=True)
class Offer:
    """One material on offer, and how it may be taken.

    cost_per_t   price of a wet tonne at the row, 0 or more
    load_m3      taken in whole loads of this size; None: any amount
    loads        least and most whole loads; (0, None): as many as there are
    least_kg, stock_kg
                 at least and at most so much, as it lies
    lot, load    standard deviations: common to all loads of it; drawn anew for each load
    moisture_known, cn_known
                 False where the mix's moisture or C:N is not asked and cannot be said
    """

    what: Ingredient
    cost_per_t: float = 0.0
    load_m3: float | None = None
    loads: tuple[int, int | None] = (0, None)
    least_kg: float = 0.0
    stock_kg: float | None = None
    lot: Spread = NO_SPREAD
    load: Spread = NO_SPREAD
    moisture_known: bool = True
    cn_known: bool = True

    @property
    def unit_kg(self) -> float:
        """Mass of one load; of a tonne where any amount may be taken."""
        if self.load_m3 is None:
            return 1000.0
        if self.what.density is None:
            raise ValueError(f"{self.what.name}: loads of {self.load_m3} m3 without a density")
        return self.load_m3 * self.what.density

    @property
    def spread(self) -> bool:
        """Whether any of its numbers scatters."""
        scattered = ("moisture_wet", "n_dry", "c_dry", "density", "fill")
        return any(getattr(one, key) > 0 for one in (self.lot, self.load) for key in scattered)


@dataclass(frozen=True)
class Targets:
    """Limits of the mix: ranges low and high (equal: exactly so), fractions 0-1, density in kg/m3.

    fas_base_min   air space at the base of the heap as built, under its own weight, `height_m` high
    """

    cn: Range | None = None
    moisture_wet: Range | None = None
    fas_min: float | None = None
    density_max: float | None = None
    fas_base_min: float | None = None
    height_m: float = 0.0


@dataclass(frozen=True)
class Water:
    """Water added to the mix: never, only where no plan does without, or wherever it is cheaper."""

    when: Literal["never", "needed", "any"] = "needed"
    cost_per_t: float = 0.0
    most_kg: float | None = None


@dataclass(frozen=True)
class FarOutside:
    """The mean of the worst `share` of outcomes may lie at most `widths` outside a limit, counted in
    widths of its range (without one: tenths of the limit)."""

    share: float = 0.1
    widths: float = 0.5


@dataclass(frozen=True)
class Problem:
    """A recipe asked for.

    total_kg or total_m3   at least so much; exactly so where every material may be taken in any amount
    confidence             chance asked that all limits hold together; None: on the means alone
    shrink                 share of the volume lost as fines fill the voids of the coarse parts
    """

    offers: tuple[Offer, ...]
    targets: Targets
    total_kg: float | None = None
    total_m3: float | None = None
    confidence: float | None = None
    water: Water = Water()
    shrink: float = 0.0
    far: FarOutside | None = None

    @property
    def spread(self) -> bool:
        return any(offer.spread for offer in self.offers)
