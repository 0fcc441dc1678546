"""What is on hand for a recipe: the diary's piles joined to the handbook's feedstocks of that name."""

from dataclasses import dataclass

from turnrow.foreman.desk import Desk
from turnrow.handbook.feedstocks import Feedstock, feedstocks, find
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
