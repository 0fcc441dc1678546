"""A recipe asked for in a TOML file, as `turnrow blend --example` prints it; or every refusal at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from turnrow.blend.problem import FarOutside, Offer, Problem, Targets, Water
from turnrow.gate.recipe_ingredient import NEEDS_CN, NEEDS_MOISTURE, NEEDS_SOLIDS, NEEDS_VOLUME, offer_from
from turnrow.gate.recipe_values import Values, of_toml
from turnrow.gate.recipe_weighed import MOST_SHRINK, shrink_of
from turnrow.handbook.feedstocks import Feedstock
from turnrow.yard.wrongs import Refusal, Refused, shown

KEYS = (
    "total_t",
    "total_m3",
    "confidence",
    "targets",
    "ingredient",
    "water",
    "shrink",
    "bucket_test",
    "section_m2",
    "far_outside",
    "height_m",
)
TARGETS = ("cn", "moisture_pct", "fas_pct_min", "fas_base_pct_min", "bulk_density_kg_m3_max")
HIGHEST_M = 30.0  # of a heap; common practice, no source
FAR = ("worst", "widths")
WATER = ("when", "cost_per_t", "at_most_t")
MOST = 200  # ingredients
LEAST, MOST_TOTAL = 0.001, 1_000_000.0  # t or m3: a kilogram, and more than any yard has


@dataclass(frozen=True)
class RecipeFile:
    """What a file asks; notices to show beside the answer; what of the mix cannot be said (moisture, cn,
    fas), since the file does not tell it and no target needs it."""

    problem: Problem
    section_m2: float | None
    notices: tuple[str, ...]
    unsaid: frozenset[str]


def read_recipe(data: bytes, name: str, feedstocks: Mapping[str, Feedstock]) -> RecipeFile:
    """The problem in a file. Raises Refused with everything that is wrong, where, and what to do."""
    top = of_toml(data, name, "blend")
    raw = top.raw
    top.known(KEYS)
    height = top.number("height_m", above=0.0, most=HIGHEST_M)
    targets = _targets(top, height)
    needs = _needs(targets, top)
    offers, notices, unsaid = _ingredients(raw, top, needs, feedstocks)
    total_t, total_m3 = (top.number(key, least=LEAST, most=MOST_TOTAL) for key in ("total_t", "total_m3"))
    if total_t is not None and total_m3 is not None:
        top.wrong("total_t, total_m3", "both", "Keep one of the two.")
    confidence = top.number("confidence", do="Write a share from 0.5 to below 1, such as 0.95.")
    if confidence is not None and not 0.5 <= confidence < 1:
        meant = f" {confidence / 100:g} is {confidence:g} %." if 50 <= confidence < 100 else ""
        top.wrong("confidence", confidence, f"Write a share from 0.5 to below 1, such as 0.95.{meant}")
    shrink, by_pails = top.number("shrink", least=0.0, most=MOST_SHRINK), shrink_of(top)
    section = top.number("section_m2", above=0.0)
    water = _water(top)
    far = _far(top)
    fixed = any(offer.loads[0] or offer.least_kg for offer in offers)
    if "total_t" not in raw and "total_m3" not in raw and not fixed and not top.refusals:
        top.wrong(
            "total_t",
            "nothing",
            "Say how much: total_t, total_m3, or for some ingredient loads or at_least_t.",
        )
    wet = [offer.what.name for offer in offers if offer.what.moisture_wet == 1]
    if (wet or water.when == "any") and "moisture_pct" not in _asked(raw):
        do = "Write a range of moisture_pct, or the cheapest mix would be water."
        top.wrong("[targets], moisture_pct", "nothing", do)
    if top.refusals:
        raise Refused(top.refusals)
    if confidence is not None:
        exact = [offer.what.name for offer in offers if not offer.spread]
        if exact:
            notices.append(f"no sd_lot or sd_load, so taken as exact: {', '.join(exact)}")
    problem = Problem(
        tuple(offers),
        targets,
        None if total_t is None else total_t * 1000,
        total_m3,
        confidence,
        water,
        shrink or by_pails or 0.0,
        far,
    )
    return RecipeFile(problem, section, tuple(notices), frozenset(unsaid))


def _targets(top: Values, height: float | None) -> Targets:
    part = top.table("targets", TARGETS)
    if part is None:
        return Targets()
    moisture = part.pair("moisture_pct", 0.0, 99.0)
    if moisture is not None and moisture[1] <= 1:
        part.wrong("moisture_pct", list(moisture), "Write percent of wet mass, such as [50, 65].")
    cn = part.pair("cn", 0.0, 2000.0)
    if cn is not None and cn[1] == 0:
        part.wrong("cn", list(cn), "Write a range above 0, such as [25, 35].")
    air, base = (part.number(key, least=0.0, below=100.0) for key in ("fas_pct_min", "fas_base_pct_min"))
    for key, value in (("fas_pct_min", air), ("fas_base_pct_min", base)):
        if value is not None and 0 < value <= 1:
            part.wrong(key, value, "Write percent of the heap's volume, such as 35.")
    if base is not None and "height_m" not in top.raw:
        top.wrong("height_m", "nothing", "Write the height of the heap: its weight presses on its base.")
    return Targets(
        cn=cn,
        moisture_wet=None if moisture is None else (moisture[0] / 100, moisture[1] / 100),
        fas_min=None if air is None else air / 100,
        density_max=part.number("bulk_density_kg_m3_max", above=0.0),
        fas_base_min=None if base is None else base / 100,
        height_m=height or 0.0,
    )


def _asked(raw: Mapping[str, Any]) -> Mapping[str, Any]:
    """What [targets] says; nothing where it is no table, which is refused where it is read."""
    found = raw.get("targets")
    return found if isinstance(found, dict) else {}


def _needs(targets: Targets, top: Values) -> frozenset[str]:
    """What every ingredient must tell for the targets asked."""
    asked = _asked(top.raw)
    air = "fas_pct_min" in asked or "fas_base_pct_min" in asked
    needs = set()
    if targets.moisture_wet or air:
        needs.add(NEEDS_MOISTURE)
    if targets.cn:
        needs.add(NEEDS_CN)
    if air:
        needs |= {NEEDS_VOLUME, NEEDS_SOLIDS}
    if targets.density_max is not None or "total_m3" in top.raw or "section_m2" in top.raw:
        needs.add(NEEDS_VOLUME)
    return frozenset(needs)


def _ingredients(
    raw: Mapping[str, Any], top: Values, needs: frozenset[str], feedstocks: Mapping[str, Feedstock]
) -> tuple[list[Offer], list[str], set[str]]:
    found = raw.get("ingredient", [])
    notices: list[str] = []
    unsaid: set[str] = set()
    offers: list[Offer] = []
    if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
        top.wrong("ingredient", found, "Write each ingredient under its own [[ingredient]].")
        return [], [], unsaid
    if not found:
        top.wrong("[[ingredient]]", "nothing", "Name at least one ingredient.")
    if len(found) > MOST:
        top.wrong("[[ingredient]]", f"{len(found)} of them", f"Keep the {MOST} that matter.")
        return [], [], unsaid
    names: list[str] = []
    for number, one in enumerate(found, start=1):
        said = one.get("name")
        part = Values(one, f"[[ingredient]] {number}" + (f" ({said})" if isinstance(said, str) else ""))
        offer = offer_from(part, needs, feedstocks, notices, unsaid)
        top.refusals += part.refusals
        if isinstance(said, str) and said.strip() in names:
            top.refusals.append(
                Refusal(f"{part.where}, name", shown(said), "Give each ingredient its own name.")
            )
        names.append(str(said).strip())
        if offer is not None:
            offers.append(offer)
    return offers, notices, unsaid


def _far(top: Values) -> FarOutside | None:
    part = top.table("far_outside", FAR)
    if part is None:
        return None
    share = part.number("worst", above=0.0, most=0.5, do="Write a share of outcomes, such as 0.1.")
    widths = part.number("widths", above=0.0)
    for key in FAR:
        if key not in part.raw:
            part.wrong(key, "nothing", "Write both: worst = 0.1, widths = 0.5.")
    return None if share is None or widths is None else FarOutside(share, widths)


def _water(top: Values) -> Water:
    given = top.raw.get("water")
    if isinstance(given, str):
        part, when = top, given
    elif given is None:
        return Water()
    else:
        table = top.table("water", WATER)
        if table is None:
            return Water()
        part, when = table, table.text("when") or "needed"
    if when not in ("never", "needed", "any"):
        part.wrong("water", when, 'Write "never", "needed" or "any".')
        return Water()
    if part is top:
        return Water(when)  # type: ignore[arg-type]
    most = part.number("at_most_t", above=0.0)
    cost = part.number("cost_per_t", least=0.0) or 0.0
    return Water(when, cost, None if most is None else most * 1000)  # type: ignore[arg-type]
