"""A question about using compost, from a TOML file: its analysis, and a field, a bed or a potting mix."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from turnrow.gate.measures import DENSITY, Sizes, keys, measure
from turnrow.gate.recipe_values import Values, of_toml
from turnrow.gate.use_units import BED, DEPTH, FIELD, MIX, ON_AREA, SPREAD
from turnrow.handbook.figures import Figures
from turnrow.sales.analysis import EXTRACTS, Analysis
from turnrow.sales.field import Before
from turnrow.yard.wrongs import Refused

Measures = Mapping[str, Sizes]
USES = ("field", "bed", "potting")
ANALYSIS = (
    "basis", "moisture_pct", *keys("bulk_density", DENSITY), "n_pct", "nh4_n_mg_kg", "no3_n_mg_kg",
    "p2o5_pct", "p_pct", "k2o_pct", "k_pct", "c_pct", "cn", "ec_ds_m", "ec_extract",
)  # fmt: skip
NEED: Measures = {"n": ON_AREA, "p2o5": ON_AREA, "k2o": ON_AREA}
MOST: Measures = {"n_total": ON_AREA, "p2o5_total": ON_AREA, "k2o_total": ON_AREA}
PLACE: Mapping[str, Measures] = {
    "field": {"area": FIELD},
    "bed": {"area": BED, "tilled": DEPTH},
    "potting": {"volume": MIX},
}
BESIDE: Mapping[str, tuple[str, ...]] = {
    "field": (),
    "bed": ("share_pct_max",),
    "potting": ("share_pct_max", "base_ec_ds_m", "ec_ds_m_max"),
}
BEFORE = ("years_ago", *SPREAD, "moisture_pct", "n_organic_kg_t_dry")
MOST_BEFORE = 50


@dataclass(frozen=True)
class UseFile:
    """What a file asks. `place` holds area_ha, area_m2 and so on; `raw`: the lot is not proven compost."""

    use: str
    analysis: Analysis
    need: dict[str, float] = field(default_factory=dict)
    most: dict[str, float] = field(default_factory=dict)
    before: tuple[Before, ...] = ()
    place: dict[str, float] = field(default_factory=dict)
    raw: bool = False


def read_use(data: bytes, name: str, book: Figures) -> UseFile:
    """What a file asks. Raises Refused with everything that is wrong, where, and what to do."""
    top = of_toml(data, name, "use")
    top.known(("use", "treated_as_raw", "analysis", "need", "most", "before", *USES))
    use = top.text("use")
    if use not in USES:
        top.wrong("use", use or "nothing", f"Write one of {', '.join(USES)}.")
    raw = top.raw.get("treated_as_raw", False)
    if not isinstance(raw, bool):
        top.wrong("treated_as_raw", raw, "Write true or false.")
    part = top.table("analysis", ANALYSIS)
    if part is None:
        top.wrong(
            "analysis", top.raw.get("analysis", "nothing"), "Write what the lab found under [analysis]."
        )
    analysis = _analysis(part, book) if part else Analysis(0.0)
    return asked_of(top, use, analysis, raw is True)


def asked_of(top: Values, use: str, analysis: Analysis, raw: bool) -> UseFile:
    """The rest of the question, of a known analysis. Raises Refused with every refusal of `top`."""
    need = _kilograms(top, "need", NEED)
    most = _kilograms(top, "most", MOST, spread=True)
    before = _before(top, analysis)
    place = _place(top, use)
    _enough(top, use, analysis, need, most)
    if top.refusals:
        raise Refused(top.refusals)
    return UseFile(use, analysis, need, most, before, place, raw)


def _analysis(part: Values, book: Figures) -> Analysis:
    basis = part.text("basis")
    if basis not in ("dry", "as received"):
        part.wrong("basis", basis or "nothing", 'Write "dry" or "as received": what the percentages are of.')
    moisture = part.number("moisture_pct", least=0.0, below=100.0)
    if moisture is None and "moisture_pct" not in part.raw:
        part.wrong("moisture_pct", "nothing", "Write the moisture, percent of wet mass.")
    wet = (moisture or 0.0) / 100.0
    dry = 1.0 if basis == "dry" else 1.0 - wet  # of a mass that the figures are of
    n = part.number("n_pct", least=0.0, most=20.0)
    minerals = [part.number(key, least=0.0, most=100_000.0) for key in ("nh4_n_mg_kg", "no3_n_mg_kg")]
    nh4, no3 = ((one or 0.0) / 1000.0 / dry for one in minerals)
    total = None if n is None else 10.0 * n / dry
    if total is not None and nh4 + no3 > total:
        part.wrong(
            "nh4_n_mg_kg, no3_n_mg_kg",
            f"{(nh4 + no3) * dry:g} g/kg",
            "It is more than all nitrogen; look at the units.",
        )
        nh4 = no3 = 0.0
    if total is None and (nh4 or no3):
        part.wrong("n_pct", "nothing", "Write total nitrogen beside its mineral part.")
        nh4 = no3 = 0.0
    ec, extract = part.number("ec_ds_m", least=0.0, most=100.0), part.text("ec_extract")
    if (ec is None) != (not extract) or (extract and extract not in EXTRACTS):
        do = f"A conductivity counts only with its extract: {', '.join(EXTRACTS)}."
        part.wrong("ec_extract", extract or "nothing", do)
        ec, extract = None, ""
    differ = book["tellings_differ"].value / 100
    carbon = _carbon(part, n, differ)
    return Analysis(
        moisture=wet,
        density=measure(part, "bulk_density", DENSITY, above=20.0, most=2000.0),
        n_total=total,
        nh4_n=nh4,
        no3_n=no3,
        p2o5=_oxide(part, "p2o5_pct", "p_pct", book["p2o5_of_p"].value, dry, differ),
        k2o=_oxide(part, "k2o_pct", "k_pct", book["k2o_of_k"].value, dry, differ),
        carbon=None if carbon is None else 10.0 * carbon / dry,
        ec=ec,
        extract=extract,
    )


def _carbon(part: Values, n: float | None, differ: float) -> float | None:
    carbon, cn = part.number("c_pct", least=0.0, most=65.0), part.number("cn", above=0.0, most=1000.0)
    if cn is None or n is None:
        return carbon
    if carbon is not None and abs(carbon - cn * n) > differ * carbon:
        do = (
            f"{carbon:g} over {n:g} is {carbon / n:.1f}; keep the one that was measured."
            if n
            else "N is nothing."
        )
        part.wrong("c_pct, cn", f"{carbon:g}, {cn:g}", do)
    return carbon if carbon is not None else cn * n


def _oxide(part: Values, oxide: str, element: str, factor: float, dry: float, differ: float) -> float | None:
    """kg of the oxide per t of dry matter; told as the oxide or as the element, or as both if they `differ`
    by no larger share."""
    found, pure = part.number(oxide, least=0.0, most=60.0), part.number(element, least=0.0, most=30.0)
    if found is not None and pure is not None and abs(found - pure * factor) > differ * found:
        do = f"{pure:g} is {pure * factor:.2f} as the oxide; keep the one the lab wrote."
        part.wrong(f"{oxide}, {element}", f"{found:g}, {pure:g}", do)
    value = found if found is not None else None if pure is None else pure * factor
    return None if value is None else 10.0 * value / dry


def _kilograms(top: Values, name: str, stems: Measures, *, spread: bool = False) -> dict[str, float]:
    """kg/ha by nutrient, and with `spread` the wet t/ha as "t"."""
    extra = keys("", SPREAD) if spread else ()
    part = top.table(name, (*(key for stem in stems for key in keys(stem, stems[stem])), *extra))
    if part is None:
        return {}
    read = {stem.split("_")[0]: measure(part, stem, stems[stem], least=0.0, most=100_000.0) for stem in stems}
    if spread:
        read["t"] = measure(part, "", SPREAD, least=0.0, most=100_000.0)
    return {key: value for key, value in read.items() if value is not None}


def _before(top: Values, analysis: Analysis) -> tuple[Before, ...]:
    found = []
    for part in top.each("before", BEFORE, MOST_BEFORE):
        years = part.number("years_ago", least=1.0, most=50.0)
        wet = measure(part, "", SPREAD, above=0.0, most=2000.0)
        moisture = part.number("moisture_pct", least=0.0, below=100.0)
        organic = part.number("n_organic_kg_t_dry", least=0.0, most=100.0)
        for told, value in ((("years_ago",), years), (keys("", SPREAD), wet)):
            if value is None and not any(key in part.raw for key in told):
                part.wrong(told[0], "nothing", "Write it: a spreading has an age and an amount.")
        if years is not None and years != int(years):
            part.wrong("years_ago", years, "Write whole years.")
        share = analysis.moisture if moisture is None else moisture / 100.0
        held = organic if organic is not None else analysis.organic_n
        if held is None:
            part.wrong("n_organic_kg_t_dry", "nothing", "Write it, or the nitrogen of this analysis.")
        found.append(Before(int(years or 1), (wet or 0.0) * (1.0 - share), held or 0.0))
    return tuple(found)


def _place(top: Values, use: str) -> dict[str, float]:
    for other in USES:
        if other != use and other in top.raw and use in USES:
            top.wrong(other, "a table", f"Leave it out; the file asks for a {use}.")
    if use not in USES:
        return {}
    asked, beside = PLACE[use], BESIDE[use]
    part = top.table(use, (*(key for stem in asked for key in keys(stem, asked[stem])), *beside))
    if part is None:
        if use != "field":
            wanted = [*(f"{stem}_{next(iter(sizes))}" for stem, sizes in asked.items()), *beside]
            top.wrong(use, "nothing", f"Write [{use}] with {', '.join(wanted)}.")
        return {}
    needed = "" if use == "field" else "Write it."
    read = {
        f"{stem}_{next(iter(sizes))}": measure(part, stem, sizes, above=0.0, most=1e7, needed=needed)
        for stem, sizes in asked.items()
    }
    for key in beside:
        share = key.startswith("share")
        read[key] = part.number(key, least=None if share else 0.0, above=0.0 if share else None, most=100.0)
    return {key: value for key, value in read.items() if value is not None}


def _enough(
    top: Values, use: str, analysis: Analysis, need: Mapping[str, float], most: Mapping[str, float]
) -> None:
    """Refuse what cannot be reckoned: a field without any limit, a limit on what the lab did not find."""
    if use == "field" and not need and not most:
        top.wrong("need", "nothing", "Write what the crop needs under [need], or a limit under [most].")
    told = {"n": analysis.n_total, "p2o5": analysis.p2o5, "k2o": analysis.k2o}
    keys = {"n": "n_pct", "p2o5": "p2o5_pct", "k2o": "k2o_pct"}
    for key in sorted(({*need} | {*most}) - {"t"}):
        if told[key] is None:
            top.wrong(
                f"[analysis] {keys[key]}", "nothing", "The file sets a limit on it; write what the lab found."
            )
    if use == "bed" and (need or most) and analysis.density is None:
        top.wrong("[analysis] bulk_density_kg_m3", "nothing", "Write it, so that tonnes become a depth.")
    if use == "potting" and (need or most):
        top.wrong("need", "a table", "Leave it out: a potting mix is limited by its share and its salt.")
