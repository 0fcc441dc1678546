"""A question about using a lot, from the fields of a form; the analysis is the lot's own."""

from collections.abc import Mapping
from typing import Any

from turnrow.gate.measures import Sizes
from turnrow.gate.recipe_values import Values, typed
from turnrow.gate.use_file import BESIDE, MOST, NEED, PLACE, USES, UseFile, asked_of
from turnrow.gate.use_units import SPREAD
from turnrow.sales.analysis import Analysis

LABELS = {
    "n": "Nitrogen the crop is to find",
    "p2o5": "P2O5 the crop is to find",
    "k2o": "K2O the crop is to find",
    "n_total": "Most nitrogen that may be brought in",
    "p2o5_total": "Most P2O5 that may be brought in",
    "k2o_total": "Most K2O that may be brought in",
    "t_ha": "Most compost",
    "area": "Area",
    "tilled": "Dug to",
    "share_pct_max": "Most compost in it, % of the volume",
    "volume": "Mix in all",
    "base_ec_ds_m": "Conductivity of the rest of the mix, dS/m",
    "ec_ds_m_max": "Most conductivity of the mix, dS/m",
}
SIGNS = {
    "kg_ha": "kg/ha", "lb_ac": "lb/ac", "t_ha": "t/ha", "ton_ac": "short tons/ac", "ac": "acres", "m2": "m²",
    "ft2": "ft²", "yd2": "yd²", "l": "L", "m3": "m³", "yd3": "yd³", "ft3": "ft³", "gal": "US gal",
    "bu": "US bu",
}  # fmt: skip
UseField = tuple[str, str, tuple[tuple[str, str], ...]]


def fields_of_use(use: str) -> tuple[UseField, ...]:
    """(name, label, units) of each field a use asks for, the place first; a unit is (key, sign)."""
    own = [_field(stem, sizes) for stem, sizes in PLACE.get(use, {}).items()]
    plain: list[UseField] = [(name, LABELS[name], ()) for name in BESIDE.get(use, ())]
    if use == "potting":
        return (*own, *plain)
    fed = [_field(stem, sizes) for stem, sizes in (*NEED.items(), *MOST.items())]
    first = next(iter(SPREAD))
    most: UseField = (first, LABELS[first], tuple((key, SIGNS[key]) for key in SPREAD))
    return (*own, *plain, *fed, most)


def _field(stem: str, sizes: Sizes) -> UseField:
    units = tuple((unit, SIGNS.get(unit, unit)) for unit in sizes)
    return f"{stem}_{units[0][0]}", LABELS[stem], units


def use_from(fields: Mapping[str, str], analysis: Analysis, *, raw: bool) -> UseFile:
    """What the form asks. Raises Refused with everything that is wrong."""
    use = fields.get("use", "field")
    given: dict[str, Any] = {"need": {}, "most": {}, use: {}}
    for name, _, units in fields_of_use(use):
        text = fields.get(name, "").strip().replace(",", ".")
        if text:
            stem = name.removesuffix(f"_{units[0][0]}") if units else name
            table = "need" if stem in NEED else "most" if stem in (*MOST, *SPREAD) else use
            given[table][_key(name, units, fields.get(f"{name}_unit", ""))] = typed(text)
    filled = {name: table for name, table in given.items() if table}
    top = Values(filled, "field")
    if use not in USES:
        top.wrong("use", use, f"Choose one of {', '.join(USES)}.")
    return asked_of(top, use, analysis, raw)


def _key(name: str, units: tuple[tuple[str, str], ...], chosen: str) -> str:
    """The file's key of a field in the unit chosen; one that is not known is left to the file to refuse."""
    if not units or not chosen or chosen == units[0][0]:
        return name
    return chosen if name in SPREAD else f"{name.removesuffix(units[0][0])}{chosen}"
