"""The head seal as people and telephones read it."""

import io

import segno

from turnrow.records.row_paper import HeadSeal

SEAL_GROUP = 8
SHORT = 16  # digits; journal/verify.py takes no fewer


def in_groups(seal: str) -> str:
    """The seal in groups of eight, to be compared by eye."""
    return " ".join(seal[i : i + SEAL_GROUP] for i in range(0, len(seal), SEAL_GROUP))


def head_text(head: HeadSeal) -> str:
    """Line number and seal, as `turnrow verify --head` takes them: "412: 9f3c6d0a ..."."""
    return f"{head.line}: {in_groups(head.seal)}"


def head_short(head: HeadSeal) -> str:
    """The same with the first 16 digits of the seal, which are enough to verify by."""
    return f"{head.line}: {in_groups(head.seal[:SHORT])}"


def seal_code(head: HeadSeal) -> str:
    """A QR code of "turnrow line N seal HEX", as SVG without a style; the same text gives the same code."""
    code = segno.make(f"turnrow line {head.line} seal {head.seal}", error="m", micro=False)
    drawn = io.BytesIO()
    code.save(drawn, kind="svg", scale=4, border=2, xmldecl=False, svgclass=None, lineclass=None, nl=False)
    return drawn.getvalue().decode()
