"""A chain from a TOML file: loads, how the row stood after a while, what the screen made of it."""

from dataclasses import dataclass

from turnrow.gate.measures import CUBIC, DENSITY, LOOSE, MASS, TONNES, key_of, keys, measure, told
from turnrow.gate.recipe_values import Values, of_toml
from turnrow.handbook.book import handbook
from turnrow.lots.chain import Load, Screen, Stage
from turnrow.lots.suggest import unit_meant
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.wrongs import Refused

FOUND = {  # key -> name, share of the dry matter in one of its unit
    "ash_pct_dry": ("ash", 0.01), "p_pct_dry": ("phosphorus", 0.01), "k_pct_dry": ("potassium", 0.01),
    "fe_mg_kg_dry": ("iron", 1e-6), "n_pct_dry": ("nitrogen", 0.01),
}  # fmt: skip
MASSES, VOLUMES, HEAVY = keys("", MASS), keys("", LOOSE), keys("bulk_density", DENSITY)
WATER = {unit: CUBIC[unit] for unit in ("m3", "l", "gal", "yd3", "ft3", "ac_in")}
LOAD = ("name", *MASSES, *VOLUMES, *HEAVY, "moisture_pct", *FOUND)
STAGE = ("name", *MASSES, "moisture_pct", "dm_loss_pct", *keys("water", WATER), "n_loss_pct", *FOUND)
SCREEN = (
    *keys("fines", MASS), *keys("overs", MASS), "fines_pct", "fines_moisture_pct", "overs_moisture_pct",
    *HEAVY,
)  # fmt: skip
ANY_MASS, ANY_VOLUME, ANY_DENSITY = (f"one of {', '.join(every)}" for every in (MASSES, VOLUMES, HEAVY))
MOST_LOADS, MOST_STAGES, MOST_T = 500, 50, 1_000_000.0
FAR = 20.0  # times what was laid, from which a weight is taken for another unit
LEAST = 1e-6  # of any mass, volume or share: less is a slip, and divides into more than there is


@dataclass(frozen=True)
class ChainFile:
    """What a file says; water [t] given when the row was laid, reference a moisture as a share."""

    loads: tuple[Load, ...]
    stages: tuple[Stage, ...]
    screen: Screen | None
    reference: float
    water: float


def read_chain(data: bytes, name: str, load_most: float) -> ChainFile:
    """What a file says. `load_most`: tonnes above which one load is taken for kilograms.

    Raises Refused with everything that is wrong, where, and what to do.
    """
    top = of_toml(data, name, "chain")
    top.known(("load", "stage", "screen", *keys("water", WATER), "reference_moisture_pct"))
    loads = [_load(part, load_most) for part in top.each("load", LOAD, MOST_LOADS)]
    stages = [_stage(part) for part in top.each("stage", STAGE, MOST_STAGES)]
    if "load" not in top.raw:
        top.wrong("load", "nothing", "Write each load under its own [[load]], with t and moisture_pct.")
    top.told_apart("load", [one.name for one in loads])
    top.told_apart("stage", [one.name for one in stages])
    screen = _screen(top)
    water = _water(top)
    reference = top.number("reference_moisture_pct", least=0.0, below=100.0)
    if not top.refusals:
        _ash_enough(top, loads, stages)
        _units(top, sum(one.wet for one in loads) + water, stages, screen)
    if top.refusals:
        raise Refused(top.refusals)
    if reference is None:
        reference = handbook().settings["reference_moisture"].amount.value / MICRO
    return ChainFile(tuple(loads), tuple(stages), screen, reference / 100.0, water)


def _load(part: Values, load_most: float) -> Load:
    mass = measure(part, "", MASS, least=LEAST, most=MOST_T)
    volume = measure(part, "", LOOSE, least=LEAST, most=MOST_T)
    density = _density(part)
    weighed, heaped = told(part, "", MASS), told(part, "", LOOSE)
    if weighed and heaped:
        key = key_of(part, "", LOOSE)
        part.wrong(
            key, part.raw[key], f"Write {key_of(part, '', MASS)}, or {key} with its density, not both."
        )
    elif not weighed and not heaped:
        part.wrong("t", "nothing", f"Write its mass, {ANY_MASS}; or {ANY_VOLUME} with {ANY_DENSITY}.")
    elif heaped and not told(part, "bulk_density", DENSITY):
        part.wrong("bulk_density_kg_m3", "nothing", f"Write {ANY_DENSITY}: without it a volume is no mass.")
    if mass is None and volume is not None and density is not None:
        mass = volume * density
    elif mass is not None and mass > load_most:
        _too_much(part, load_most)
    moisture = _moisture(part)
    return Load(part.text("name") or part.where.rsplit(", ", 1)[1], mass or 1.0, moisture, _found(part))


def _too_much(part: Values, load_most: float) -> None:
    """Refuse a mass no load has, with the unit that was likely meant."""
    key = key_of(part, "", MASS)
    unit = key.removeprefix("short_").replace("_", " ")
    meant = unit_meant(Amount(round(part.raw[key] * MICRO), unit), lambda t: t <= load_most)
    do = f"One load of more than {load_most:g} t is not believed. {meant}".strip()
    part.wrong(key, f"{part.raw[key]:g}", do)


def _stage(part: Values) -> Stage:
    lost = part.number("dm_loss_pct", least=0.0, below=100.0)
    nitrogen = part.number("n_loss_pct", least=-100.0, most=100.0)
    found = _found(part)
    weighed = told(part, "", MASS)
    if not weighed and not {"dm_loss_pct", "ash_pct_dry"} & part.raw.keys():
        do = f"Write its weight, {ANY_MASS}; or dm_loss_pct, or ash_pct_dry beside the loads' ash."
        part.wrong("t", "nothing", do)
    if weighed and "dm_loss_pct" in part.raw:
        part.wrong("dm_loss_pct", part.raw["dm_loss_pct"], "The weight says what was lost; leave one out.")
    return Stage(
        part.text("name") or part.where.rsplit(", ", 1)[1],
        _moisture(part),
        measure(part, "", MASS, least=LEAST, most=MOST_T),
        None if lost is None else lost / 100.0,
        found,
        _water(part),
        None if nitrogen is None else nitrogen / 100.0,
    )


def _screen(top: Values) -> Screen | None:
    part = top.table("screen", SCREEN)
    if part is None:
        return None
    part.known(SCREEN)
    share = part.number("fines_pct", above=0.0, most=100.0)
    fines, overs = (measure(part, stem, MASS, least=0.0, most=MOST_T) for stem in ("fines", "overs"))
    weighed = any(told(part, stem, MASS) for stem in ("fines", "overs"))
    if "fines_pct" not in part.raw and not weighed:
        do = f"Write fines_pct, or fines or overs or both by weight: {', '.join(keys('fines', MASS))}."
        part.wrong("fines_pct", "nothing", do)
    if "fines_pct" in part.raw and weighed:
        part.wrong("fines_pct", part.raw["fines_pct"], "The weights say it; leave one out.")
    wet = [part.number(key, least=0.0, below=100.0) for key in ("fines_moisture_pct", "overs_moisture_pct")]
    fine_wet, over_wet = (None if one is None else one / 100.0 for one in wet)
    return Screen(
        fines, overs, None if share is None else share / 100.0, fine_wet, over_wet,
        _density(part),
    )  # fmt: skip


def _density(part: Values) -> float | None:
    """Bulk density [t/m3]."""
    found = measure(part, "bulk_density", DENSITY, above=20.0, most=2000.0)
    return None if found is None else found / 1000.0


def _water(part: Values) -> float:
    """Water given [m3, which are tonnes]."""
    return measure(part, "water", WATER, least=0.0, most=MOST_T) or 0.0


def _moisture(part: Values) -> float:
    found = part.number("moisture_pct", least=0.0, below=100.0)
    if "moisture_pct" not in part.raw:
        part.wrong("moisture_pct", "nothing", "Write the moisture, percent of wet mass.")
    return (found or 0.0) / 100.0


def _found(part: Values) -> dict[str, float]:
    """Shares of the dry matter, by name."""
    read: dict[str, float] = {}
    for key, (name, size) in FOUND.items():
        value = part.number(key, least=LEAST, most=100.0 if size == 0.01 else 500_000.0)
        if value is not None:
            read[name] = value * size
    return read


def _units(top: Values, laid: float, stages: list[Stage], screen: Screen | None) -> None:
    """Refuse weights that are many times what was laid, or next to nothing of it."""
    said = [(f"stage {n}", "", top.raw["stage"][n - 1], one.wet) for n, one in enumerate(stages, start=1)]
    if screen is not None:
        said += [("[screen]", "fines", top.raw["screen"], screen.fines)]
    for place, stem, raw, wet in said:
        if wet is not None and not laid / FAR**2 <= wet <= laid * FAR:
            key = next(key for key in keys(stem, MASS) if key in raw)
            in_t = wet > laid and key == keys(stem, TONNES)[0]
            meant = "Likely it is in kg, not t." if in_t else "Look at its unit."
            top.wrong(f"{place}, {key}", f"{raw[key]:g}", f"{laid:g} t were laid. {meant}")


def _ash_enough(top: Values, loads: list[Load], stages: list[Stage]) -> None:
    """A stage known by its ash alone needs the ash before it."""
    known = all("ash" in one.found for one in loads)
    for number, stage in enumerate(stages, start=1):
        if stage.wet is None and stage.lost is None and not known:
            top.wrong(
                f"stage {number}", "its ash alone", "Write ash_pct_dry of every load, or of the stage before."
            )
        known = known or "ash" in stage.found
