"""Which number of a material a recipe used, and where it comes from."""

from dataclasses import dataclass

from turnrow.handbook.feedstocks import Figure

SAME = 0.005  # of the unit shown: closer is the same number


@dataclass(frozen=True)
class Used:
    """One number of one material: what is used, what was typed, what the handbook has. In `unit`.

    key  of the handbook's feedstock; empty where the handbook does not know it
    """

    material: str
    quantity: str
    value: float
    unit: str
    typed: float | None
    figure: Figure | None
    key: str = ""

    @property
    def whence(self) -> str:
        if self.typed is not None:
            pulled = self.figure is not None and abs(self.value - self.typed) >= SAME
            return "typed, drawn towards the handbook" if pulled else "typed"
        return "handbook" if self.figure is not None else "follows from the others"
