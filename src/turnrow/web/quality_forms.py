"""The forms of what a yard asks of its lots, with the handbook's own choices, and of a growth test."""

from turnrow.gate.growth_form import LEAVES
from turnrow.gate.quality_form import USUAL
from turnrow.handbook.quality import limit_sets, sampling_plans, schemes
from turnrow.web.asks import Field, Form


def _asked() -> Form:
    sets = tuple(
        (one.id, f"{one.name}: {one.words}" + (" (from memory)" if one.known == "MEMORY" else ""))
        for one in limit_sets().values()
    )
    plans = tuple((name, name) for name in sampling_plans() if name != USUAL)
    classes = tuple(
        Field(
            f"maturity.{name}",
            f"{name}, at least" + (" (from memory)" if scheme.known == "MEMORY" else ""),
            "choice",
            choices=tuple((word, word) for word in dict.fromkeys(
                step.word for ladder in scheme.ladders for step in ladder.steps
            )),
        )
        for name, scheme in schemes().items()
    )  # fmt: skip
    return Form(
        "asked",
        "quality asked",
        "What the yard asks of its lots",
        "Keep it",
        (
            Field("limits", "Limit sets", "several", "Each lot is held against those ticked.", choices=sets),
            *classes,
            Field("plan", "Sampling plan", "choice", choices=plans),
            Field(
                "edge",
                "A figure on an edge that tables give to two classes",
                "choice",
                choices=(("worse", "counts for the worse"), ("better", "counts for the better")),
                preset="worse",
            ),
            Field(
                "part_503",
                "Of what 40 CFR Part 503 asks, where a row's rule is of it",
                "choice",
                "Part 503 binds compost with sewage sludge in it; others borrow its heat.",
                choices=(
                    ("all", "all of it: metals of Table 3, germs, vector attraction, signed certification"),
                    ("yearly rate", "the same, but with Table 4's yearly rate on the bag's label"),
                    ("heat alone", "its heat alone: no sewage sludge goes in"),
                ),
                preset="all",
            ),
            Field("reason", "Why"),
        ),
        care="Ask your regulator, certifier and buyers which of these bind you. Texts marked “from memory” "
        "were not read for this program.",
        group="lots",
    )


ASKED = _asked()

GROWTH = Form(
    "growth",
    "growth test",
    "Growth test",
    "Keep the test",
    (
        Field("lot", "Lot", "known", "Just one of lot, sample and row.", known="lots"),
        Field("sample", "Sample", "known", known="samples"),
        Field("row", "Row", "row"),
        Field("plant", "What was sown", hint="Beans, peas or clover show herbicides.", needed=True),
        Field("sown", "Seeds in every pot", "whole", needed=True),
        Field("up", "Up in each pot of compost", hint="A number a pot: 9 8 10.", needed=True),
        Field("control_up", "Up in each pot of the control", hint="A number a pot: 10 9 10.", needed=True),
        Field("weights", "Tops of each pot of compost", hint="With their unit: 12.5 11 13 g."),
        Field("control_weights", "Tops of each pot of the control", hint="With their unit: 13 12.5 14 g."),
        Field("abnormal", "Plants not as they should be", "whole", "In all pots; empty: not counted."),
        Field(
            "leaves",
            "Leaves in the compost",
            "choice",
            choices=tuple((one, one) for one in LEAVES),
            preset=LEAVES[0],
        ),
        Field("grown", "Days from sowing to counting", "whole"),
        Field("mix", "What the pots of compost held", hint="For example one part of it to three of peat."),
        Field("control", "What the control held"),
        Field("sampled", "Compost taken on", "day"),
    ),
    care="Three pots or more of each, the same seed, water and light. Gloves and washed hands: it may not be "
    "proven hot. Leaves that cup or twist: sell and give away none of it, and ask your local adviser.",
    group="lots",
)
