"""A recipe's loads in the order a driver lays or feeds them."""

from dataclasses import dataclass

from turnrow.blend.problem import Problem
from turnrow.blend.recipe import Recipe

MOST_TURNS, FEWEST_TURNS = 12, 4  # rounds a driver can keep count of; rounds that mix well enough (OWN)
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

    The number of rounds is the one that divides the loads of most materials evenly, the greatest of those
    that do, up to MOST_TURNS. What does not divide, and a material of fewer loads than there are rounds, is
    spread over the rounds as evenly as whole loads go. Half as base: READ in recipe notes 5.1; the rounds:
    common practice, no source.
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
    rounds = _rounds(list(left.values()))
    shares = {name: spread(count, rounds) for name, count in left.items()}
    first = 0
    while first < rounds:
        these = {name: share[first] for name, share in shares.items()}
        last = first + 1
        while last < rounds and all(share[last] == these[name] for name, share in shares.items()):
            last += 1
        said = f"round {last}" if last - first == 1 else f"rounds {first + 1} to {last}, each"
        for offer in used:
            name = offer.what.name
            if name not in left:
                put(name, None, recipe.mass_kg[name] / 1000 / rounds, last - first, said)
            elif these[name]:
                put(name, these[name], these[name] * unit[name], last - first, said)
        first = last
    if recipe.water_kg > 0:
        put("water", None, recipe.water_kg / 1000, 1, "as the row is mixed")
    return tuple(found)


def spread(count: int, rounds: int) -> list[int]:
    """`count` loads over so many rounds as evenly as whole loads go: one load of twelve rounds in the
    middle, five of twelve in rounds 2, 4, 6, 9 and 11; of more than the rounds, the rest on top so."""
    whole, rest = divmod(count, rounds)
    places = {(2 * k + 1) * rounds // (2 * rest) for k in range(rest)} if rest else set()
    return [whole + (turn in places) for turn in range(rounds)]


def _rounds(counts: list[int]) -> int:
    """How many rounds to lay; one where nothing is taken in loads."""
    most = min(max(counts, default=1), MOST_TURNS)
    tried = range(max(1, min(FEWEST_TURNS, most)), most + 1)
    return max(
        tried, key=lambda turns: (-sum(count % turns > 0 for count in counts if count >= turns), turns)
    )
