"""Whether a growth test for herbicides that outlast composting is advised. Common practice, no source."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

HARM = (
    "Cupped or twisted leaves were seen: a herbicide that outlasts composting may be in it. Do not sell, use "
    "or give it away; keep it apart and ask your local adviser."
)
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
    """`advised` with the inputs that ask for it; `tested` where a growth test of the lot is on record.

    harmed  lines of growth tests in which leaves were as a herbicide leaves them
    """

    advised: bool
    tested: bool
    inputs: tuple[str, ...]
    sentences: tuple[str, ...]
    harmed: tuple[int, ...] = ()


def check(
    materials: Sequence[tuple[str, int]],
    words: Mapping[str, str],
    *,
    tested: bool = False,
    harmed: Sequence[int] = (),
) -> HerbicideCheck:
    """Look through a lot's inputs, (material, line) each, for `words` (the handbook's, with the why).

    harmed  lines of growth tests of the lot with cupped or twisted leaves
    """
    found: dict[str, tuple[str, int]] = {}
    for material, line in materials:
        named = set(re.findall(r"\w+", material.casefold()))
        why = next((words[word] for word in words if word in named), "")
        if why and material.casefold() not in found:
            found[material.casefold()] = (
                f"{material} (line {line}): {why}." if line else f"{material}: {why}.",
                line,
            )
    seen = tuple(f"{HARM} (Line {line}.)" for line in harmed)
    if not found:
        return HerbicideCheck(bool(harmed), tested, (), seen, tuple(harmed))
    inputs = tuple(text for text, _ in found.values())
    said = ("A growth test of the lot is on record; read it with this in mind.",) if tested else ()
    return HerbicideCheck(True, tested, inputs, (*seen, *inputs, *ADVICE, *said), tuple(harmed))
