"""A chain from a TOML file: loads, how the row stood after a while, what the screen made of it."""

from dataclasses import dataclass

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
LOAD = ("name", "t", "m3", "bulk_density_kg_m3", "moisture_pct", *FOUND)
STAGE = ("name", "t", "moisture_pct", "dm_loss_pct", "water_m3", "n_loss_pct", *FOUND)
SCREEN = (
    "fines_t", "overs_t", "fines_pct", "fines_moisture_pct", "overs_moisture_pct", "bulk_density_kg_m3",
)  # fmt: skip
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
    top.known(("load", "stage", "screen", "water_m3", "reference_moisture_pct"))
    loads = [_load(part, load_most) for part in top.each("load", LOAD, MOST_LOADS)]
    stages = [_stage(part) for part in top.each("stage", STAGE, MOST_STAGES)]
    if "load" not in top.raw:
        top.wrong("load", "nothing", "Write each load under its own [[load]], with t and moisture_pct.")
    top.told_apart("load", [one.name for one in loads])
    top.told_apart("stage", [one.name for one in stages])
    screen = _screen(top)
    water = top.number("water_m3", least=0.0, most=MOST_T) or 0.0
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
    mass = part.number("t", least=LEAST, most=MOST_T)
    volume, density = (
        part.number("m3", least=LEAST, most=MOST_T),
        part.number("bulk_density_kg_m3", above=20.0, most=2000.0),
    )
    if "t" in part.raw and "m3" in part.raw:
        part.wrong("m3", part.raw["m3"], "Write t, or m3 with bulk_density_kg_m3, not both.")
    elif "t" not in part.raw and "m3" not in part.raw:
        part.wrong("t", "nothing", "Write t, or m3 with bulk_density_kg_m3.")
    elif "m3" in part.raw and "bulk_density_kg_m3" not in part.raw:
        part.wrong("bulk_density_kg_m3", "nothing", "Write it: without it a volume is no mass.")
    if mass is None and volume is not None and density is not None:
        mass = volume * density / 1000.0
    elif mass is not None and mass > load_most:
        meant = unit_meant(Amount(round(mass * MICRO), "t"), lambda t: t <= load_most)
        part.wrong(
            "t", f"{mass:g}", f"One load of more than {load_most:g} t is not believed. {meant}".strip()
        )
    moisture = _moisture(part)
    return Load(part.text("name") or part.where.rsplit(", ", 1)[1], mass or 1.0, moisture, _found(part))


def _stage(part: Values) -> Stage:
    lost = part.number("dm_loss_pct", least=0.0, below=100.0)
    told = part.number("n_loss_pct", least=-100.0, most=100.0)
    found = _found(part)
    if not {"t", "dm_loss_pct", "ash_pct_dry"} & part.raw.keys():
        part.wrong(
            "t", "nothing", "Write its weight t, or dm_loss_pct, or ash_pct_dry beside the loads' ash."
        )
    if {"t", "dm_loss_pct"} <= part.raw.keys():
        part.wrong("dm_loss_pct", part.raw["dm_loss_pct"], "The weight says what was lost; leave one out.")
    return Stage(
        part.text("name") or part.where.rsplit(", ", 1)[1],
        _moisture(part),
        part.number("t", least=LEAST, most=MOST_T),
        None if lost is None else lost / 100.0,
        found,
        part.number("water_m3", least=0.0, most=MOST_T) or 0.0,
        None if told is None else told / 100.0,
    )


def _screen(top: Values) -> Screen | None:
    part = top.table("screen", SCREEN)
    if part is None:
        return None
    part.known(SCREEN)
    share = part.number("fines_pct", above=0.0, most=100.0)
    fines, overs = (part.number(key, least=0.0, most=MOST_T) for key in ("fines_t", "overs_t"))
    if not {"fines_pct", "fines_t", "overs_t"} & part.raw.keys():
        part.wrong("fines_pct", "nothing", "Write fines_pct, or fines_t or overs_t or both.")
    if "fines_pct" in part.raw and {"fines_t", "overs_t"} & part.raw.keys():
        part.wrong("fines_pct", part.raw["fines_pct"], "The weights say it; leave one out.")
    wet = [part.number(key, least=0.0, below=100.0) for key in ("fines_moisture_pct", "overs_moisture_pct")]
    density = part.number("bulk_density_kg_m3", above=20.0, most=2000.0)
    fine_wet, over_wet = (None if one is None else one / 100.0 for one in wet)
    return Screen(
        fines, overs, None if share is None else share / 100.0, fine_wet, over_wet,
        None if density is None else density / 1000.0,
    )  # fmt: skip


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
    said = [(f"stage {n}", "t", one.wet) for n, one in enumerate(stages, start=1)]
    if screen is not None:
        said += [("[screen]", "fines_t", screen.fines)]
    for place, key, wet in said:
        if wet is not None and not laid / FAR**2 <= wet <= laid * FAR:
            meant = "Likely it is in kg, not t." if wet > laid else "Look at its unit."
            top.wrong(f"{place}, {key}", f"{wet:g}", f"{laid:g} t were laid. {meant}")


def _ash_enough(top: Values, loads: list[Load], stages: list[Stage]) -> None:
    """A stage known by its ash alone needs the ash before it."""
    known = all("ash" in one.found for one in loads)
    for number, stage in enumerate(stages, start=1):
        if stage.wet is None and stage.lost is None and not known:
            top.wrong(
                f"stage {number}", "its ash alone", "Write ash_pct_dry of every load, or of the stage before."
            )
        known = known or "ash" in stage.found
