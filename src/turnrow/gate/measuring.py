"""What a yard measured with pail, scale and oven, from a form's fields: results, or every refusal."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.blend.air_space import air_space_by_density, air_space_of_pail
from turnrow.blend.basis import density_of_pail, dry_basis, moisture_of_sample, wet_basis
from turnrow.blend.carbon import FromAsh, carbon_from_ash
from turnrow.blend.shrink import BucketTest, Shrink, fit_shrink
from turnrow.blend.water import mass_after_drying, moisture_ceiling, water_to_add, water_to_dry_off
from turnrow.blend.weighed import Several, ash_of_sample, several, steady
from turnrow.gate.recipe_numbers import Fields
from turnrow.gate.recipe_weighed import MOST_G, MOST_KG, MOST_L
from turnrow.yard.units import of_kind
from turnrow.yard.wrongs import Refused, shown

LITRES = {unit: 1000 * float(of_kind("volume")[unit]) for unit in ("L", "gal", "imp gal", "ft3")}
KILOGRAMS = {unit: 1000 * float(of_kind("mass")[unit]) for unit in ("kg", "lb")}
WATERS = {**LITRES, **KILOGRAMS}  # a kilogram of water is a litre
TONNES = {unit: float(of_kind("mass")[unit]) for unit in ("t", "kg", "ton", "lb")}
DENSITIES = {unit: float(size) for unit, size in of_kind("density").items()}
MOST_T = 100_000.0
LIGHTEST, HEAVIEST = 5.0, 3_000.0  # kg/m3: no straw lies so loose; stone is lighter
BUCKET_TESTS = 3
BESIDE = ("material", "load", "row")


@dataclass(frozen=True)
class Pail:
    """Density of each fill [kg/m3]; free air space by water, None where none was poured; by density alone."""

    litres: float
    density: Several
    air: float | None
    air_by_density: float


@dataclass(frozen=True)
class Oven:
    """Moisture of each sample (fraction of wet mass), the mean as water per dry mass, and whether the last
    two weighings of every sample agree; None where it was weighed dry once."""

    moisture: Several
    per_dry: float
    steady: bool | None


@dataclass(frozen=True)
class Ash:
    """Ash per dry mass, organic matter, and carbon with what the method leaves open."""

    ash: Several
    organic: float
    carbon: FromAsh


@dataclass(frozen=True)
class Watering:
    """Tonnes of water to give or to lose, the mass before and after [t], moistures (fractions of wet mass),
    and the most water that leaves the air asked; None where density or organic matter was not said."""

    mass_t: float
    moisture: float
    wanted: float
    give_t: float
    lose_t: float
    after_t: float
    ceiling: float | None


Measured = Pail | Oven | Ash | Watering | Shrink


def measured_from(what: str, given: Mapping[str, str], air_pct: float) -> Measured | None:
    """What `what` ("pail", "oven", "ash", "water", "shrink") comes to by the fields of its form.

    air_pct  air space a mix is to keep, percent of volume, for the ceiling of moisture
    None where nothing was typed. Raises Refused with everything that is wrong; each `where` ends in its
    field's name in brackets.
    """
    fields = Fields(given)
    named = [name for name in BESIDE if fields.has(name)]
    if not any(text.strip() for name, text in given.items() if not _beside(name)):
        return None
    if len(named) > 1:
        for name in named[1:]:
            fields.wrong(name, name, shown(fields.text(name)), f"It is of the {named[0]} already: keep one.")
    found = READ[what](fields) if what != "water" else _water(fields, air_pct)
    if fields.refusals or found is None:
        raise Refused(fields.refusals)
    return found


def _beside(name: str) -> bool:
    return name in ("what", "moisture_of", *BESIDE) or name.endswith("_unit")


def _pail(fields: Fields) -> Pail | None:
    litres = fields.number("pail", "what the pail holds", above=0.0, most=MOST_L, units=LITRES)
    empty = fields.number("empty", "empty pail", least=0.0, most=MOST_KG, units=KILOGRAMS)
    scale = KILOGRAMS.get(fields.text("empty_unit"), 1.0)  # a scale is read in one unit
    read = fields.several("full", "full pail", above=0.0, most=MOST_KG)
    full = None if read is None else [one * scale for one in read]
    water = fields.number("brim", "water to the brim", least=0.0, most=MOST_KG, units=WATERS)
    _needed(fields, {"pail": "What does it hold?", "empty": "Weigh it empty; 0 if the scale was set to 0."})
    _needed(fields, {"full": "Weigh it full."})
    if litres is not None and empty is not None and full is not None:
        for one in full:
            if one <= empty:
                do = "A full pail weighs more than an empty one: look at both weights."
                fields.wrong("full", "full pail", f"{one:g} kg full, {empty:g} kg empty", do)
            elif not LIGHTEST <= (per_m3 := density_of_pail(one, empty, litres)) <= HEAVIEST:
                do = "Nothing on a yard is so light or so heavy: look at the pail's size and the units."
                fields.wrong("full", "full pail", f"{per_m3:.3g} kg/m³", do)
    if litres is not None and water is not None and water > litres:
        do = "A pail takes no more water than it holds: look at both."
        fields.wrong("brim", "water to the brim", f"{water:.3g} L in a pail of {litres:.3g} L", do)
    if fields.refusals or litres is None or empty is None or full is None:
        return None
    density = several([density_of_pail(one, empty, litres) for one in full])
    air = None if water is None else air_space_of_pail(water, litres)
    return Pail(litres, density, air, air_space_by_density(density.mean))


def _oven(fields: Fields) -> Oven | None:
    wet, dry = (_weights(fields, name) for name in ("wet", "dry"))
    _needed(fields, {"wet": "Weigh each sample wet.", "dry": "Weigh each sample dry."})
    again = _weights(fields, "again")
    if wet is None or dry is None:
        return None
    cups = _cups(fields, len(wet))
    if cups is None or not _as_many(fields, "dry", len(dry), len(wet)):
        return None
    if fields.has("again") and (again is None or not _as_many(fields, "again", len(again), len(wet))):
        return None
    for name, after in (("dry", dry), ("again", again)):
        for cup, a, b in zip(cups, wet, after or (), strict=after is not None):
            _falls(fields, name, cup, a, b, "wet")
    if fields.refusals:
        return None
    last = again or dry
    net = [(a - cup, b - cup, c - cup) for cup, a, b, c in zip(cups, wet, dry, last, strict=True)]
    moisture = several([moisture_of_sample(a, c) for a, _, c in net])
    settled = None if again is None else all(steady(b, c) for _, b, c in net)
    return Oven(moisture, dry_basis(moisture.mean), settled)


def _ash(fields: Fields) -> Ash | None:
    shares: tuple[float, ...]
    if fields.has("ash"):
        for name in ("cup", "dry", "burnt"):
            if fields.has(name):
                fields.wrong(name, "weights", "ash in percent too", "Keep the percentage or the weights.")
        share = fields.number("ash", "ash", least=0.0, most=100.0)
        shares = () if share is None else (share / 100,)
    else:
        shares = _burnt(fields)
    if fields.refusals or not shares:
        return None
    ash = several(shares)
    return Ash(ash, 1 - ash.mean, carbon_from_ash(ash.mean))


def _burnt(fields: Fields) -> tuple[float, ...]:
    dry, burnt = (_weights(fields, name) for name in ("dry", "burnt"))
    _needed(fields, {"dry": "Weigh it dry, or write the ash in percent.", "burnt": "Weigh it burnt."})
    if dry is None or burnt is None:
        return ()
    cups = _cups(fields, len(dry))
    if cups is None or not _as_many(fields, "burnt", len(burnt), len(dry)):
        return ()
    for cup, a, b in zip(cups, dry, burnt, strict=True):
        _falls(fields, "burnt", cup, a, b, "dry", bare=True)
    if fields.refusals:
        return ()
    return tuple(ash_of_sample(a - cup, b - cup) for cup, a, b in zip(cups, dry, burnt, strict=True))


def _water(fields: Fields, air_pct: float) -> Watering | None:
    mass = fields.number("mass", "how much there is", above=0.0, most=MOST_T, units=TONNES)
    per_dry = fields.text("moisture_of") == "dry"
    most = 10_000.0 if per_dry else 99.0
    moisture = fields.number("moisture", "moisture", least=0.0, most=most)
    wanted = fields.number("wanted", "moisture wanted", least=0.0, most=99.0)
    kept = fields.number("stays", "share of the water that stays", above=0.0, most=100.0)
    density = fields.number("density", "density", above=0.0, most=HEAVIEST, units=DENSITIES)
    organic = fields.number("organic", "organic matter", least=0.0, most=100.0)
    _needed(fields, {"mass": "Say how much there is.", "moisture": "Say how wet it is."})
    _needed(fields, {"wanted": "Say how wet it shall be."})
    for name, words, one, other in (
        ("organic", "organic matter", organic, "density"),
        ("density", "density", density, "organic"),
    ):
        if one is None and not fields.has(name) and fields.has(other):
            fields.wrong(name, words, "nothing", "The most water it can hold needs both of the two.")
    if fields.refusals or mass is None or moisture is None or wanted is None:
        return None
    share, goal = wet_basis(moisture / 100) if per_dry else moisture / 100, wanted / 100
    return Watering(
        mass_t=mass,
        moisture=share,
        wanted=goal,
        give_t=water_to_add(mass, share, goal, (kept or 100.0) / 100),
        lose_t=water_to_dry_off(mass, share, goal),
        after_t=mass_after_drying(mass, share, goal),
        ceiling=None
        if density is None or organic is None
        else moisture_ceiling(density * (1 - share), organic / 100, air_pct / 100),
    )


def _shrink(fields: Fields) -> Shrink | None:
    tests = []
    for place in range(1, BUCKET_TESTS + 1):
        apart = fields.several(f"apart_{place}", f"test {place}, parts", above=0.0, most=MOST_L)
        mixed = fields.number(f"mixed_{place}", f"test {place}, mix", above=0.0, most=MOST_L)
        if place > 1 and not fields.has(f"apart_{place}") and not fields.has(f"mixed_{place}"):
            continue
        _needed(
            fields, {f"apart_{place}": "Write what each part measured.", f"mixed_{place}": "And the mix."}
        )
        if apart is not None and len(apart) < 2:
            do = "Write at least two parts, each with its own number."
            fields.wrong(f"apart_{place}", f"test {place}, parts", f"{len(apart)} part", do)
        elif apart is not None and mixed is not None:
            tests.append(BucketTest(apart, mixed))
    return None if fields.refusals else fit_shrink(tests)


READ = {"pail": _pail, "oven": _oven, "ash": _ash, "shrink": _shrink}
WHATS = (*READ, "water")


def _weights(fields: Fields, name: str) -> tuple[float, ...] | None:
    return fields.several(name, f"{name}, with the container", above=0.0, most=MOST_G)


def _cups(fields: Fields, count: int) -> tuple[float, ...] | None:
    """Weights of the containers: none, one for all, or one for each sample."""
    cups = fields.several("cup", "container", least=0.0, most=MOST_G)
    if cups is None:
        return None if fields.has("cup") else (0.0,) * count
    if len(cups) == 1:
        return cups * count
    return cups if _as_many(fields, "cup", len(cups), count) else None


def _as_many(fields: Fields, name: str, got: int, wanted: int) -> bool:
    if got == wanted:
        return True
    fields.wrong(
        name, name, f"{got} weights for {wanted} samples", "Write one for each sample, in their order."
    )
    return False


def _falls(
    fields: Fields, name: str, cup: float, before: float, after: float, was: str, *, bare: bool = False
) -> None:
    """Refuse a sample that is heavier after than before, or nothing but its container."""
    if after > before:
        do = f"It cannot weigh more than {was}: look at the order of the samples."
        fields.wrong(name, name, f"{after:g} after {before:g}", do)
    elif after < cup or before <= cup or (after == cup and not bare):
        fields.wrong(name, name, f"{after:g} in a container of {cup:g}", "Weights include the container.")


def _needed(fields: Fields, asked: Mapping[str, str]) -> None:
    for name, do in asked.items():
        if not fields.has(name):
            fields.wrong(name, name, "nothing", do)
