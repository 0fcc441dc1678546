"""A recipe from a plain file: what to mix, in whole loads, at least cost, with what chance."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json

if TYPE_CHECKING:
    from turnrow.blend.recipe import Recipe
    from turnrow.gate.recipe_file import RecipeFile

EXAMPLE = """\
# An invented yard's week: what lies there, what the row shall be. Run it: turnrow blend THIS.toml
total_t = 40                    # at least so much; or total_m3
confidence = 0.80               # chance that all limits hold together; left out: on the means alone
section_m2 = 4.2                # of the row, for its length; may be left out
# shrink = 0.10                 # share of the volume lost as fines fill the voids of the coarse parts
# far_outside = { worst = 0.1, widths = 0.5 }   # the worst tenth may lie half a range outside, in the mean
# water = "needed"              # "needed": only where no plan does without; "never"; "any"

[targets]                       # low and high; the same twice is an exact target
cn = [25, 42]
moisture_pct = [50, 64]         # percent of wet mass
fas_pct_min = 35                # free air space, percent of the volume
# bulk_density_kg_m3_max = 600

[[ingredient]]
name = "cow manure, barn 2"
moisture_pct = 80
n_pct_dry = 2.4                 # with basis = "as received": percent of mass as it lies
cn = 19                         # or c_pct_dry
bulk_density_kg_m3 = 860
organic_matter_pct_dry = 83     # left out: 1.8 x carbon
cost_per_t = 2
load_m3 = 3.0                   # whole loads of this bucket; left out: any amount
loads = [6, 20]                 # fewest, most
[ingredient.sd_lot]             # standard deviations, common to all loads of it
moisture_pct = 1.5
n_pct_dry = 0.15
[ingredient.sd_load]            # and of each load anew
moisture_pct = 2
fill_pct = 7

[[ingredient]]
name = "chopped straw"
moisture_pct = 13
n_pct_dry = 0.7
cn = 75
bulk_density_kg_m3 = 110
cost_per_t = 55
load_m3 = 4.5
loads = [0, 60]
stock_t = 30
[ingredient.sd_lot]
moisture_pct = 2
n_pct_dry = 0.05
[ingredient.sd_load]
fill_pct = 10

[[ingredient]]
name = "leaves"                 # a name alone is looked up in the handbook
cost_per_t = 12
load_m3 = 4.5
loads = [0, 20]
"""


def register(app: typer.Typer) -> None:
    """Add this family's command to `app`."""
    app.command("blend")(blend)


def blend(
    file: Annotated[str, typer.Argument(help="TOML: targets and ingredients; --example shows one.")] = "",
    seed: Annotated[int, typer.Option(help="Of the numbers drawn; the same seed, the same answer.")] = 0,
    example: Annotated[bool, typer.Option("--example", help="A commented file that runs.")] = False,
    as_json: Json = False,
) -> None:
    """The cheapest mix that holds its limits, in whole loads, with the chance that it does."""
    with speak.answering(as_json):
        if example:
            speak.say(EXAMPLE.rstrip("\n"))
            return
        from turnrow.blend.solve import solve
        from turnrow.gate.recipe_file import read_recipe
        from turnrow.handbook.feedstocks import feedstocks
        from turnrow.yard.wrongs import refuse, shown

        if not file:
            raise refuse("FILE", "nothing", "Name a TOML file; --example prints one.")
        if seed < 0:
            raise refuse("--seed", seed, "Write 0 or more.")
        try:
            data = Path(file).read_bytes()
        except OSError as told:
            raise refuse("FILE", shown(file), f"Name a file that can be read ({told.strerror}).") from told
        asked = read_recipe(data, Path(file).name, feedstocks())
        recipe = solve(asked.problem, seed, beside=5)
        found = _json(asked, recipe, seed)
        if as_json:
            speak.answer(found)
        else:
            _people(found)


def _json(asked: "RecipeFile", recipe: "Recipe", seed: int) -> dict[str, Any]:
    """The answer, with the keys that checks rely on first."""
    from dataclasses import asdict

    from turnrow.blend.layers import layers

    mix, chances = recipe.mix, recipe.chances
    why, more = (recipe.why, {}) if recipe.found else _why(asked, recipe, seed)
    unsaid = asked.unsaid
    said: dict[str, float | None] = {
        "moisture_pct": None if mix is None or "moisture" in unsaid else 100 * mix.moisture_wet,
        "cn": None if mix is None or "cn" in unsaid or mix.n_kg <= 0 else mix.cn,
        "bulk_density_kg_m3": None if mix is None else mix.density,
        "fas_pct": _percent(None if mix is None or "fas" in unsaid else mix.fas),
        "fas_pct_conservative": _percent(None if mix is None or "fas" in unsaid else mix.fas_conservative),
    }
    names = ("moisture", "cn", "fas", "bulk_density", "joint")
    length = None
    if asked.section_m2 and mix is not None and mix.volume_m3 is not None:
        length = mix.volume_m3 / asked.section_m2
    return {
        "status": recipe.status,
        "loads": dict(recipe.loads),
        "mass_t": {name: kg / 1000 for name, kg in recipe.mass_kg.items()},
        "water_t": recipe.water_kg / 1000,
        "mix": said,
        "cost": recipe.cost,
        "chance": {name: None if chances is None else getattr(chances, name) for name in names},
        "far_outside_widths": recipe.far,
        "warnings": [*recipe.warnings, *asked.notices],
        "why": why,
        "near_ties": [
            {
                "loads": dict(tie.loads),
                "mass_t": {name: kg / 1000 for name, kg in tie.mass_kg.items()},
                "more_cost": tie.more_cost,
                "joint": tie.joint,
            }
            for tie in recipe.near_ties
        ],
        "layers": [asdict(one) for one in layers(asked.problem, recipe)],
        "total_t": None if mix is None else mix.mass_kg / 1000,
        "volume_m3": None if mix is None else mix.volume_m3,
        "row_length_m": length,
        "draws": None if chances is None else chances.draws,
        **more,
    }


def _percent(share: float | None) -> float | None:
    return None if share is None else 100 * share


def _why(asked: "RecipeFile", recipe: "Recipe", seed: int) -> tuple[str, dict[str, Any]]:
    """What stands in the way, what chance could be had, and what purchase would mend it."""
    from turnrow.blend.explain import explain, reachable
    from turnrow.blend.table import from_table
    from turnrow.handbook.feedstocks import feedstocks

    if recipe.status == "limit":
        return recipe.why, {}
    whole = [one for one in feedstocks().values() if "n, c or cn" not in one.missing]
    market = [from_table(one) for one in whole if "moisture" not in one.missing]
    told = explain(asked.problem, market, seed)
    parts = [told.sentence()]
    chance = reachable(asked.problem, seed)
    if chance is not None:
        parts.append(f"a plan holds with a chance of {100 * chance:g} %")
    bought = [{"ingredient": one.name, "t": one.least_kg / 1000, "side": one.side} for one in told.purchases]
    if bought:
        parts.append(
            "would mend it, in any amount and with the handbook's values: "
            + ", or ".join(f"{one['t']:.3g} t of {one['ingredient']} ({one['side']})" for one in bought)
        )
    return ". ".join(parts), {"conflict": list(told.conflict), "purchases": bought}


def _people(found: dict[str, Any]) -> None:
    for note in found["warnings"]:
        speak.notice(note)
    speak.say(f"{found['status']}{': ' + found['why'] if found['why'] else ''}")
    if not found["mass_t"]:
        return
    speak.say()
    rows = [
        (name, found["loads"].get(name, "any amount"), f"{tonnes:.3g}")
        for name, tonnes in found["mass_t"].items()
        if tonnes > 0
    ]
    if found["water_t"]:
        rows.append(("water", "", f"{found['water_t']:.3g}"))
    speak.table(("take", "loads", "t"), rows)
    speak.say()
    mix, chance = found["mix"], found["chance"]
    lines = (
        ("moisture", mix["moisture_pct"], " %", chance["moisture"]),
        ("C:N", mix["cn"], "", chance["cn"]),
        ("air space", mix["fas_pct"], " %", chance["fas"]),
        ("air space, on the safe side", mix["fas_pct_conservative"], " %", None),
        ("bulk density", mix["bulk_density_kg_m3"], " kg/m3", chance["bulk_density"]),
    )
    speak.table(
        ("the mix", "on the means", "holds with"),
        [
            (name, f"{value:.3g}{unit}", "" if share is None else f"{100 * share:.1f} %")
            for name, value, unit, share in lines
            if value is not None
        ],
    )
    if chance["joint"] is not None:
        speak.say(f"all limits together hold with {100 * chance['joint']:.1f} %")
    if found["far_outside_widths"] is not None:
        speak.say(f"the worst outcomes lie {found['far_outside_widths']:.2f} of a range outside, in the mean")
    speak.say(f"cost {found['cost']:.2f}, total {found['total_t']:.4g} t")
    if found["row_length_m"] is not None:
        speak.say(f"row length {found['row_length_m']:.1f} m for the section given, as built")
    speak.say()
    speak.table(
        ("step", "take", "loads", "t", ""),
        [
            (one["step"], one["ingredient"], one["loads"] or "", f"{one['tonnes']:.3g}", one["what"])
            for one in found["layers"]
        ],
    )
    if found["near_ties"]:
        speak.say()
        speak.say("nearly as cheap:")
        for tie in found["near_ties"]:
            loads = ", ".join(f"{n} {name}" for name, n in tie["loads"].items() if n)
            speak.say(f"  {loads}: {tie['more_cost']:.2f} more")
