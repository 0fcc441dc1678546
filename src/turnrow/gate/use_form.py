"""A question about using a lot, from the fields of a form; the analysis is the lot's own."""

from collections.abc import Mapping
from typing import Any

from turnrow.gate.recipe_values import Values, typed
from turnrow.gate.use_file import MOST, NEED, PLACE, USES, UseFile, asked_of
from turnrow.sales.analysis import Analysis

LABELS = {
    "n_kg_ha": "Nitrogen the crop is to find, kg/ha",
    "p2o5_kg_ha": "P2O5 the crop is to find, kg/ha",
    "k2o_kg_ha": "K2O the crop is to find, kg/ha",
    "n_total_kg_ha": "Most nitrogen that may be brought in, kg/ha",
    "p2o5_total_kg_ha": "Most P2O5 that may be brought in, kg/ha",
    "k2o_total_kg_ha": "Most K2O that may be brought in, kg/ha",
    "t_ha": "Most compost, t/ha",
    "area_ha": "Area, ha",
    "area_m2": "Area, m²",
    "tilled_cm": "Dug to, cm",
    "share_pct_max": "Most compost in it, % of the volume",
    "volume_l": "Mix in all, L",
    "base_ec_ds_m": "Conductivity of the rest of the mix, dS/m",
    "ec_ds_m_max": "Most conductivity of the mix, dS/m",
}


def fields_of_use(use: str) -> tuple[tuple[str, str], ...]:
    """(name, label) of each field a use asks for; the place first."""
    own = PLACE.get(use, ())
    return tuple((key, LABELS[key]) for key in (*own, *(() if use == "potting" else (*NEED, *MOST))))


def use_from(fields: Mapping[str, str], analysis: Analysis, *, raw: bool) -> UseFile:
    """What the form asks. Raises Refused with everything that is wrong."""
    use = fields.get("use", "field")
    given: dict[str, Any] = {"need": {}, "most": {}, use: {}}
    for name in LABELS:
        text = fields.get(name, "").strip().replace(",", ".")
        if text:
            table = "need" if name in NEED else "most" if name in MOST else use
            given[table][name] = typed(text)
    filled = {name: table for name, table in given.items() if table}
    top = Values(filled, "field")
    if use not in USES:
        top.wrong("use", use, f"Choose one of {', '.join(USES)}.")
    return asked_of(top, use, analysis, raw)
