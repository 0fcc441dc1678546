"""What is on hand for a recipe: the diary's piles joined to the handbook's feedstocks of that name."""

from dataclasses import dataclass

from turnrow.foreman.desk import Desk
from turnrow.handbook.feedstocks import Feedstock, feedstocks, find
from turnrow.lots.book import LEAST
from turnrow.yard.entries import LoadIn
from turnrow.yard.stock import EMPTY, Pile, piles


@dataclass(frozen=True)
class OnHand:
    """A pile with what the handbook knows of it; tonnes: None where volumes lack a density."""

    pile: Pile
    feedstock: Feedstock | None
    tonnes: float | None

    @property
    def name(self) -> str:
        return self.pile.material

    @property
    def short(self) -> bool:
        """More was laid into rows than came in: some load was not written, or its amount is off."""
        return self.pile.tonnes < -EMPTY or self.pile.cubic_metres < -EMPTY


def on_hand(desk: Desk) -> tuple[OnHand, ...]:
    """All that is left of what came in, in the order it first came; what a lab found of it is in
    `lab_samples`."""
    table = feedstocks()
    found = []
    for pile in piles(desk.diary):
        if not pile.empty:
            feedstock = find(pile.material, table)
            figure = feedstock.figure("density") if feedstock else None
            found.append(OnHand(pile, feedstock, pile.left(figure.value if figure else None)))
    return tuple(found)


@dataclass(frozen=True)
class Source:
    """A load or lot of which something is left, to build a row of.

    key      as a row's part names it: "L12", or "lot 26-O1"
    words    for choosing: what it is and how much is left; tonnes: None where it was not weighed
    """

    key: str
    material: str
    words: str
    tonnes: float | None


def sources(desk: Desk) -> tuple[Source, ...]:
    """Every load and lot with something left of it, newest first."""
    ledger, found = desk.lots, list[Source]()
    materials = {what.load: what.material for _, what in desk.diary.all(LoadIn) if not what.refused}
    for account in reversed(ledger.held):
        held = ledger.held[account]
        if account.kind not in ("load", "lot") or (held.wet_known and held.wet <= LEAST):
            continue
        lot = account.kind == "lot"
        material = f"lot {account.name}" if lot else materials.get(account.name, "")
        left = f"{held.wet:.4g} t left" if held.wet_known else "not weighed"
        words = f"{account.name}: {left}" if lot else f"{account.name}: {material}, {left}"
        key = f"lot {account.name}" if lot else account.name
        if material:
            found.append(Source(key, material, words, held.wet if held.wet_known else None))
    return tuple(found)
