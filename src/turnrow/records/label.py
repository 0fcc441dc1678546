"""A lot's label: what it is, of which lot, what may be done with it, and a code that leads to its story."""

import io
from collections.abc import Sequence

import segno
from msgspec import Struct

from turnrow.records.lot_papers import USABLE, LotPaper, stands_as, until_shown
from turnrow.records.marks import UNIT_WORDS, amount_words
from turnrow.records.seal import head_short
from turnrow.records.verdict import beside_words
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.units import UNITS, size

CARE = (
    "Keep dust down; wear a mask that fits; wash hands. Grow a few beans in it first: hay, straw and manure "
    "can carry herbicides. Local rules come first."
)
NAMED = 12  # materials a label names; the rest are in the story
STATES = {
    "called back": "Called back: do not sell, do not use",
    "not released": "Not released: not for sale",
    "failed": "Failed since its release: do not sell, do not use",
    "in doubt": "To be judged again: not for sale",
    "proven": "Compost, proven hot",
    "treated as raw": "Treated as raw manure",
}


class LabelSheet(Struct, frozen=True):
    """One page of the same label; `address` is where its code leads, "" to the lot's name alone."""

    title: str
    yard: str
    place: str
    invented: bool
    lot: str
    product: str
    bag: str
    what: str
    made_of: str
    state: str
    beside: tuple[str, ...]
    raw: bool
    limits: tuple[str, ...]
    gives: tuple[str, ...]
    care: str
    address: str
    qr: str
    seal_short: str
    made: str


def label_sheet(
    paper: LotPaper, product: str = "", address: str = "", bag: Amount | None = None
) -> LabelSheet:
    """The label. Of a lot that may not be sold or used it says so, and nothing of its use.

    bag  what one bag of the product holds
    """
    how = stands_as(paper)
    return LabelSheet(
        title=f"Label of lot {paper.lot}",
        yard=paper.yard.name or "A yard without a name",
        place=paper.yard.place,
        invented=paper.yard.invented,
        lot=paper.lot,
        product=product or "Compost",
        bag=bag_words(bag) if bag else "",
        what=f"Lot {paper.lot}",
        made_of=materials_said([name for name, _, _ in paper.materials]),
        state=STATES[how],
        beside=beside_words(paper.inherited.beside) if how == "proven" else (),
        raw=how != "proven",
        limits=paper.released[-1][1].limits if how in USABLE else until_shown(how),
        gives=paper.gives[:2] if how in USABLE else (),
        care=CARE,
        address=address,
        qr=code(address or f"lot {paper.lot}, {paper.yard.name}"),
        seal_short=head_short(paper.head),
        made=paper.head.written.astimezone(paper.zone).isoformat(),
    )


def materials_said(names: Sequence[str]) -> str:
    if not names:
        return ""
    more = f" and {len(names) - NAMED} more, told in its story" if len(names) > NAMED else ""
    return f"Made of {', '.join(names[:NAMED])}{more}."


def bag_words(bag: Amount) -> str:
    """What a bag holds, as it was told and in the other kind of unit: "40 L (1.41 ft³)"."""
    metric, us = ("kg", "lb") if UNITS[bag.unit].kind == "mass" else ("L", "ft3")
    other = us if bag.unit == metric else metric
    much = float(bag.value * size(bag.unit, other)) / MICRO
    return f"{amount_words(bag)} ({much:.3g} {UNIT_WORDS.get(other, other)})"


def code(text: str) -> str:
    """A QR code of a text, as SVG; the same text gives the same code."""
    drawn = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        drawn, kind="svg", scale=4, border=2, xmldecl=False, svgclass=None, lineclass=None, nl=False
    )
    return drawn.getvalue().decode()
