"""A recipe's loads in the order a driver lays or feeds them."""

from dataclasses import dataclass

from turnrow.blend.problem import Problem
from turnrow.blend.recipe import Recipe

MOST_TURNS = 12  # rounds a driver can keep count of
BASE = 0.5  # of the driest material goes under the row, where it drinks what runs down


@dataclass(frozen=True)
class Layer:
    """One step: in each of `times` rounds so many loads of one material (None where it is taken in any
    amount), which is so many tonnes."""

    step: int
    ingredient: str
    loads: int | None
    tonnes: float
    times: int
    what: str


def layers(problem: Problem, recipe: Recipe) -> tuple[Layer, ...]:
    """Half of the driest material as the base, then rounds of all materials, driest first, water last.

    As many rounds as leave every material at least a load in each, up to MOST_TURNS; what does not
    divide goes into the first ones. Half as base: READ in recipe notes 5.1; the rounds: common practice,
    no source.
    """
    if not recipe.found:
        return ()
    used = [offer for offer in problem.offers if recipe.mass_kg[offer.what.name] > 0]
    used.sort(key=lambda offer: offer.what.moisture_wet)
    left = {o.what.name: recipe.loads[o.what.name] for o in used if o.what.name in recipe.loads}
    unit = {offer.what.name: offer.unit_kg / 1000 for offer in used}
    driest = used[0].what.name
    found: list[Layer] = []

    def put(name: str, loads: int | None, tonnes: float, times: int, what: str) -> None:
        found.append(Layer(len(found) + 1, name, loads, tonnes, times, what))

    if len(used) > 1 and left.get(driest, 0) >= 2:
        base = int(left[driest] * BASE)
        put(driest, base, base * unit[driest], 1, "base")
        left[driest] -= base
    rounds = max(1, min([*left.values(), MOST_TURNS])) if left else 1
    first = 0
    for last in [*sorted({n % rounds for n in left.values()} - {0}), rounds]:
        if last == first:
            continue
        said = f"round {last}" if last - first == 1 else f"rounds {first + 1} to {last}, each"
        for offer in used:
            name = offer.what.name
            if name in left:
                loads = left[name] // rounds + (left[name] % rounds > first)
                put(name, loads, loads * unit[name], last - first, said)
            else:
                put(name, None, recipe.mass_kg[name] / 1000 / rounds, last - first, said)
        first = last
    if recipe.water_kg > 0:
        put("water", None, recipe.water_kg / 1000, 1, "as the row is mixed")
    return tuple(found)
