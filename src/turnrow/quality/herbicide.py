"""Whether a growth test for herbicides that outlast composting is advised. Common practice, no source."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

ADVICE = (
    "Some weed killers used on hay, cereals and lawns (clopyralid, aminopyralid, picloram) pass through "
    "animals and outlast composting; very little harms beans, peas, clover and tomatoes.",
    "Ask whoever grew it what was sprayed, and read that product's label: it may forbid composting or "
    "selling the manure.",
    "Before the lot is sold, grow beans, peas or clover in it beside a control for three weeks or more; "
    "cupped or twisted leaves mean: do not sell, ask your local adviser.",
)


@dataclass(frozen=True)
class HerbicideCheck:
    """`advised` with the inputs that ask for it; `tested` where a growth test of the lot is on record."""

    advised: bool
    tested: bool
    inputs: tuple[str, ...]
    sentences: tuple[str, ...]


def check(
    materials: Sequence[tuple[str, int]], words: Mapping[str, str], *, tested: bool = False
) -> HerbicideCheck:
    """Look through a lot's inputs, (material, line) each, for `words` (the handbook's, with the why)."""
    found: dict[str, tuple[str, int]] = {}
    for material, line in materials:
        named = set(re.findall(r"\w+", material.casefold()))
        why = next((words[word] for word in words if word in named), "")
        if why and material.casefold() not in found:
            found[material.casefold()] = (
                f"{material} (line {line}): {why}." if line else f"{material}: {why}.",
                line,
            )
    if not found:
        return HerbicideCheck(False, tested, (), ())
    inputs = tuple(text for text, _ in found.values())
    said = ("A growth test of the lot is on record; read it with this in mind.",) if tested else ()
    return HerbicideCheck(True, tested, inputs, (*inputs, *ADVICE, *said))
