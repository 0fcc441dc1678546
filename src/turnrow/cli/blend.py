"""A recipe from a plain file: what to mix, in whole loads, at least cost, with what chance."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnrow.cli import desk_file, speak
from turnrow.cli.desk_file import Example, Found
from turnrow.cli.speak import Json

if TYPE_CHECKING:
    from turnrow.foreman.recipes import Answered

EXAMPLE = """\
# An invented yard's week: what lies there, what the row shall be. Run it: turnrow blend THIS.toml
total_t = 40                    # at least so much; or total_m3
confidence = 0.80               # chance that all limits hold together; left out: on the means alone
section_m2 = 4.2                # of the row, for its length; may be left out
# shrink = 0.10                 # share of the volume lost as fines fill the voids of the coarse parts
# bucket_test = [{ parts_l = [10, 10], mix_l = 18 }]   # or shrink by pails of your own, several tests
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
wet_g = [112, 108]              # samples before and after the oven; instead of moisture_pct
dry_g = [97.5, 94]
n_pct_dry = 0.7
cn = 75                         # or ash_pct_dry beside n_pct_dry, where no lab told the carbon
pail_l = 20                     # a pail filled three times; instead of bulk_density_kg_m3
pail_empty_kg = 0.9
pail_full_kg = [3.1, 3.05, 3.2]
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
    paper: Annotated[str, typer.Option("--paper", help="FILE.pdf: the recipe as a paper too.")] = "",
    example: Example = False,
    as_json: Json = False,
) -> None:
    """The cheapest mix that holds its limits, in whole loads, with the chance that it does."""
    desk_file.answer(lambda: _found(file, seed, paper), _people, as_json, EXAMPLE if example else "")


def _found(file: str, seed: int, paper: str) -> Found:
    from turnrow.foreman.recipes import answered, as_keys
    from turnrow.gate.recipe_file import read_recipe
    from turnrow.handbook.feedstocks import feedstocks
    from turnrow.yard.wrongs import refuse, shown

    if seed < 0:
        raise refuse("--seed", seed, "Write 0 or more.")
    if paper and (Path(paper).suffix.lower() != ".pdf" or not Path(paper).parent.is_dir()):
        raise refuse("--paper", shown(paper), "Name a file ending in .pdf, in a folder that is there.")
    answer = answered(read_recipe(*desk_file.opened(file), feedstocks()), seed)
    if paper:
        _print(answer, Path(file), Path(paper))
    return as_keys(answer)


def _print(answer: "Answered", file: Path, paper: Path) -> None:
    """The recipe as a PDF. Its date is the file's, so that the same file gives the same bytes."""
    from datetime import UTC, datetime

    from turnrow.cli.paper import keep
    from turnrow.foreman.recipe_papers import recipe_paper
    from turnrow.handbook.book import handbook
    from turnrow.records.press import press
    from turnrow.records.recipe_sheet import recipe_sheet

    made = datetime.fromtimestamp(int(file.stat().st_mtime), UTC)
    keep({paper: press(recipe_sheet(recipe_paper(answer, handbook(), made)))}, "--paper")


def _people(found: Found) -> None:
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
