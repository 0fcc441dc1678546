"""How much compost a field, a bed or a potting mix takes, and what limits it."""

from typing import Annotated

import typer

from turnrow.cli import desk_file, speak
from turnrow.cli.desk_file import Example, Found
from turnrow.cli.speak import Json

EXAMPLE = """\
# An invented lot on an invented field. Run it: turnrow use THIS.toml
use = "field"                   # field, bed or potting
# treated_as_raw = true         # the lot is not proven: it counts as fresh manure

[analysis]
basis = "dry"                   # what percentages and mg/kg are of: "dry" or "as received"
moisture_pct = 42               # of wet mass
bulk_density_kg_m3 = 610        # as it lies; or bulk_density_lb_yd3, bulk_density_lb_ft3
n_pct = 1.7
nh4_n_mg_kg = 310
no3_n_mg_kg = 420
p2o5_pct = 0.9                  # or p_pct
k2o_pct = 1.6                   # or k_pct
cn = 14                         # or c_pct
ec_ds_m = 2.4
ec_extract = "saturated extract"    # or "1:5 by volume", "1:5 by weight": never to be compared

[need]                          # of the crop this year, available; or n_lb_ac and so on
n_kg_ha = 90
p2o5_kg_ha = 45
k2o_kg_ha = 110

[most]                          # what may be brought in at most, in all; or n_total_lb_ac, ton_ac
n_total_kg_ha = 170

[[before]]                      # earlier spreadings still give nitrogen
years_ago = 1
t_ha = 12                       # or ton_ac, short tons an acre

[field]
area_ha = 3.5                   # or area_ac

# [bed]
# area_m2 = 120                 # or area_ft2, area_yd2
# tilled_cm = 20                # or tilled_in
# share_pct_max = 20            # of the dug volume

# [potting]
# volume_l = 2000               # or volume_m3, volume_yd3, volume_ft3, volume_gal, volume_bu
# base_ec_ds_m = 0.4            # of the rest of the mix, in the same extract
# ec_ds_m_max = 3.5
"""


Said = tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
DEPTH_SAID = ("depth", (("depth_mm", "mm"), ("depth_in", "in")))
CUBIC_SAID = (
    ("compost_m3", "m3"),
    ("compost_yd3", "yd3"),
    ("compost_ft3", "ft3"),
    ("compost_bu", "US bushels"),
)
FIELD_SAID: Said = (
    DEPTH_SAID,
    ("volume", (("volume_m3_ha", "m3/ha"), ("volume_yd3_ac", "yd3/ac"))),
    ("in all", (("total_t", "t"), ("total_ton", "short tons"), ("total_yd3", "yd3"))),
)
MIX_SAID: Said = (
    ("compost", CUBIC_SAID),
    ("mass", (("compost_t", "t"), ("compost_ton", "short tons"))),
    DEPTH_SAID,
)


def register(app: typer.Typer) -> None:
    """Add this family's command to `app`."""
    app.command("use")(use)


def use(
    file: Annotated[
        str, typer.Argument(help="TOML: an analysis and where it goes; --example shows one.")
    ] = "",
    example: Example = False,
    as_json: Json = False,
) -> None:
    """How much compost a field, bed or potting mix takes, and which nutrient or salt limits it."""
    desk_file.answer(lambda: _found(file), _people, as_json, EXAMPLE if example else "")


def _found(file: str) -> Found:
    from turnrow.foreman.uses import answered
    from turnrow.gate.use_file import read_use
    from turnrow.handbook.figures import use_figures

    return answered(read_use(*desk_file.opened(file), use_figures()))


def _people(found: Found) -> None:
    if found["use"] == "field":
        rate = f"{found['rate_t_ha']:g} t/ha ({found['rate_ton_ac']:.3g} short tons an acre)"
        speak.say(f"{rate} as it lies, limited by {found['limited_by']}")
        _both(found, ("limit", "t/ha", "ton/ac"), "rates_t_ha", "rates_ton_ac")
        _both(found, ("carries", "kg/ha", "lb/ac"), "gives_kg_ha", "gives_lb_ac")
        extra = FIELD_SAID
    else:
        speak.say(f"{found['share_pct']:g} % of the volume, limited by {found['limited_by']}")
        speak.table(("limit", "% of volume"), [(key, f"{v:g}") for key, v in found["shares_pct"].items()])
        extra = MIX_SAID
    for words, units in extra:
        told = [f"{found[key]:.4g} {unit}" for key, unit in units if found[key] is not None]
        if told:
            speak.say(f"{words}: {told[0]}" + (f" ({', '.join(told[1:])})" if told[1:] else ""))
    for text in (*found["warnings"], *found["cautions"]):
        speak.say(text)


def _both(found: Found, head: tuple[str, str, str], metric: str, us: str) -> None:
    """One table of a figure in both kinds of unit."""
    pairs = ((name, (value, found[us][name])) for name, value in found[metric].items())
    rows = [(name, *("no limit" if one is None else f"{one:.4g}" for one in both)) for name, both in pairs]
    speak.table(head, rows)
