"""What lies on the yard: loads that came in and were taken, less what rows were built of."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, LoadIn, RowBuilt
from turnrow.yard.numbers import MICRO
from turnrow.yard.units import of_kind

MASS = {unit: float(size) for unit, size in of_kind("mass").items()}  # tonnes
VOLUME = {unit: float(size) for unit, size in of_kind("volume").items()}  # m3
EMPTY = 1e-6  # t or m3: less is nothing

Counted = tuple[int, Amount]  # a line and what it says


@dataclass
class Pile:
    """One material. `came`, `laid`: each amount as typed, with its line, in the order of the diary."""

    material: str
    came: list[Counted] = field(default_factory=list)
    laid: list[Counted] = field(default_factory=list)

    @property
    def tonnes(self) -> float:
        """Mass left of what was written as a mass; below 0 where more was laid than came."""
        return _sum(self.came, MASS) - _sum(self.laid, MASS)

    @property
    def cubic_metres(self) -> float:
        """Volume left of what was written as a volume."""
        return _sum(self.came, VOLUME) - _sum(self.laid, VOLUME)

    @property
    def empty(self) -> bool:
        return abs(self.tonnes) < EMPTY and abs(self.cubic_metres) < EMPTY

    @property
    def lines(self) -> tuple[int, ...]:
        """Every line it rests on."""
        return tuple(sorted({line for line, _ in (*self.came, *self.laid)}))

    def left(self, density: float | None) -> float | None:
        """Tonnes left, volumes weighed with `density` [kg/m3]; None: there are volumes and no density."""
        volume = self.cubic_metres
        if abs(volume) < EMPTY:
            return self.tonnes
        return None if density is None else self.tonnes + volume * density / 1000


def piles(diary: Diary) -> tuple[Pile, ...]:
    """Every material that ever came in, by its name whatever the case, in order of first load.

    Loads sent away do not count, nor do struck lines. A row's part of a material that no load brought is
    left out: nobody wrote how much of it there was.
    """
    found: dict[str, Pile] = {}
    for line, load in diary.own(LoadIn):
        if not load.refused:
            pile = found.setdefault(_plain(load.material), Pile(load.material))
            pile.material = load.material
            pile.came.append((line.number, load.amount))
    for row in diary.rows:
        for event, built in diary.history(row).of(RowBuilt):
            for part in built.parts:
                if (taken := found.get(_plain(part.material))) is not None:
                    taken.laid.append((event.line.number, part.amount))
    return tuple(found.values())


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def _sum(counted: Iterable[Counted], units: dict[str, float]) -> float:
    return sum(one.value / MICRO * units[one.unit] for _, one in counted if one.unit in units)
