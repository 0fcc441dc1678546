"""Materials that are themselves made of something: a lot of the yard, a load with a certificate, or a gap.

What a material's name claims of its heat ("proven hot") shows nothing.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from turnrow.yard.entries import Part
from turnrow.yard.evidence import Certificate


@dataclass(frozen=True)
class Made:
    """One part that is made of something, and what shows of what.

    shown  False: nothing does, and `sentence` says what is wanting
    """

    material: str
    shown: bool
    sentence: str
    lines: tuple[int, ...]


def is_made(material: str, words: Mapping[str, str]) -> bool:
    """Whether a material's name holds one of `words`, or claims to be proven."""
    named = set(re.findall(r"\w+", material.casefold().replace("pre-composted", "precomposted")))
    return not named.isdisjoint(words) or {"proven", "hot"} <= named


def made_parts(
    parts: Iterable[Part],
    line: int,
    loads: Mapping[str, tuple[int, date]],
    certificates: Sequence[tuple[int, Certificate]],
    words: Mapping[str, str],
) -> tuple[Made, ...]:
    """The parts of a row that are made of something, each with what shows of what.

    line   of the row's building
    loads  (line, day it came in) of each load
    """
    found = []
    for part in parts:
        if part.lot:
            said = f"{part.material} is of lot {part.lot}, which says what it was made of."
            found.append(Made(part.material, True, said, (line,)))
        elif is_made(part.material, words):
            found.append(_bought(part, line, loads, certificates))
    return tuple(found)


def _bought(
    part: Part,
    line: int,
    loads: Mapping[str, tuple[int, date]],
    certificates: Sequence[tuple[int, Certificate]],
) -> Made:
    name = part.material
    if part.load not in loads:
        said = f"{name} is itself made of something, and neither its lot nor its load is named: not shown."
        return Made(name, False, said, (line,))
    at, day = loads[part.load]
    of_it = [(no, one) for no, one in certificates if one.load == part.load or one.material == name]
    valid = [
        (no, one)
        for no, one in of_it
        if not (one.issued and one.issued > day) and not (one.until and one.until < day)
    ]
    if valid:
        no, one = valid[-1]
        return Made(
            name, True, f"{name}, load {part.load}: certificate of {one.issuer}, {one.words}.", (at, no)
        )
    if of_it:
        said = f"{name}, load {part.load}: its certificate did not hold on the day it came in."
        return Made(name, False, said, (at, of_it[-1][0]))
    said = f"{name}, load {part.load}: no certificate says what it was made of and how (21 CFR 112.60(b)(1))."
    return Made(name, False, said, (at,))
