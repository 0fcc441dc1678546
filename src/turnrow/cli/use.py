"""How much compost a field, a bed or a potting mix takes, and what limits it."""

from typing import Annotated, Any

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json

EXAMPLE = """\
# An invented lot on an invented field. Run it: turnrow use THIS.toml
use = "field"                   # field, bed or potting
# treated_as_raw = true         # the lot is not proven: it counts as fresh manure

[analysis]
basis = "dry"                   # what percentages and mg/kg are of: "dry" or "as received"
moisture_pct = 42               # of wet mass
bulk_density_kg_m3 = 610        # as it lies
n_pct = 1.7
nh4_n_mg_kg = 310
no3_n_mg_kg = 420
p2o5_pct = 0.9                  # or p_pct
k2o_pct = 1.6                   # or k_pct
cn = 14                         # or c_pct
ec_ds_m = 2.4
ec_extract = "saturated extract"    # or "1:5 by volume", "1:5 by weight": never to be compared

[need]                          # of the crop this year, kg/ha available
n_kg_ha = 90
p2o5_kg_ha = 45
k2o_kg_ha = 110

[most]                          # what may be brought in at most, kg/ha in all
n_total_kg_ha = 170

[[before]]                      # earlier spreadings still give nitrogen
years_ago = 1
t_ha = 12

[field]
area_ha = 3.5

# [bed]
# area_m2 = 120
# tilled_cm = 20
# share_pct_max = 20            # of the dug volume

# [potting]
# volume_l = 2000
# base_ec_ds_m = 0.4            # of the rest of the mix, in the same extract
# ec_ds_m_max = 3.5
"""


def register(app: typer.Typer) -> None:
    """Add this family's command to `app`."""
    app.command("use")(use)


def use(
    file: Annotated[
        str, typer.Argument(help="TOML: an analysis and where it goes; --example shows one.")
    ] = "",
    example: Annotated[bool, typer.Option("--example", help="A commented file that runs.")] = False,
    as_json: Json = False,
) -> None:
    """How much compost a field, bed or potting mix takes, and which nutrient or salt limits it."""
    with speak.answering(as_json):
        if example:
            speak.example(EXAMPLE, as_json)
            return
        from turnrow.foreman.uses import answered
        from turnrow.gate.use_file import read_use
        from turnrow.handbook.figures import use_figures

        name, data = speak.desk_file(file)
        found = answered(read_use(data, name, use_figures()))
        if as_json:
            speak.answer(found)
        else:
            _people(found)


def _people(found: dict[str, Any]) -> None:
    if found["use"] == "field":
        speak.say(f"{found['rate_t_ha']:g} t/ha as it lies, limited by {found['limited_by']}")
        rows = [(name, "no limit" if v is None else f"{v:g}") for name, v in found["rates_t_ha"].items()]
        speak.table(("limit", "t/ha"), rows)
        speak.table(("carries", "kg/ha"), [(key, f"{v:g}") for key, v in found["gives_kg_ha"].items()])
        extra = (("depth", "depth_mm", "mm"), ("volume", "volume_m3_ha", "m3/ha"), ("in all", "total_t", "t"))
    else:
        speak.say(f"{found['share_pct']:g} % of the volume, limited by {found['limited_by']}")
        speak.table(("limit", "% of volume"), [(key, f"{v:g}") for key, v in found["shares_pct"].items()])
        extra = (("compost", "compost_m3", "m3"), ("mass", "compost_t", "t"), ("depth", "depth_mm", "mm"))
    for words, key, unit in extra:
        if found[key] is not None:
            speak.say(f"{words}: {found[key]:g} {unit}")
    for text in (*found["warnings"], *found["cautions"]):
        speak.say(text)
