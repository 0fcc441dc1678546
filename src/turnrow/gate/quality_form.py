"""The form of what a yard asks of its lots: limit sets, maturity, a sampling plan."""

import re
from datetime import datetime
from typing import Literal

from turnrow.gate.fields import Fields
from turnrow.gate.names import near
from turnrow.handbook.quality import limit_sets, sampling_plans, schemes
from turnrow.yard import goods
from turnrow.yard.entries import What

PART_503: tuple[Literal["all", "yearly rate", "heat alone"], ...] = ("all", "yearly rate", "heat alone")
USUAL = "any"  # the plan that stands in where another says nothing; nobody works to it alone


def quality_asked(f: Fields, _: datetime) -> What:
    """Refuses sets, schemes, classes and plans that the handbook does not know."""
    typed = f.text("limits", f"limit sets: {', '.join(limit_sets())}", longest=400)
    limits = tuple(filter(None, (one.strip() for one in re.split(r"[,;\n]", typed))))
    for one in limits:
        if one not in limit_sets() or limits.count(one) > 1:
            f.wrong("limits", one, f"Name each set once. {near(one, limit_sets())}")
    asked = f.own("maturity", "the class a scheme must give at least: maturity.CO2 classes=stable")
    maturity = {}
    for name, word in asked.items():
        scheme = schemes().get(name)
        if scheme is None:
            f.wrong(f"maturity.{name}", word, f"No such scheme. {near(name, schemes())}")
            continue
        words = list(dict.fromkeys(step.word for ladder in scheme.ladders for step in ladder.steps))
        if word in words:
            maturity[name] = word
        else:
            f.wrong(f"maturity.{name}", word, f"Its classes are {'; '.join(words)}.")
    plans = [name for name in sampling_plans() if name != USUAL]

    def plan_wrong(name: str) -> str:
        return "" if name in plans else f"No such plan. {near(name, plans)}"

    edge = f.choice("edge", ("worse", "better"), "worse")
    part_503 = f.choice("part_503", PART_503, "all")
    return goods.QualityAsked(
        limits=limits,
        maturity=maturity,
        plan=f.parsed("plan", f"a sampling plan: {', '.join(plans)}", plan_wrong),
        edge="better" if edge == "better" else "worse",
        reason=f.text("reason", "why"),
        part_503=next(one for one in PART_503 if one == part_503),
    )
