"""The book's own nouns: accounts, postings, moves, and what does not fit."""

from dataclasses import dataclass
from typing import NamedTuple

from turnrow.yard.wrongs import Refusal

SMALL = 0.0005  # t: less is not worth a word


class Account(NamedTuple):
    """Where matter is. Things of the yard: load, row, lot, ticket (of a load out), material (laid without
    a load's name), screening (on the sieve). All else is one of the five below."""

    kind: str
    name: str = ""

    def said(self) -> str:
        return f"{self.kind} {self.name}".strip()

    def titled(self) -> str:
        """As `said`, to begin a sentence with."""
        return f"{self.kind.capitalize()} {self.name}".strip()


SKY = Account("sky")  # vapour and gas: what decay and evaporation can explain
OUTSIDE = Account("outside")  # where loads and water come from
WEIGHING = Account("weighing")  # differences that a measurement's own error covers
UNEXPLAINED = Account("unexplained")  # differences that nothing covers; shown, never absorbed
UNWEIGHED = Account("not weighed before")  # matter first measured after it had moved
PLACES = (SKY, OUTSIDE, WEIGHING, UNEXPLAINED, UNWEIGHED)


class Posting(NamedTuple):
    """What an account gains [t]; below 0 what it gives. Of unknown amounts nothing is posted."""

    account: Account
    wet: float
    dry: float
    water: float


@dataclass(frozen=True)
class Move:
    """One move of matter: postings that sum to zero in wet mass, dry matter and water.

    unknown  what of it is not known ("wet", "dry"): it moved, and the postings leave it out
    """

    line: int
    at_s: int
    what: str
    postings: tuple[Posting, ...]
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True)
class Difference:
    """A measurement beside the book [t]: what the air took, and what is left of the difference.

    Each triple is wet, dry, water; None where it is not known. Positive: the book said more. `off` is how
    far wet mass and dry matter may be from the truth.
    """

    line: int
    at_s: int
    account: Account
    wet: float
    dry: float | None
    book: tuple[float, float | None]
    sky: tuple[float, float, float]
    rest: tuple[float, float | None, float | None]
    off: tuple[float, float]
    explained: bool
    days: float

    def sentence(self) -> str:
        """What the difference comes to, for people."""
        said = f"{self.account.titled()}: {self.wet:.4g} t measured, {self.book[0]:.4g} t by the book."
        if any(abs(part) > SMALL for part in self.sky):
            dry = f", {self.sky[1]:.3g} t of it dry matter" if self.sky[1] > SMALL else ""
            said += f" {self.sky[0]:.3g} t went into the air in {self.days:.0f} days{dry}."
        wet, dry_rest, water = self.rest
        off = f"the measurements may be {self.off[0]:.3g} t off either way"
        if self.explained:
            if abs(wet) <= SMALL:
                return said
            more = "more than the book" if wet < 0 else "less than decay and drying leave"
            return f"{said} {abs(wet):.3g} t {more} is not accounted for; {off}, so it can be chance."
        if dry_rest is not None and dry_rest < -self.off[1]:
            return (
                f"{said} {-dry_rest:.3g} t more dry matter came out than went in: the moisture, a mass or a "
                "part that was not written must be wrong."
            )
        if water is not None and water < 0 and wet < 0:
            return f"{said} {-wet:.3g} t more than the book: rain, or water or a part not written? And {off}."
        more = "more than the book" if wet < 0 else "less than decay and drying leave"
        return f"{said} {abs(wet):.3g} t {more} is not explained; {off}."


@dataclass(frozen=True)
class Wrong:
    """An entry that cannot be so, at the field where it shows."""

    line: int
    refusal: Refusal


@dataclass(frozen=True)
class Open:
    """Something the book had to leave open, in a sentence; assumed: it took a figure, and says which.

    untraced  where something came from was not written, so that a recall can miss it
    """

    line: int
    account: Account
    said: str
    assumed: bool = False
    untraced: bool = False
