"""A recipe said in sentences: what to take, what comes of it, how sure that is, or why it cannot be."""

from dataclasses import dataclass
from math import ceil, floor, log10

from turnrow.blend.explain import Purchase
from turnrow.blend.losses import nitrogen_loss
from turnrow.blend.mixing import Mix
from turnrow.blend.recipe import Tie
from turnrow.blend.settled import at_base, unturned_faults
from turnrow.records.recipe_paper import RecipePaper

QUANTITIES = (
    ("moisture", "moisture", "moisture"),
    ("cn", "C:N", "cn"),
    ("fas", "air space", "fas"),
    ("bulk_density", "density", ""),
)


@dataclass(frozen=True)
class Take:
    """One material to take: loads None where any amount is taken, `size` of one load."""

    name: str
    loads: int | None
    tonnes: float
    cubic_metres: float | None


def figure(value: float, digits: int = 3) -> str:
    """A number to so many digits, never in powers of ten: 42.1, 865, 0.07."""
    rounded = float(f"{value:.{digits}g}")
    return f"{rounded:,.0f}" if abs(rounded) >= 10 ** (digits - 1) else f"{rounded:g}"


def buckets(count: int) -> str:
    return "one bucket" if count == 1 else f"{count} buckets"


def takes(paper: RecipePaper) -> tuple[Take, ...]:
    """What is taken of each material, those not taken left out."""
    found = []
    for offer in paper.problem.offers:
        kg = paper.recipe.mass_kg.get(offer.what.name, 0.0)
        if kg > 0:
            volume = None if offer.what.density is None else kg / offer.what.density
            found.append(Take(offer.what.name, paper.recipe.loads.get(offer.what.name), kg / 1000, volume))
    return tuple(found)


def take_words(paper: RecipePaper) -> str:
    """ "Take 12 buckets of dairy manure and 24 buckets of leaves, 42 t in all." """
    said = [
        f"{buckets(one.loads)} of {one.name}"
        if one.loads is not None
        else f"{figure(one.tonnes)} t of {one.name}"
        for one in takes(paper)
    ]
    mix = paper.recipe.mix
    total = "" if mix is None else f": {figure(mix.mass_kg / 1000)} t in all"
    volume = "" if mix is None or mix.volume_m3 is None else f", {figure(mix.volume_m3)} m³"
    return f"Take {_and(said)}{total}{volume}."


def water_words(paper: RecipePaper) -> str:
    tonnes = paper.recipe.water_kg / 1000
    if tonnes > 0:
        return f"Add {figure(tonnes)} t of water (as many m³) while it is mixed."
    return "Add no water."


def mix_words(paper: RecipePaper) -> str:
    """What the mix is, on the means."""
    mix = paper.recipe.mix
    if mix is None:
        return ""
    said = []
    if "moisture" not in paper.unsaid:
        said.append(f"{figure(100 * mix.moisture_wet)} % of its mass is water")
    if "cn" not in paper.unsaid and mix.n_kg > 0:
        said.append(f"its C:N is {figure(mix.cn)}")
    if mix.density is not None:
        said.append(f"it weighs {figure(mix.density)} kg/m³")
    return _first_up(_and(said)) + ". " + air_words(paper, mix)


def air_words(paper: RecipePaper, mix: Mix) -> str:
    if mix.fas is None or mix.fas_conservative is None or "fas" in paper.unsaid:
        return "Air space cannot be said without every density."
    said = (
        f"Air fills {figure(100 * mix.fas, 2)} % of it as freshly mixed, "
        f"or {figure(100 * mix.fas_conservative, 2)} % by the more cautious formula."
    )
    if paper.height_m and mix.density:
        base = at_base(mix, paper.height_m)
        said += (
            f" At the base, under {figure(paper.height_m)} m of its own weight, "
            f"{figure(100 * base.fas, 2)} % (assumed: each kPa takes 2 % of the volume)."
        )
    return said


def chance_words(paper: RecipePaper) -> str:
    """How sure the limits are held; empty where nothing scatters."""
    chances = paper.recipe.chances
    if chances is None or chances.joint is None:
        return ""
    each = [
        f"{word} {figure(100 * share, 2)} in 100"
        for key, word, _ in QUANTITIES
        if (share := getattr(chances, key)) is not None
    ]
    return (
        f"All limits hold together in {figure(100 * chances.joint, 2)} of 100 likely outcomes "
        f"({', '.join(each)}): no lot is what its book or its one sample says."
    )


def cost_words(paper: RecipePaper) -> str:
    priced = any(offer.cost_per_t for offer in paper.problem.offers)
    if not priced:
        return "No prices were given, so it is the plan of fewest loads."
    cost = paper.recipe.cost or 0.0
    if paper.recipe.status == "limit":
        return f"It costs {cost:,.2f}; {paper.recipe.why or 'not proven cheapest'}."
    return f"It costs {cost:,.2f}, and no plan that holds these limits costs less."


def row_words(paper: RecipePaper) -> str:
    """Row length and nitrogen loss, as far as they can be told."""
    said = []
    if paper.length_m is not None:
        said.append(f"It makes about {figure(paper.length_m)} m of row, as built; it settles within days.")
    mix = paper.recipe.mix
    if mix is not None and "cn" not in paper.unsaid and mix.n_kg > 0:
        band = nitrogen_loss(mix.cn)
        said.append(f"Nitrogen lost to the air: {band.loss}; {band.words}.")
    return " ".join(said)


def unturned_words(paper: RecipePaper) -> str:
    """What speaks against leaving the heap unturned; empty where it will be turned, or cannot be said."""
    mix = paper.recipe.mix
    if not paper.unturned or paper.height_m is None or mix is None or mix.fas is None:
        return ""
    if {"cn", "fas"} & paper.unsaid or not mix.n_kg > 0:
        return "Whether it can stay unturned cannot be said without every figure."
    faults = unturned_faults(mix, paper.height_m)
    if faults:
        return f"Do not leave it unturned: {_and(list(faults))} (the floors are our own choice)."
    return "Nothing speaks against leaving it unturned: air as built, air at its base, and C:N suffice."


def tie_words(tie: Tie) -> str:
    """ "11 buckets of dairy manure and 25 buckets of leaves, 10.01 more, holding in 52 of 100"."""
    said = [f"{buckets(count)} of {name}" for name, count in tie.loads.items() if count]
    said += [
        f"{figure(kg / 1000)} t of {name}"
        for name, kg in tie.mass_kg.items()
        if name not in tie.loads and kg > 0
    ]
    more = f"; it costs {tie.more_cost:,.2f} more" if tie.more_cost >= 0.005 else ""
    sure = "" if tie.joint is None else f"; holds in {figure(100 * tie.joint, 2)} of 100"
    return _first_up(_and(said)) + more + sure + "."


def why_words(paper: RecipePaper) -> tuple[str, ...]:
    """Why there is no plan and what would mend it, one sentence each."""
    if paper.told is None:
        said = [_first_up(paper.recipe.why or "no plan was found") + "."]
    elif len(paper.told.conflict) == 1:
        said = [f"Nothing that lies there gives this: {paper.told.conflict[0]}."]
    elif paper.told.conflict:
        said = [
            f"These cannot hold together: {_and(list(paper.told.conflict))}. "
            "Give up any one of them and a plan may be found."
        ]
    else:
        said = ["Each demand can be held on the means, yet no plan holds them when its outcomes are drawn."]
    if paper.reachable is not None:
        said.append(
            f"A plan that holds in {100 * paper.reachable:g} of 100 outcomes can be had: choose that chance."
        )
    if paper.told is not None and paper.told.purchases:
        said.append(
            f"It would be mended by {_or([purchase_words(one) for one in paper.told.purchases])}, "
            "by the handbook’s numbers."
        )
    return tuple(said)


def purchase_words(one: Purchase) -> str:
    """ "5 loads of 3 m³ (7 t) of turkey litter (drier, C:N below), all limits then holding in 81 of 100"."""
    tonnes = f"{rounded_up(one.least_kg / 1000):g} t"
    load = "" if one.loads is None else f"{counted_loads(one.loads)} of {figure(one.load_m3 or 0.0)} m³ "
    amount = f"{load}({tonnes})" if load else tonnes
    sure = "" if one.chance is None else f", all limits then holding in {100 * one.chance:.0f} of 100"
    return f"{amount} of {one.name} ({one.side}){sure}"


def counted_loads(count: int) -> str:
    return "1 load" if count == 1 else f"{count} loads"


def rounded_up(value: float) -> float:
    """To three figures, never below the value itself: who buys so much has enough."""
    step = 10.0 ** (floor(log10(value)) - 2)
    return round(ceil(value / step - 1e-9) * step, 9)


def layer_words(paper: RecipePaper) -> tuple[tuple[str, str, str], ...]:
    """The driver's list: when, what, how much in tonnes."""
    found = []
    for one in paper.layers:
        when = {"base": "First, as the base", "as the row is mixed": "As it is mixed"}.get(one.what, one.what)
        what = f"{buckets(one.loads)} of {one.ingredient}" if one.loads is not None else one.ingredient
        found.append((_first_up(when), what, f"{figure(one.tonnes)} t"))
    return tuple(found)


def limit_words(paper: RecipePaper) -> tuple[tuple[str, str], ...]:
    """What was asked for: name and limits."""
    targets = paper.problem.targets
    found = []
    if targets.moisture_wet:
        low, high = targets.moisture_wet
        found.append(("moisture, of wet mass", f"{100 * low:g} to {100 * high:g} %"))
    if targets.cn:
        found.append(("C:N, by mass", f"{targets.cn[0]:g} to {targets.cn[1]:g}"))
    if targets.fas_min is not None:
        found.append(("air space, of the volume", f"{100 * targets.fas_min:g} % or more"))
    if targets.density_max is not None:
        found.append(("density", f"{targets.density_max:g} kg/m³ or less"))
    if paper.problem.confidence is not None:
        found.append(("all together", f"in {100 * paper.problem.confidence:g} of 100 outcomes or more"))
    return tuple(found)


def _and(said: list[str]) -> str:
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}" if said else "nothing"


def _or(said: list[str]) -> str:
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} or {said[-1]}"


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
