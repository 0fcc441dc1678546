"""A recipe as a page asks for it: texts with units, and names that the handbook knows, into the keys of a
recipe file. Every refusal names the field it is about, and all come at once."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from turnrow.blend.settled import FLOOR_BASE
from turnrow.blend.used import Used
from turnrow.gate.recipe_file import RecipeFile, read_recipe
from turnrow.gate.recipe_lot import Sample, lot_from
from turnrow.gate.recipe_numbers import Fields
from turnrow.gate.recipe_text import toml_of
from turnrow.handbook.feedstocks import Feedstock
from turnrow.yard.units import of_kind
from turnrow.yard.wrongs import Refusal, Refused, shown

PLACES = 60  # materials on a form
NAME = "recipe"
TONNES = {unit: float(size) for unit, size in of_kind("mass").items()}
CUBIC = {unit: float(size) for unit, size in of_kind("volume").items()}
BUCKETS = "buckets"
CHANCES = ("", "50", "60", "70", "80", "90", "95")
PAIRS = (("cn", "cn", 2000.0), ("moisture", "moisture_pct", 100.0))
MOST_M = 30.0  # width or height of a row
SECTION = 2 / 3  # of width times height: a rounded row; common practice, no source

WORDS = {  # keys of a recipe file -> fields of the form, and what people call them
    "moisture_pct": ("moisture", "moisture"),
    "n_pct_dry": ("n", "nitrogen"),
    "c_pct_dry": ("cn", "carbon"),
    "cn": ("cn", "C:N"),
    "carbon": ("cn", "carbon"),
    "bulk_density_kg_m3": ("density", "density"),
    "cost_per_t": ("cost", "price"),
    "stock_t": ("stock", "how much there is"),
    "at_least_t": ("least", "at least"),
    "loads": ("least", "at least"),
    "name": ("name", "name"),
}


@dataclass(frozen=True)
class Form:
    """What a form asks. `raw` are the keys of a recipe file; `used` every number of every material with
    where it comes from; `height_m` of the row, None where not said; `unturned`: nobody will turn it."""

    raw: Mapping[str, Any]
    text: str
    asked: RecipeFile
    used: tuple[Used, ...]
    bucket_m3: float | None
    height_m: float | None
    unturned: bool


def form_from(
    given: Mapping[str, str],
    feedstocks: Mapping[str, Feedstock],
    title: str = "",
    sampled: Sequence[Sample] = (),
) -> Form:
    """The recipe in a form's fields; `sampled`: lab figures of its materials. Raises Refused; each `where`
    ends in the field's name in brackets, which `field_of` reads."""
    fields = Fields(given)
    bucket = fields.number("bucket", "bucket", above=0.0, most=30.0, units=CUBIC)
    whole = given.get("taken", "whole") != "any"
    if whole and bucket is None and not fields.has("bucket"):
        fields.wrong("bucket", "bucket", "nothing", "Say what one bucket holds, or take any amount.")
    raw: dict[str, Any] = {}
    _total(fields, raw, bucket)
    _choices(fields, raw)
    raw["targets"] = _targets(fields)
    height = fields.number("height", "height of the row", above=0.0, most=MOST_M)
    width = fields.number("width", "width of the row", above=0.0, most=MOST_M)
    if height and width:
        raw["section_m2"] = round(SECTION * width * height, 6)
    unturned = fields.text("kept") == "unturned"
    if unturned and height is None and not fields.has("height"):
        do = "Say it: in a heap nobody turns, the air at its base decides."
        fields.wrong("height", "height of the row", "nothing", do)
    if unturned and height:
        raw["height_m"] = height
        raw["targets"]["fas_base_pct_min"] = 100 * FLOOR_BASE
    fill = fields.number("fill", "how far buckets differ", least=0.0, most=60.0) or 0.0
    ingredients, used, places, notices = _ingredients(fields, feedstocks, bucket, whole, fill, sampled)
    raw["ingredient"] = ingredients
    text = toml_of(raw, title)
    refusals = list(fields.refusals)
    asked = None
    try:
        asked = read_recipe(text.encode(), NAME, feedstocks)
    except Refused as wrong:
        named = {one.where for one in refusals}
        found = [_reworded(one, places, ingredients) for one in wrong.refusals]
        refusals += [one for one in found if one.where not in named and (ingredients or not refusals)]
    if refusals or asked is None:
        raise Refused(refusals)
    told = RecipeFile(asked.problem, asked.section_m2, (*notices, *asked.notices), asked.unsaid)
    return Form(raw, text, told, tuple(used), bucket if whole else None, height, unturned)


def field_of(refusal: Refusal) -> str:
    """The field a refusal is about; empty where it is about no single one."""
    found = re.search(r"\[([a-z_0-9]+)\]$", refusal.where)
    return found[1] if found else ""


def _total(fields: Fields, raw: dict[str, Any], bucket: float | None) -> None:
    unit = fields.text("total_unit") or "t"
    total = fields.number("total", "how much", above=0.0, most=100_000.0)
    if total is None:
        if not fields.has("total"):
            fields.wrong("total", "how much", "nothing", "Say how much the row shall be.")
        return
    if unit in TONNES:
        raw["total_t"] = total * TONNES[unit]
    elif unit in CUBIC:
        raw["total_m3"] = total * CUBIC[unit]
    elif unit == BUCKETS and bucket is not None:
        raw["total_m3"] = total * bucket
    else:
        fields.wrong(
            "total",
            "how much",
            f"{total:g} {unit}",
            "Choose a unit offered; buckets need their size.",
        )


def _choices(fields: Fields, raw: dict[str, Any]) -> None:
    chance = fields.text("chance")
    if chance not in CHANCES:
        fields.wrong("chance", "how sure", shown(chance), "Choose one of the chances offered.")
    elif chance:
        raw["confidence"] = int(chance) / 100
    water = fields.text("water") or "needed"
    if water not in ("needed", "never", "any"):
        fields.wrong("water", "water", shown(water), "Choose one of the three.")
    raw["water"] = water
    shrink = fields.number("shrink", "shrink", least=0.0, most=50.0)
    if shrink:
        raw["shrink"] = shrink / 100


def _targets(fields: Fields) -> dict[str, Any]:
    targets: dict[str, Any] = {}
    for name, key, most in PAIRS:
        word = WORDS[key][1]
        low = fields.number(f"{name}_low", f"{word}, low", least=0.0, most=most)
        high = fields.number(f"{name}_high", f"{word}, high", least=0.0, most=most)
        if low is None and high is None:
            continue
        low, high = 0.0 if low is None else low, most if high is None else high
        if low > high:
            fields.wrong(f"{name}_low", f"{word}, low", f"{low:g} above {high:g}", "The low end comes first.")
            continue
        targets[key] = [low, high]
    if air := fields.number("air_low", "air space", least=0.0, most=95.0):
        targets["fas_pct_min"] = air
    density = fields.number("density_high", "density of the mix", above=0.0, most=2000.0)
    if density is not None:
        targets["bulk_density_kg_m3_max"] = density
    return targets


def _ingredients(
    fields: Fields,
    feedstocks: Mapping[str, Feedstock],
    bucket: float | None,
    whole: bool,
    fill: float,
    sampled: Sequence[Sample],
) -> tuple[list[dict[str, Any]], list[Used], list[int], list[str]]:
    made: list[dict[str, Any]] = []
    used: list[Used] = []
    places: list[int] = []
    notices: list[str] = []
    named = False
    for place in range(1, PLACES + 1):
        name = fields.text(f"name_{place}")
        if not name:
            if any(
                fields.has(f"{key}_{place}") for key in ("stock", "moisture", "n", "cn", "density", "cost")
            ):
                fields.wrong(f"name_{place}", f"material {place}", "no name", "Name it, or empty its fields.")
            continue
        named = True
        lot = lot_from(fields, place, name, feedstocks, notices, sampled)
        one: dict[str, Any] = {"name": name, **(lot.keys if lot else {})}
        _taken(fields, place, one, bucket, whole, fill, lot is not None)
        if lot is not None:
            used += lot.used
            places.append(place)
            made.append(one)
    if not named:
        fields.wrong("name_1", "materials", "none", "Name at least one material.")
    return made, used, places, notices


def _taken(
    fields: Fields,
    place: int,
    one: dict[str, Any],
    bucket: float | None,
    whole: bool,
    fill: float,
    known: bool,
) -> None:
    """How it may be taken: price, bucket, how much there is, how much of it must go; `known` when its
    numbers are."""
    word = f"material {place} ({one['name']})"
    cost = fields.number(f"cost_{place}", f"{word}, price", least=0.0, most=100_000.0)
    if cost is not None:
        one["cost_per_t"] = cost
    if whole and bucket is not None:
        one["load_m3"] = bucket
        if fill:
            one["sd_load"] = {"fill_pct": fill}
    density = one.get("bulk_density_kg_m3")
    unit = fields.text(f"stock_{place}_unit") or "t"
    factor = _tonnes_in(unit, density, bucket)
    for name, key, said in (("stock", "stock_t", "how much there is"), ("least", "at_least_t", "at least")):
        much = fields.number(f"{name}_{place}", f"{word}, {said}", least=0.0, most=1_000_000.0)
        if much is None:
            continue
        if factor is None:
            if known:
                got = f"{much:g} {unit}"
                fields.wrong(f"{name}_{place}", f"{word}, {said}", got, "Write its density, or tonnes.")
        elif name == "stock" or much > 0:
            one[key] = much * factor


def _tonnes_in(unit: str, density: float | None, bucket: float | None) -> float | None:
    if unit in TONNES:
        return TONNES[unit]
    size = bucket if unit == BUCKETS else CUBIC.get(unit)
    return None if size is None or density is None else size * density / 1000


def _reworded(one: Refusal, places: list[int], ingredients: list[dict[str, Any]]) -> Refusal:
    """A recipe file's refusal in the form's words."""
    key = one.where.rpartition(", ")[2].split(",")[0]
    numbered = re.search(r"\[\[ingredient\]\] (\d+)", one.where)
    if numbered:
        place = places[int(numbered[1]) - 1]
        field, word = WORDS.get(key, ("name", key))
        name = ingredients[int(numbered[1]) - 1]["name"]
        return Refusal(f"material {place} ({name}), {word} [{field}_{place}]", one.got, one.do)
    if "[targets]" in one.where:
        field = {
            "cn": "cn_low",
            "moisture_pct": "moisture_low",
            "fas_pct_min": "air_low",
            "fas_base_pct_min": "air_low",
        }.get(key, "density_high")
        return Refusal(f"what the mix shall be [{field}]", one.got, one.do)
    if "[[ingredient]]" in one.where:
        return Refusal("materials [name_1]", one.got, one.do)
    return Refusal("how much [total]" if "total" in one.where else one.where, one.got, one.do)
