"""Names of rows, stations, loads, probes: short, plain, safe to print and to put in a spreadsheet."""

import difflib
import re
from collections.abc import Iterable

LONGEST_NAME = 40
_NAME = re.compile(r"[^\W_][\w .#/()&'+-]*")


def name_wrong(text: str) -> str:
    """What is wrong with a name; empty when nothing is."""
    if len(text) > LONGEST_NAME:
        return f"A name may have {LONGEST_NAME} characters."
    if not text.isprintable() or not _NAME.fullmatch(text):
        return (
            "A name starts with a letter or a digit and holds letters, digits, blanks and . _ - # / ( ) & ' +"
        )
    return ""


def near(name: str, known: Iterable[str]) -> str:
    """A sentence naming the known names nearest to `name`, or all there are."""
    names = list(known)
    if not names:
        return "None is known yet."
    folded = {one.casefold(): one for one in names}
    close = [folded[one] for one in difflib.get_close_matches(name.casefold(), folded, n=3, cutoff=0.4)]
    if close:
        return f"Did you mean {' or '.join(close)}?"
    return f"There are {', '.join(names[:12])}{' and more' if len(names) > 12 else ''}."
