"""What purchase would mend a recipe that has no plan: solved with it in, drawn, and in whole loads."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from turnrow.blend.explain import Purchase, explain, side_of
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.problem import NO_SPREAD, Offer, Problem
from turnrow.blend.solve import solve

TRIED = 10  # materials solved for, the least of the quick search first
NAMED = 3
NOTHING_KG = 1.0
DEAR = 1000.0  # price of a tonne beside free materials, so that the least of it is bought


def remedies(
    problem: Problem, market: Sequence[Ingredient], spreads: Mapping[str, Spread], seed: int = 0
) -> tuple[Purchase, ...]:
    """Materials of `market` of which some whole loads (any amount, where the recipe has no loads) give a
    plan that holds, each alone, the least first; at most NAMED.

    spreads  by name, how far one lot of it may be from its typical values; used where a chance is asked
    Each is solved for twice: for the least of it, and with just so much in stock beside what is on offer,
    as somebody would who follows the advice. What does not hold both times is not named.
    """
    load_m3 = _usual_load(problem)
    by_name = {one.name: one for one in market}
    named: list[Purchase] = []
    for name in _candidates(problem, market, seed):
        what = by_name[name]
        if load_m3 is not None and what.density is None:
            continue
        lot = spreads.get(name, NO_SPREAD) if problem.confidence is not None else NO_SPREAD
        offer = Offer(what, cost_per_t=DEAR, load_m3=load_m3, lot=lot)
        free = tuple(replace(one, cost_per_t=0.0) for one in problem.offers)
        least = solve(replace(problem, offers=(*free, offer)), seed)
        kg, loads = least.mass_kg.get(name, 0.0), least.loads.get(name)
        if kg <= NOTHING_KG:
            continue
        stock = {"loads": (0, loads)} if loads is not None else {"stock_kg": kg * (1 + 1e-6)}
        followed = solve(
            replace(problem, offers=(*problem.offers, replace(offer, cost_per_t=0.0, **stock))), seed
        )
        if followed.found:
            joint = followed.chances.joint if followed.chances is not None else None
            named.append(Purchase(name, kg, side_of(problem, what), loads, load_m3, joint))
        if len(named) == NAMED:
            break
    return tuple(sorted(named, key=lambda one: one.least_kg))


def _candidates(problem: Problem, market: Sequence[Ingredient], seed: int) -> list[str]:
    """Names in the order of a quick search, which asks of any amount and draws nothing; of whole loads,
    which is slow, only where the quick one names nothing or needs nothing."""
    quick = explain(_any_amount(problem), market, seed, most=TRIED).purchases
    if not quick or any(one.least_kg <= NOTHING_KG for one in quick):
        quick = (*quick, *explain(problem, market, seed, most=TRIED).purchases)
    return list(dict.fromkeys(one.name for one in quick))[:TRIED]


def _usual_load(problem: Problem) -> float | None:
    """The commonest size of the loads on offer [m3]; None where everything is taken in any amount."""
    sizes = Counter(one.load_m3 for one in problem.offers if one.load_m3 is not None)
    return sizes.most_common(1)[0][0] if sizes else None


def _any_amount(problem: Problem) -> Problem:
    """The same with nothing in whole loads, whose own errors then average out."""
    return replace(problem, offers=tuple(_loosened(offer) for offer in problem.offers))


def _loosened(offer: Offer) -> Offer:
    if offer.load_m3 is None:
        return offer
    fewest, most = offer.loads
    ends = [
        end for end in (offer.stock_kg, None if most is None else most * offer.unit_kg) if end is not None
    ]
    return replace(
        offer,
        load_m3=None,
        loads=(0, None),
        least_kg=max(offer.least_kg, fewest * offer.unit_kg),
        stock_kg=min(ends, default=None),
        load=NO_SPREAD,
    )
