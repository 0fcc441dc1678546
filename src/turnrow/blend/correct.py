"""After building: what a measurement says about the row, and what to add to the row that stands there."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from turnrow.blend.air_space import filled_volume
from turnrow.blend.basis import density_at
from turnrow.blend.closed_form import Impossible, two_for_cn, two_for_moisture
from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import Mix, mix
from turnrow.blend.prior import Belief, belief, update
from turnrow.blend.water import water_to_add, water_to_dry_off

LEVEL = 1e-9


@dataclass(frozen=True)
class Row:
    """The row as it is believed to be: what it is made of (as one ingredient), its mass [kg], and how
    unsure its moisture (fraction) and density [kg/m3] are."""

    made_of: Ingredient
    mass_kg: float
    moisture_sd: float
    density_sd: float


@dataclass(frozen=True)
class Window:
    """Low and high of moisture (wet fraction) and C:N; least free air space (fraction; 0: none asked)."""

    moisture_wet: tuple[float, float]
    cn: tuple[float, float]
    fas: float = 0.0


@dataclass(frozen=True)
class Plan:
    """What to add to the row as it stands. Masses in kg, as they lie; 0: none.

    water_kg        to put on at the next turn
    dry_stuff_kg    of the dry coarse material given
    nitrogen_kg     of the nitrogen-rich material given
    dry_off_kg      water that must leave by turning where no dry stuff can mend it
    short_n_kg      pure nitrogen missing where no such material was given
    before, after   the row, and the row with all that in it
    words           in the order in which to do it, and what could not be done
    """

    water_kg: float
    dry_stuff_kg: float
    nitrogen_kg: float
    dry_off_kg: float
    short_n_kg: float
    before: Mix
    after: Mix
    words: tuple[str, ...]


def built(recipe: Mix, moisture_sd: float, density_sd: float | None = None) -> Row:
    """A row just built to a recipe, as unsure as the recipe was; None: as unsure as books are."""
    if density_sd is None:
        density_sd = belief("density", recipe.density).sd if recipe.density else 0.0
    made_of = Ingredient(
        "the row", recipe.moisture_wet, recipe.n_dry, recipe.c_dry, recipe.om_dry, recipe.density
    )
    return Row(made_of, recipe.mass_kg, moisture_sd, density_sd)


def measured(
    row: Row,
    moisture_wet: Sequence[float] = (),
    density: Sequence[float] = (),
    within_moisture: float = 0.03,
    within_density: float = 0.10,
) -> Row:
    """The row after samples of moisture (wet fractions) or of density [kg/m3] have been weighed.

    The recipe's moisture and density are the prior, the samples pull them (see `prior.update`); the dry
    matter is what was put in, so mass and, unless weighed itself, density follow the water. `within_*`
    is how far single samples of one row lie apart (moisture in points as a fraction, density as a
    share): ASSUMED. Meant for the first turns, while little has rotted away.
    """
    wet = update(_known("moisture", row.made_of.moisture_wet, row.moisture_sd), moisture_wet, within_moisture)
    new = row.made_of.moisture_wet if not moisture_wet else wet.typical
    weight = row.made_of.density
    loose = Belief("density", 0.0, 0.0)
    if weight is not None:
        followed = density_at(weight, row.made_of.moisture_wet, new)
        loose = update(_known("density", followed, row.density_sd), density, within_density)
        weight = loose.typical
    elif density:
        loose = update(belief("density", math.fsum(density) / len(density)), density, within_density)
        weight = loose.typical
    mass = row.mass_kg * (1 - row.made_of.moisture_wet) / (1 - new)
    made_of = replace(row.made_of, moisture_wet=new, density=weight)
    return Row(made_of, mass, wet.sd, loose.sd if weight is not None else 0.0)


def corrective(
    row: Row, window: Window, dry_stuff: Ingredient | None = None, nitrogen: Ingredient | None = None
) -> Plan:
    """What brings the standing row into the window: additions only, never a new recipe.

    Dry coarse material first (for moisture, air space and a C:N too low, the largest of the three), then
    nitrogen for the C:N that leaves, then water for the moisture that leaves. A moisture outside the
    window is brought one standard deviation inside, so that the row is likely and not just possibly
    there; one inside, yet within a standard deviation of its edge, asks for another sample.
    """
    stuff_kg, words = _dry_stuff(row, window, dry_stuff)
    parts, masses = [row.made_of], [row.mass_kg]
    if dry_stuff is not None and stuff_kg > 0:
        parts, masses = [*parts, dry_stuff], [*masses, stuff_kg]
        words = [f"mix in {stuff_kg:,.0f} kg of {dry_stuff.name}", *words]
    rich_kg, short_kg, said = _nitrogen(mix(parts, masses), window, nitrogen)
    words += said
    if nitrogen is not None and rich_kg > 0:
        parts, masses = [*parts, nitrogen], [*masses, rich_kg]
    now = mix(parts, masses)
    low, high = _aim(row, window)
    dry, wet = now.moisture_wet < window.moisture_wet[0], now.moisture_wet > window.moisture_wet[1]
    water_kg = water_to_add(now.mass_kg, now.moisture_wet, low) if dry else 0.0
    if water_kg > 0:
        words.append(f"put on {water_kg:,.0f} kg of water at the next turn")
    dry_off = water_to_dry_off(now.mass_kg, now.moisture_wet, high) if wet else 0.0
    if dry_off > 0:
        words.append(f"{dry_off:,.0f} kg of water must leave: turn in dry weather, keep rain off")
    if not (dry or wet or low <= now.moisture_wet <= high):
        words.append(f"moisture {100 * now.moisture_wet:.0f} % is near the edge of its window: take a sample")
    after = mix(parts, masses, water_kg)
    if after.fas is not None and after.fas < window.fas - LEVEL and dry_stuff is not None:
        words.append(f"air space stays at {100 * after.fas:.0f} %: the water takes what the material gave")
    return Plan(
        water_kg, stuff_kg, rich_kg, dry_off, short_kg, mix(parts[:1], masses[:1]), after, tuple(words)
    )


def _aim(row: Row, window: Window) -> tuple[float, float]:
    low, high = window.moisture_wet
    margin = min(row.moisture_sd, (high - low) / 2)
    return low + margin, high - margin


def _dry_stuff(row: Row, window: Window, stuff: Ingredient | None) -> tuple[float, list[str]]:
    """Kilograms of dry coarse material, and what it cannot mend."""
    one, words = row.made_of, list[str]()
    asks: list[float] = []
    high = _aim(row, window)[1]
    cn = one.c_dry / one.n_dry if one.n_dry > 0 else math.inf
    thick = window.fas > 0 and _crowded(one, window.fas) > 0
    if stuff is None:
        if thick:
            words.append(
                f"air space is under {100 * window.fas:.0f} %: it takes a coarse material to mend it"
            )
        if cn < window.cn[0]:
            words.append(f"C:N {cn:.1f} is under {window.cn[0]:g}: it takes carbon to mend it")
        return 0.0, words
    if one.moisture_wet > window.moisture_wet[1]:
        asks.append(_take(two_for_moisture(stuff, one, high), words))
    if cn < window.cn[0]:
        asks.append(_take(two_for_cn(stuff, one, window.cn[0]), words))
    if thick:
        per_kg = _crowded(stuff, window.fas)
        if per_kg < 0:
            asks.append(_crowded(one, window.fas) / -per_kg)
        else:
            words.append(f"{stuff.name} gives no air space: {100 * window.fas:.0f} % is out of its reach")
    return row.mass_kg * max(asks, default=0.0), words


def _nitrogen(now: Mix, window: Window, rich: Ingredient | None) -> tuple[float, float, list[str]]:
    """Kilograms of the nitrogen-rich material, pure nitrogen missing without one, and words."""
    most = window.cn[1]
    if now.cn <= most:
        return 0.0, 0.0, []
    short = now.c_kg / most - now.n_kg
    if rich is None:
        return 0.0, short, [f"{short:,.1f} kg of nitrogen are missing for a C:N of {most:g}"]
    per_kg = (1 - rich.moisture_wet) * (rich.n_dry - rich.c_dry / most)
    if per_kg <= 0:
        return 0.0, short, [f"{rich.name} is not rich enough in nitrogen for a C:N of {most:g}"]
    return short / per_kg, 0.0, [f"mix in {short / per_kg:,.0f} kg of {rich.name} for nitrogen"]


def _crowded(one: Ingredient, fas: float) -> float:
    """Volume [m3/kg] that water and solids take beyond what the air space leaves them; below 0: room."""
    if one.density is None:
        return 0.0
    return filled_volume(one.moisture_wet, one.om_dry) - (1 - fas) / one.density


def _take(ratio: float | Impossible, words: list[str]) -> float:
    if isinstance(ratio, Impossible):
        words.append(ratio.words)
        return 0.0
    return ratio


def _known(quantity: str, value: float, sd: float) -> Belief:
    """A belief with its spread given on the value's own scale."""
    flat = belief(quantity, value)
    steep = 1 / (value * (1 - value)) if quantity == "moisture" else 1 / value
    return replace(flat, deviation=sd * steep)
