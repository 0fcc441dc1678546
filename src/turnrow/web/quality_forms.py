"""The form of what a yard asks of its lots; its choices are the handbook's own."""

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
            Field("reason", "Why"),
        ),
        care="Ask your regulator, certifier and buyers which of these bind you. Texts marked “from memory” "
        "were not read for this program.",
        of_row=False,
    )


ASKED = _asked()
