"""What must be said with a rate: what is doubtful in it, and the cautions that go with any compost."""

from collections.abc import Mapping

from turnrow.handbook.figures import Figures
from turnrow.sales.analysis import Analysis
from turnrow.sales.field import FieldRate

# Common practice; local rules and labels come first.
CAUTIONS = (
    "Local nutrient, water and food-safety rules, and any nutrient plan in force, come before these figures.",
    "Keep off wells, ditches and water as local rules say; off frozen, flooded or steep land.",
    "Its dust can carry spores: wet it when dry, keep upwind, wear a mask that fits; wash hands after.",
    "Hay, straw and manure can carry herbicides that harm beans and tomatoes: grow a few in it first.",
)
RAW = (
    "This lot counts as raw manure: where food is grown it goes in at least 120 days before the harvest of "
    "what touches soil and 90 days before any other (7 CFR 205.203(c)(1), READ); others may ask for more."
)


def doubts(analysis: Analysis, book: Figures) -> tuple[str, ...]:
    """Sentences on what the analysis leaves open or makes doubtful."""
    said = []
    cn = analysis.cn
    if cn is not None and cn > book["cn_holds_back"].value:
        said.append(
            f"C:N is {cn:.0f}, above {book['cn_holds_back'].value:g}: it likely holds nitrogen back first, "
            "and what is reckoned here may not come."
        )
    if analysis.n_total is not None and analysis.mineral_n == 0.0:
        said.append(
            "No ammonium or nitrate is told: all nitrogen is taken as organic, which counts too little."
        )
    if analysis.ec is not None and analysis.extract == "1:5 by weight":
        said.append(
            "Conductivity in a 1:5 extract by weight has no limit here for a mix; measure the mix itself."
        )
    if analysis.ec is None:
        said.append("No conductivity is told: salt is not looked at.")
    return tuple(said)


def carried(rate: FieldRate, need: Mapping[str, float]) -> tuple[str, ...]:
    """Sentences on what the rate brings beyond what was asked for."""
    said = []
    for key, name in (("p2o5", "P2O5"), ("k2o", "K2O")):
        total, now = rate.gives.get(f"{key}_total"), rate.gives.get(f"{key}_first")
        if total is None or now is None:
            continue
        if key in need and key in rate.over:
            said.append(f"It brings {rate.over[key]:.0f} kg/ha more {name} than the crop needs this year.")
        elif key not in need:
            said.append(
                f"It carries {total:.0f} kg/ha {name}, {now:.0f} for this year; no need of it is told."
            )
    if "n" in need and "p2o5" not in need and rate.gives.get("p2o5_total"):
        said.append("A rate for nitrogen alone overloads most soils with phosphorus within a few years.")
    return tuple(said)
