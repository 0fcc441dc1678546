"""A lot's label: what it is, of which lot, what may be done with it, and a code that leads to its story."""

import io

import segno
from msgspec import Struct

from turnrow.records.lot_papers import LotPaper
from turnrow.records.marks import UNIT_WORDS, amount_words
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.units import UNITS, size

CARE = (
    "Keep dust down; wear a mask that fits; wash hands. Grow a few beans in it first: hay, straw and manure "
    "can carry herbicides. Local rules come first."
)


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
    """The label. Of a lot that is called back or not released it says so, so that nobody sells by it.

    bag  what one bag of the product holds
    """
    last = paper.released[-1][1] if paper.released else None
    if paper.recalled:
        state = "Called back: do not sell, do not use"
    elif last is None:
        state = "Not released: not for sale"
    elif paper.lost:
        state = "To be judged again: not for sale"
    else:
        state = "Compost, proven hot" if last.how == "proven" else "Treated as raw manure"
    made_of = ", ".join(name for name, _, _ in paper.materials[:6])
    return LabelSheet(
        title=f"Label of lot {paper.lot}",
        yard=paper.yard.name or "A yard without a name",
        place=paper.yard.place,
        invented=paper.yard.invented,
        lot=paper.lot,
        product=product or "Compost",
        bag=bag_words(bag) if bag else "",
        what=f"Lot {paper.lot}",
        made_of=f"Made of {made_of}." if made_of else "",
        state=state,
        raw=last is None or last.how != "proven" or bool(paper.recalled or paper.lost),
        limits=last.limits if last and not paper.recalled else (),
        gives=paper.gives[:2],
        care=CARE,
        address=address,
        qr=code(address or f"lot {paper.lot}, {paper.yard.name}"),
        seal_short="",
        made=paper.head.written.astimezone(paper.zone).isoformat(),
    )


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
