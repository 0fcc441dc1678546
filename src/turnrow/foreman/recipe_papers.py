"""From an answered recipe to all that its page and paper say."""

from collections.abc import Mapping
from datetime import datetime

from turnrow.blend.problem import Offer
from turnrow.blend.table import from_table
from turnrow.blend.used import Used
from turnrow.foreman.recipes import Answered
from turnrow.handbook.book import Handbook
from turnrow.handbook.feedstocks import Feedstock, feedstocks, find
from turnrow.records.recipe_paper import RecipePaper
from turnrow.yard.entries import YardLaidOut

NO_YARD = YardLaidOut(name="", zone="UTC")
CLOSE = 1e-9


def recipe_paper(
    found: Answered,
    handbook: Handbook,
    made: datetime,
    *,
    used: tuple[Used, ...] | None = None,
    yard: YardLaidOut = NO_YARD,
    height_m: float | None = None,
    unturned: bool = False,
) -> RecipePaper:
    """All that is said of an answer. Without `used` (a recipe file), numbers equal to the handbook's of a
    name it knows are its, all others were written in the file."""
    if used is None:
        table = feedstocks()
        used = tuple(one for offer in found.asked.problem.offers for one in used_of(offer, table))
    keys = {one.figure.source for one in used if one.figure is not None}
    return RecipePaper(
        problem=found.asked.problem,
        recipe=found.recipe,
        layers=found.layers,
        told=found.told,
        reachable=found.reachable,
        used=used,
        sources={
            key: "; ".join(
                part for part in (handbook.sources[key].title, handbook.sources[key].where) if part
            )
            for key in sorted(keys)
            if key in handbook.sources
        },
        edition=handbook.edition,
        made=made,
        seed=found.seed,
        notices=(*found.recipe.warnings, *found.asked.notices),
        unsaid=found.asked.unsaid,
        length_m=found.length_m,
        height_m=height_m,
        unturned=unturned,
        yard=yard.name,
        place=yard.place,
        invented=yard.invented,
    )


def used_of(offer: Offer, table: Mapping[str, Feedstock]) -> tuple[Used, ...]:
    """The numbers of one offer of a recipe file."""
    what = offer.what
    feedstock = find(what.name, table)
    known = feedstock is not None and not [gap for gap in feedstock.missing if gap != "density"]
    book = from_table(feedstock) if feedstock is not None and known else None
    looked_up = book is not None and all(
        abs(getattr(what, key) - getattr(book, key)) < CLOSE for key in ("moisture_wet", "n_dry", "c_dry")
    )
    values = [
        ("moisture", 100 * what.moisture_wet, "%", offer.moisture_known),
        ("n", 100 * what.n_dry, "% of dry matter", offer.cn_known),
        ("c", 100 * what.c_dry, "% of dry matter", offer.cn_known),
        ("cn", what.c_dry / what.n_dry if what.n_dry > 0 else 0.0, "", offer.cn_known and what.n_dry > 0),
        ("density", what.density or 0.0, "kg/m³", what.density is not None),
    ]
    return tuple(
        Used(
            what.name,
            quantity,
            value,
            unit,
            None if looked_up else value,
            feedstock.figure(quantity) if looked_up and feedstock is not None else None,
            feedstock.key if looked_up and feedstock is not None else "",
        )
        for quantity, value, unit, told in values
        if told
    )
