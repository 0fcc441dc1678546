"""One material of a recipe form: the handbook's numbers and the yard's own, and which was used for what."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from turnrow.blend.carbon import carbon_check
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.prior import WITHIN
from turnrow.blend.sampled import Lot, lot_of
from turnrow.blend.sheet import WORDS, far_from_table
from turnrow.blend.used import Used
from turnrow.gate.recipe_numbers import Fields
from turnrow.handbook.feedstocks import Feedstock, find, near
from turnrow.yard.units import of_kind
from turnrow.yard.wrongs import Refusal

DENSITIES = {unit: float(size) for unit, size in of_kind("density").items()}
UNITS_OF = {"n": {"dry": 1.0, "wet": 1.0}, "density": DENSITIES}  # of dry matter, or as received
BOUNDS = {"moisture": 99.5, "n": 30.0, "cn": 2000.0, "density": 2500.0}
UNITS = {"moisture": "%", "n": "% of dry matter", "c": "% of dry matter", "cn": "", "density": "kg/m³"}
SCALE = {"moisture": 100.0, "n": 100.0}  # a typed percentage of a sample's fraction
SHOWN = ("moisture", "n", "c", "cn", "density")


@dataclass(frozen=True)
class FormLot:
    """Keys of a recipe file's ingredient, and the numbers behind them."""

    keys: Mapping[str, Any]
    used: tuple[Used, ...]


@dataclass(frozen=True)
class Sample:
    """One lab figure of a material, in fractions, C:N or kg/m3; `line` of the diary it stands on."""

    material: str
    quantity: str
    value: float
    line: int


def lot_from(
    fields: Fields,
    place: int,
    name: str,
    feedstocks: Mapping[str, Feedstock],
    notices: list[str],
    sampled: Sequence[Sample] = (),
) -> FormLot | None:
    """The lot on `place` of a form, its lab figures drawing the handbook's numbers beside what was typed;
    None, with `fields.refusals` filled, where something is wrong."""
    before = len(fields.refusals)
    word = f"material {place} ({name})"
    typed: dict[str, float] = {}
    for key, most in BOUNDS.items():
        units = UNITS_OF.get(key, {})
        value = fields.number(f"{key}_{place}", f"{word}, {WORDS[key]}", above=0.0, most=most, units=units)
        if value is not None:
            typed[key] = value
    feedstock = find(name, feedstocks)
    own = [one for one in sampled if _same(one.material, name, feedstocks)]
    _unreceived(fields, place, typed, own, feedstock)
    usable = feedstock is not None and not [gap for gap in feedstock.missing if gap != "density"]
    form = fields.text(f"form_{place}")
    if feedstock is None or not usable:
        for key in BOUNDS:
            if (values := _of(own, key)) and key not in typed:
                typed[key] = sum(values) / len(values) * SCALE.get(key, 1.0)
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
    if own:
        lines = ", ".join(str(line) for line in sorted({one.line for one in own}))
        notices.append(f"{name}: lab results of the diary draw its numbers (line {lines})")
    samples = _samples(typed if pulled else {}, own)
    lot = lot_of(feedstock, samples, form if form in feedstock.forms else "")
    if not pulled:
        lot = _replaced(lot, typed)
    return _told(name, lot.ingredient, lot.spread, typed, feedstock, form)


def _samples(typed: Mapping[str, float], own: Sequence[Sample]) -> dict[str, list[float]]:
    found = {key: _of(own, key) for key in ("moisture", "n", "c", "cn", "density")}
    for key, value in typed.items():
        found[key].append(value / SCALE.get(key, 1.0))
    return {key: values for key, values in found.items() if values}


def _of(own: Sequence[Sample], quantity: str) -> list[float]:
    return [one.value for one in own if one.quantity == quantity]


def _same(material: str, name: str, feedstocks: Mapping[str, Feedstock]) -> bool:
    """Whether two names are of one material: the same, or of one the handbook knows by both."""
    if " ".join(material.casefold().split()) == " ".join(name.casefold().split()):
        return True
    known = find(name, feedstocks)
    return known is not None and find(material, feedstocks) is known


def _unreceived(
    fields: Fields, place: int, typed: dict[str, float], own: Sequence[Sample], feedstock: Feedstock | None
) -> None:
    """Nitrogen typed as received turned to dry matter, by the moisture typed, sampled or of the handbook."""
    if "n" not in typed or fields.text(f"n_{place}_unit") != "wet":
        return
    moisture = typed.get("moisture")
    if moisture is None and (wet := _of(own, "moisture")):
        moisture = 100 * sum(wet) / len(wet)
    figure = feedstock.figure("moisture") if feedstock else None
    if moisture is None and figure is not None:
        moisture = figure.value
    if moisture is None:
        do = "Write its moisture too: nitrogen as received is turned to dry matter with it."
        fields.wrong(f"moisture_{place}", f"material {place}, moisture", "nothing", do)
        return
    typed["n"] /= 1 - moisture / 100
    if typed["n"] > BOUNDS["n"]:
        got = f"{typed['n']:.3g} % of dry matter"
        fields.wrong(f"n_{place}", f"material {place}, nitrogen", got, "Check the moisture and the basis.")


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
