"""One material of a recipe form: the handbook's numbers and the yard's own, and which was used for what."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from turnrow.blend.basis import LB_YD3
from turnrow.blend.carbon import carbon_check
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.prior import WITHIN
from turnrow.blend.sampled import Lot, lot_of
from turnrow.blend.sheet import WORDS, far_from_table
from turnrow.blend.used import Used
from turnrow.gate.recipe_numbers import Fields
from turnrow.handbook.feedstocks import Feedstock, find, near
from turnrow.yard.wrongs import Refusal

DENSITIES = {"kg/m3": 1.0, "lb/yd3": LB_YD3}
BOUNDS = {"moisture": 99.5, "n": 30.0, "cn": 2000.0, "density": 2500.0}
UNITS = {"moisture": "%", "n": "% of dry matter", "c": "% of dry matter", "cn": "", "density": "kg/m³"}
SHOWN = ("moisture", "n", "c", "cn", "density")


@dataclass(frozen=True)
class FormLot:
    """Keys of a recipe file's ingredient, and the numbers behind them."""

    keys: Mapping[str, Any]
    used: tuple[Used, ...]


def lot_from(
    fields: Fields, place: int, name: str, feedstocks: Mapping[str, Feedstock], notices: list[str]
) -> FormLot | None:
    """The lot on `place` of a form; None, with `fields.refusals` filled, where something is wrong."""
    before = len(fields.refusals)
    word = f"material {place} ({name})"
    typed: dict[str, float] = {}
    for key, most in BOUNDS.items():
        units = DENSITIES if key == "density" else {}
        value = fields.number(f"{key}_{place}", f"{word}, {WORDS[key]}", above=0.0, most=most, units=units)
        if value is not None:
            typed[key] = value
    feedstock = find(name, feedstocks)
    usable = feedstock is not None and not [gap for gap in feedstock.missing if gap != "density"]
    form = fields.text(f"form_{place}")
    if feedstock is None or not usable:
        needed = [key for key in BOUNDS if key not in typed and not fields.has(f"{key}_{place}")]
        close = ", ".join(near(name, feedstocks)[:4])
        for key in needed:
            do = (
                "The handbook does not know it: write its number."
                if key != "moisture" or not close
                else (
                    f"The handbook does not know it: write its number, or name one it knows, such as {close}."
                )
            )
            fields.wrong(f"{key}_{place}", f"{word}, {WORDS[key]}", "nothing", do)
    elif feedstock.figure("density") is None and "density" not in typed:
        fields.wrong(
            f"density_{place}", f"{word}, density", "nothing", "The handbook has none: weigh a bucket."
        )
    if feedstock is not None:
        notices += [one.sentence() for one in far_from_table(word, typed, feedstock)]
    if "n" in typed and "cn" in typed:
        found = carbon_check(f"{word}, carbon", typed["n"] / 100, typed["cn"])
        if isinstance(found, Refusal):
            fields.wrong(f"cn_{place}", f"{word}, carbon", found.got, found.do)
    if len(fields.refusals) > before:
        return None
    if feedstock is None or not usable:
        return _own(name, typed)
    pulled = fields.text("typed_are") != "exact"
    lot = lot_of(feedstock, _samples(typed) if pulled else {}, form if form in feedstock.forms else "")
    if not pulled:
        lot = _replaced(lot, typed)
    return _told(name, lot.ingredient, lot.spread, typed, feedstock, form)


def _samples(typed: Mapping[str, float]) -> dict[str, tuple[float]]:
    scale = {"moisture": 100.0, "n": 100.0}
    return {key: (value / scale.get(key, 1.0),) for key, value in typed.items()}


def _replaced(lot: Lot, typed: Mapping[str, float]) -> Lot:
    """The lot with what was typed in the place of the table's; carbon stays where one of nitrogen and C:N
    is typed, since it is the surer."""
    what, spread = lot.ingredient, lot.spread
    if "moisture" in typed:
        what = replace(what, moisture_wet=typed["moisture"] / 100)
        spread = replace(spread, moisture_wet=WITHIN["moisture"])
    if "density" in typed:
        what = replace(what, density=typed["density"])
        spread = replace(spread, density=WITHIN["density"] * typed["density"])
    if "n" in typed:
        carbon = typed["n"] / 100 * typed["cn"] if "cn" in typed else what.c_dry
        what = replace(what, n_dry=typed["n"] / 100, c_dry=carbon)
    elif "cn" in typed:
        what = replace(what, n_dry=what.c_dry / typed["cn"])
    if "n" in typed or "cn" in typed:
        spread = replace(spread, n_dry=WITHIN["n"] * what.n_dry, c_dry=WITHIN["c"] * what.c_dry)
    return Lot(what, spread, lot.beliefs)


def _own(name: str, typed: Mapping[str, float]) -> FormLot:
    """A material the handbook does not know: as typed, as unsure as one sample of a lot is."""
    n = typed["n"] / 100
    c = n * typed["cn"]
    what = Ingredient(name, typed["moisture"] / 100, n, c, min(1.8 * c, 0.98), typed["density"])
    spread = Spread(
        moisture_wet=min(WITHIN["moisture"], what.moisture_wet / 3),
        n_dry=WITHIN["n"] * n,
        c_dry=WITHIN["c"] * c,
        density=WITHIN["density"] * typed["density"],
    )
    return _told(name, what, spread, typed, None, "")


def _told(
    name: str,
    what: Ingredient,
    spread: Spread,
    typed: Mapping[str, float],
    feedstock: Feedstock | None,
    form: str,
) -> FormLot:
    values = {
        "moisture": 100 * what.moisture_wet,
        "n": 100 * what.n_dry,
        "c": 100 * what.c_dry,
        "cn": what.c_dry / what.n_dry if what.n_dry > 0 else 0.0,
        "density": what.density or 0.0,
    }
    keys: dict[str, Any] = {
        "moisture_pct": values["moisture"],
        "n_pct_dry": values["n"],
        "c_pct_dry": values["c"],
        "bulk_density_kg_m3": values["density"],
        "organic_matter_pct_dry": 100 * what.om_dry,
        "sd_lot": {
            "moisture_pct": 100 * spread.moisture_wet,
            "n_pct_dry": 100 * spread.n_dry,
            "c_pct_dry": 100 * spread.c_dry,
            "bulk_density_kg_m3": spread.density,
        },
    }
    used = []
    for quantity in SHOWN:
        figure = feedstock.figure(quantity, form if quantity == "density" else "") if feedstock else None
        used.append(
            Used(
                name,
                quantity,
                values[quantity],
                UNITS[quantity],
                typed.get(quantity),
                figure,
                feedstock.key if feedstock else "",
            )
        )
    return FormLot(keys, tuple(used))
