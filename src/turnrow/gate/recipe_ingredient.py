"""One ingredient of a recipe file: its numbers turned to one basis, checked, or looked up by its name."""

from collections.abc import Mapping
from dataclasses import replace

from turnrow.blend.carbon import AGREE, carbon_check, carbon_given_check, organic_from_carbon
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.problem import NO_SPREAD, Offer
from turnrow.blend.sampled import lot_of
from turnrow.blend.sheet import far_from_table
from turnrow.blend.slips import density_slip, percent_slip
from turnrow.gate.recipe_values import Values
from turnrow.gate.recipe_weighed import WEIGHED, weighed
from turnrow.handbook.feedstocks import Feedstock, find, near
from turnrow.yard.wrongs import Refusal

NEEDS_MOISTURE, NEEDS_CN, NEEDS_VOLUME, NEEDS_SOLIDS = "moisture", "cn", "volume", "solids"
TOLD = ("moisture_pct", "n_pct_dry", "c_pct_dry", "cn", "bulk_density_kg_m3", "organic_matter_pct_dry")
TAKEN = ("cost_per_t", "load_m3", "loads", "stock_t", "at_least_t", "sd_lot", "sd_load", "corr_c_n", "form")
KEYS = ("name", "basis", *TOLD, *WEIGHED, *TAKEN)
SD = ("moisture_pct", "n_pct_dry", "c_pct_dry", "bulk_density_kg_m3", "fill_pct", "corr_c_n")
BASES = ("dry", "as received")
MOST_DENSITY = 5_000.0  # kg/m3: stone is lighter
LEAST_LOAD, MOST_LOAD, MOST_AMOUNT = 0.001, 1_000.0, 1_000_000.0  # a litre or kilogram; m3; t or money


def offer_from(
    part: Values,
    needs: frozenset[str],
    feedstocks: Mapping[str, Feedstock],
    notices: list[str],
    unsaid: set[str],
) -> Offer | None:
    """The offer in one [[ingredient]]; None, with `part.refusals` filled, where anything is wrong."""
    part.known(KEYS)
    part = weighed(part, notices)
    name = part.text("name")
    if not name:
        part.wrong("name", part.raw.get("name", "nothing"), 'Name it: name = "straw".')
    basis = part.text("basis") or "dry"
    if basis not in BASES:
        part.wrong("basis", basis, 'Write "dry" or "as received".')
    lot = NO_SPREAD
    if any(key in part.raw for key in TOLD):
        what = _told(part, name, basis, needs, notices, unsaid)
        known = find(name, feedstocks) if name else None
        if what is not None and known is not None:
            notices += _far(part, what, known)
    else:
        what, lot = _looked_up(part, name, needs, feedstocks, notices)
    offer = _taken(part, what, basis, notices, lot)
    return None if part.refusals or what is None else offer


def _told(
    part: Values, name: str, basis: str, needs: frozenset[str], notices: list[str], unsaid: set[str]
) -> Ingredient | None:
    moisture = part.number("moisture_pct", least=0.0, most=100.0)
    if "moisture_pct" not in part.raw and (NEEDS_MOISTURE in needs or basis == "dry"):
        part.wrong("moisture_pct", "nothing", "Write its moisture in percent of wet mass.")
    if "moisture_pct" not in part.raw:
        unsaid |= {"moisture", "fas"}
    if moisture is not None and 0 < moisture <= 1:
        slip = percent_slip(f"{part.where}, moisture_pct", moisture, 2, 100)
        notices += [slip.sentence()] if slip else []
    dry = 1 - (moisture or 0.0) / 100
    per_dry = 1 / dry if basis == "as received" and dry > 0 else 1.0
    density = part.number("bulk_density_kg_m3", above=0.0, most=MOST_DENSITY)
    if density is not None and (slip := density_slip(f"{part.where}, bulk_density_kg_m3", density)):
        notices.append(slip.sentence())
    if moisture == 100:
        return Ingredient(name, 1.0, 0.0, 0.0, 0.0, density or 1000.0)
    needed = NEEDS_VOLUME in needs or "load_m3" in part.raw
    if needed and "bulk_density_kg_m3" not in part.raw:
        part.wrong("bulk_density_kg_m3", "nothing", "Write its density: volume is needed here.")
    both = _n_and_c(part, per_dry, needs, notices, unsaid)
    organic = part.number("organic_matter_pct_dry", least=0.0, most=100.0)
    share = None if organic is None else organic / 100 * per_dry
    if share is not None and share > 1:
        part.wrong("organic_matter_pct_dry", organic, "More than all dry matter: check moisture and basis.")
    if share is None and both is not None and both[1] > 0:
        share = organic_from_carbon(both[1])
    if share is None and "organic_matter_pct_dry" not in part.raw and both is not None:
        unsaid.add("fas")
        if NEEDS_SOLIDS in needs:
            part.wrong("organic_matter_pct_dry", "nothing", "Write it, or carbon: air space needs it.")
    if both is None or part.refusals:
        return None
    return Ingredient(name, (moisture or 0.0) / 100, both[0], both[1], share or 0.0, density)


def _far(part: Values, what: Ingredient, known: Feedstock) -> list[str]:
    """Typed numbers far from the handbook's range of the material they are told of."""
    told = {"moisture_pct": "moisture", "n_pct_dry": "n", "cn": "cn", "bulk_density_kg_m3": "density"}
    values = {
        "moisture": 100 * what.moisture_wet,
        "n": 100 * what.n_dry,
        "cn": what.c_dry / what.n_dry if what.n_dry > 0 else 0.0,
        "density": what.density or 0.0,
    }
    typed = {quantity: values[quantity] for key, quantity in told.items() if part.raw.get(key)}
    if "moisture_pct" not in part.raw:
        typed.pop("n", None)  # its share of dry matter is then not known
    return [one.sentence() for one in far_from_table(part.where, typed, known)]


def _n_and_c(
    part: Values, per_dry: float, needs: frozenset[str], notices: list[str], unsaid: set[str]
) -> tuple[float, float] | None:
    """Nitrogen and carbon per dry mass; None where refused."""
    n, c = (part.number(key, least=0.0, most=100.0) for key in ("n_pct_dry", "c_pct_dry"))
    cn = part.number("cn", above=0.0)
    has_n, has_c, has_cn = (key in part.raw for key in ("n_pct_dry", "c_pct_dry", "cn"))
    before = len(part.refusals)
    if has_cn and not has_n and not has_c:
        part.wrong("cn", part.raw["cn"], "C:N alone says no amount: write n_pct_dry or c_pct_dry beside it.")
    elif has_cn and has_n and n == 0:
        part.wrong(
            "cn", part.raw["cn"], "There is no C:N without nitrogen: write n_pct_dry, or c_pct_dry alone."
        )
    elif NEEDS_CN in needs and has_n + has_c + has_cn < 2:
        part.wrong("n_pct_dry, c_pct_dry, cn", "fewer than two", "Write two of them, or only the name.")
    elif has_n + has_c + has_cn < 2:
        unsaid.add("cn")
    if len(part.refusals) > before or (n, c, cn).count(None) > 3 - (has_n + has_c + has_cn):
        return None
    n_dry = None if n is None else n / 100 * per_dry
    c_dry = None if c is None else c / 100 * per_dry
    for key, value in (("n_pct_dry", n_dry), ("c_pct_dry", c_dry)):
        if value is not None and value > 1:
            part.wrong(key, part.raw[key], "More than all dry matter: check moisture and basis.")
            return None
    if n_dry is not None and c_dry is not None and cn is not None and abs(n_dry * cn - c_dry) > AGREE * c_dry:
        part.wrong(
            "n_pct_dry, c_pct_dry, cn",
            f"{part.raw['n_pct_dry']} x {cn:g} is not {part.raw['c_pct_dry']}",
            "Keep two of one lab sheet; the third follows.",
        )
        return None
    if n_dry is None and c_dry is not None and cn is not None:
        n_dry = c_dry / cn
    if c_dry is None and n_dry is not None and cn is not None:
        c_dry = n_dry * cn
    _check_carbon(part, n_dry, c_dry, cn, notices)
    return n_dry or 0.0, c_dry or 0.0


def _check_carbon(
    part: Values, n_dry: float | None, c_dry: float | None, cn: float | None, notices: list[str]
) -> None:
    if c_dry is None or c_dry == 0:
        return
    where = f"{part.where}, carbon"
    if cn is not None and n_dry is not None:
        found = carbon_check(where, n_dry, cn)
    else:
        found = carbon_given_check(where, c_dry)
    if isinstance(found, Refusal):
        part.refusals.append(found)
    elif found is not None and "moisture_pct" in part.raw:  # else the shares are not of dry mass
        notices.append(found.sentence())


def _looked_up(
    part: Values,
    name: str,
    needs: frozenset[str],
    feedstocks: Mapping[str, Feedstock],
    notices: list[str],
) -> tuple[Ingredient | None, Spread]:
    """The handbook's material of that name, and how far one farm's lot of it may be from the table: the
    same belief as the page's form starts from."""
    if name.casefold() == "water":
        return Ingredient(name, 1.0, 0.0, 0.0, 0.0, 1000.0), NO_SPREAD
    feedstock = find(name, feedstocks) if name else None
    if feedstock is None:
        if name:
            close = ", ".join(near(name, feedstocks)[:5])
            part.wrong(
                "name",
                name,
                "Write its moisture_pct, n_pct_dry and cn"
                + (f", or a name of the handbook: {close}." if close else ": the handbook has no such name."),
            )
        return None, NO_SPREAD
    form = part.text("form")
    if form and form not in feedstock.forms:
        part.wrong("form", form, f"The handbook has {', '.join(feedstock.forms) or 'no density'} of it.")
    gaps = [gap for gap in feedstock.missing if gap != "density"]
    if gaps:
        part.wrong("name", name, f"The handbook lacks its {', '.join(gaps)}: write your own values.")
        return None, NO_SPREAD
    lot = lot_of(feedstock, {}, form if form in feedstock.forms else "")
    what = lot.ingredient
    if what.density is None and (NEEDS_VOLUME in needs or "load_m3" in part.raw):
        part.wrong(
            "bulk_density_kg_m3", "nothing", "The handbook has no density of it: write your own values."
        )
    used = [feedstock.figure(key) for key in ("moisture", "n", "c", "cn", "density")]
    known = sorted({figure.known for figure in used if figure is not None})
    notices.append(
        f"{name}: the handbook's typical values and their spread are used ({', '.join(known)}); "
        "one farm can differ by half, so a lab sheet and a weighed bucket are better"
    )
    return replace(what, name=name), lot.spread


def _taken(
    part: Values, what: Ingredient | None, basis: str, notices: list[str], table: Spread
) -> Offer | None:
    """How it may be taken: cost, loads, stock, spreads. `table`: the handbook's spread of a material known
    by its name alone, which stands where the file gives none of its own."""
    cost = part.number("cost_per_t", least=0.0, most=MOST_AMOUNT)
    load = part.number("load_m3", least=LEAST_LOAD, most=MOST_LOAD)
    stock = part.number(
        "stock_t",
        least=LEAST_LOAD,
        most=MOST_AMOUNT,
        do="Write what there is, above 0, or leave the ingredient out.",
    )
    least = part.number("at_least_t", least=0.0, most=MOST_AMOUNT)
    loads = _loads(part)
    if stock is not None and least is not None and least > stock:
        part.wrong("at_least_t", least, f"There are {stock:g} t in stock.")
    dry = 1 - what.moisture_wet if what is not None else 1.0
    per_dry = 1 / dry if basis == "as received" and dry > 0 else 1.0
    corr = part.number("corr_c_n", least=-1.0, most=1.0) or 0.0
    lot, single = (_spread(part, key, per_dry, corr, notices) for key in ("sd_lot", "sd_load"))
    if "sd_lot" not in part.raw:
        lot = replace(table, corr_c_n=corr)
    if part.refusals or what is None:
        return None
    return Offer(
        what,
        cost_per_t=cost or 0.0,
        load_m3=load,
        loads=loads,
        least_kg=(least or 0.0) * 1000,
        stock_kg=None if stock is None else stock * 1000,
        lot=lot,
        load=single,
    )


def _loads(part: Values) -> tuple[int, int | None]:
    if "loads" not in part.raw:
        return 0, None
    value = part.raw["loads"]
    whole = isinstance(value, list) and all(isinstance(n, int) and not isinstance(n, bool) for n in value)
    if not whole or len(value) != 2 or value[0] < 0:
        part.wrong("loads", value, "Write two whole numbers, fewest and most: [0, 25].")
    elif value[1] > MOST_AMOUNT:
        part.wrong("loads", value, f"Write at most {MOST_AMOUNT:.0f}.")
    elif value[0] > value[1]:
        part.wrong("loads", value, f"Fewest comes first: [{value[1]}, {value[0]}].")
    elif "load_m3" not in part.raw:
        part.wrong("loads", value, "Write load_m3 beside it, what one load holds.")
    else:
        return value[0], value[1]
    return 0, None


def _spread(part: Values, key: str, per_dry: float, corr: float, notices: list[str]) -> Spread:
    table = part.table(key, SD)
    if table is None:
        return Spread(corr_c_n=corr)
    sd = {name: table.number(name, least=0.0) or 0.0 for name in SD[:-1]}
    own = table.number("corr_c_n", least=-1.0, most=1.0)
    if sd["fill_pct"] and "load_m3" not in part.raw:
        notices.append(f"{table.where}, fill_pct: passed over, since any amount may be taken")
        sd["fill_pct"] = 0.0
    if sd["bulk_density_kg_m3"] and "bulk_density_kg_m3" not in part.raw and any(k in part.raw for k in TOLD):
        table.wrong("bulk_density_kg_m3", sd["bulk_density_kg_m3"], "Write the density itself beside it.")
    return Spread(
        moisture_wet=sd["moisture_pct"] / 100,
        n_dry=sd["n_pct_dry"] / 100 * per_dry,
        c_dry=sd["c_pct_dry"] / 100 * per_dry,
        density=sd["bulk_density_kg_m3"],
        fill=sd["fill_pct"] / 100,
        corr_c_n=corr if own is None else own,
    )
