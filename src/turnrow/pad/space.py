"""How much ground a yearly flow needs, and how much of a pad is still free."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.pad.section import Section, row_volume

DAYS = 365.0
SURE = 1e-9  # share by which a row may seem too long from rounding alone


@dataclass(frozen=True)
class Lanes:
    """How rows lie beside one another.

    lane      [m], kept clear
    headland  [m], kept clear at either end
    pairs     two rows toe to toe between lanes, as a loader works them; else every row between two lanes
    """

    lane: float
    headland: float = 0.0
    pairs: bool = False

    def width(self, rows: int, base: float) -> float:
        """Width of a pad for so many rows [m]: n b, and a lane at either side and between."""
        if rows < 0 or base < 0.0 or self.lane < 0.0:
            raise ValueError(f"{rows} rows of {base} m with lanes of {self.lane} m, want nothing below 0")
        gaps = math.ceil(rows / 2) if self.pairs else rows
        return rows * base + (gaps + 1) * self.lane if rows else 0.0

    def fit(self, width: float, base: float, beside: int = 0) -> int:
        """Rows that fit into a width [m] in which the first lane is already counted.

        beside  rows already in the pair that is begun, 0 or 1
        """
        if base <= 0.0 or self.lane < 0.0:
            raise ValueError(f"rows of {base} m with lanes of {self.lane} m, want above 0 and 0 or more")
        room, found = width * (1.0 + SURE), 0
        if self.pairs and beside and room >= base:
            room, found = room - base, 1
        many = 2 if self.pairs else 1
        whole = max(0, math.floor(room / (many * base + self.lane)))
        over = room - whole * (many * base + self.lane)
        return found + many * whole + int(self.pairs and over >= base + self.lane)


@dataclass(frozen=True)
class Flow:
    """What comes in a year and how long it lies.

    volume  [m3] a year as it is laid; days: on the pad until cured or sold
    peak    flow of the busiest weeks over the mean
    left    share of its volume left at the end; half-way through it is taken as the mean of 1 and this
    """

    volume: float
    days: float
    peak: float = 1.0
    left: float = 1.0

    @property
    def daily(self) -> float:
        """[m3/d] as it is laid, at the peak."""
        return self.volume / DAYS * self.peak

    @property
    def standing(self) -> float:
        """Volume lying at once [m3]."""
        return self.daily * self.days * (1.0 + self.left) / 2.0


@dataclass(frozen=True)
class Pad:
    """Rows a flow needs: metres of row in all, how many rows, the pad's sides [m] and area [m2]."""

    volume: float
    length: float
    rows: int
    wide: float
    long: float

    @property
    def area(self) -> float:
        return self.wide * self.long


def pad_for(volume: float, section: Section, longest: float, lanes: Lanes, *, sloped: bool = False) -> Pad:
    """A pad for a standing volume [m3] in rows of one section, `longest` [m] at most.

    sloped  the rows' ends fall like their sides, and each row loses them
    Raises ValueError for a volume below 0 or a row shorter than it is wide with sloped ends.
    """
    if volume < 0.0 or longest <= 0.0:
        raise ValueError(f"volume {volume} m3 in rows of {longest} m, want 0 or more and above 0")
    rows = math.ceil(volume / row_volume(section, longest, sloped=sloped) * (1.0 - SURE))
    metres = volume / section.area + (rows * section.end_loss if sloped else 0.0)
    long = longest + 2.0 * lanes.headland if rows else 0.0
    return Pad(volume, metres, rows, lanes.width(rows, section.base), long)


@dataclass(frozen=True)
class There:
    """A row that lies on the pad: its base and length [m], its section [m2] where it is known; the strip
    it lies on, counted from one side. Rows of one strip lie end to end."""

    name: str
    base: float
    length: float
    strip: int
    area: float | None = None


@dataclass(frozen=True)
class Free:
    """What is left of a pad.

    strips  free whole strips; metres: row that fits on them; beside: metres left behind rows, by strip
    wide    width that is not under rows and their lanes [m]; below 0: the rows there do not fit
    over    strips whose rows are longer than the pad, with metres too many
    """

    strips: int
    metres: float
    beside: dict[int, float]
    wide: float
    over: dict[int, float]


def free_volume(free: Free, run: float, section: Section, *, sloped: bool = False) -> float:
    """What fits on the free strips, each `run` metres long, and behind the rows that lie there [m3].

    With sloped ends a row shorter than it is wide is none.
    """
    least = section.base if sloped else 0.0
    lengths = [*([run] * free.strips), *free.beside.values()]
    return sum(row_volume(section, one, sloped=sloped) for one in lengths if one >= least)


def free_space(
    long: float, wide: float, there: Sequence[There], base: float, lanes: Lanes, gap: float = 0.0
) -> Free:
    """What still fits on a pad of these sides [m] in rows of this base, beside the rows that lie there.

    gap  kept clear between rows end to end on one strip [m]
    """
    run = long - 2.0 * lanes.headland
    strips: dict[int, list[There]] = {}
    for row in there:
        strips.setdefault(row.strip, []).append(row)
    used = lanes.lane
    for place, number in enumerate(sorted(strips)):
        alone = not lanes.pairs or place % 2 == 0
        used += max(row.base for row in strips[number]) + (lanes.lane if alone else 0.0)
    left = {
        number: run - sum(row.length for row in rows) - gap * (len(rows) - 1)
        for number, rows in sorted(strips.items())
    }
    room = wide - used
    fits = lanes.fit(room, base, len(strips) % 2) if run > 0.0 else 0
    return Free(
        strips=fits,
        metres=fits * max(0.0, run),
        beside={number: metres - gap for number, metres in left.items() if metres > gap},
        wide=room,
        over={number: -metres for number, metres in left.items() if metres < 0.0},
    )
