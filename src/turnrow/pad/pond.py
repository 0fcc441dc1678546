"""A pond: its volume at a depth, the depth for a volume, and the least depth for what it must hold."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from turnrow.handbook.figures import Figures

M2_HA = 10_000.0
HALVINGS = 200  # of an interval; far more than a double has bits
DEEPEST = 1e6  # m; a depth beyond is no pond


@dataclass(frozen=True)
class Pond:
    """A pond with a level bottom and sides of one slope.

    width, length  of a rectangular bottom [m]; length 0 of a round one: width is its diameter
    side           metres out for each metre up, 0 or more
    """

    width: float
    length: float
    side: float
    round: bool = False

    def __post_init__(self) -> None:
        if self.width < 0.0 or self.length < 0.0 or self.side < 0.0:
            raise ValueError(f"bottom {self.width} by {self.length} m, side {self.side}, want 0 or more")
        if self.surface(1.0) <= 0.0:
            raise ValueError("a pond without bottom and without sloping sides holds nothing")

    def surface(self, depth: float) -> float:
        """Area of the water [m2] where it is so deep [m, 0 or more]."""
        _deep(depth)
        wide = self.width + 2.0 * self.side * depth
        return math.pi / 4.0 * wide * wide if self.round else wide * (self.length + 2.0 * self.side * depth)

    def volume(self, depth: float) -> float:
        """Volume [m3] up to a depth [m, 0 or more].

            rectangle  4/3 Z2 d3 + Z (BL + BW) d2 + BW BL d
            circle     pi/3 Z2 d3 + pi/2 W Z d2 + pi/4 W2 d

        Source: NRCS agricultural waste management field handbook, worksheet 10A-2, which rounds pi's parts.
        """
        _deep(depth)
        cubic, square, plain = self._parts()
        return ((cubic * depth + square) * depth + plain) * depth

    def depth(self, volume: float) -> float:
        """Depth [m] that a volume [m3, 0 or more] fills: the inverse of volume.

        Newton's steps from above, which never pass the answer, for volume bends upwards.
        """
        if volume < 0.0:
            raise ValueError(f"volume {volume} m3, want 0 or more")
        if volume == 0.0:
            return 0.0
        powers = ((part, power) for power, part in zip((3, 2, 1), self._parts(), strict=True) if part > 0.0)
        at = min(float((volume / part) ** (1.0 / power)) for part, power in powers)
        for _ in range(HALVINGS):
            step = (self.volume(at) - volume) / self.surface(at)
            if step <= 4e-16 * at:
                break
            at -= step
        return at

    def _parts(self) -> tuple[float, float, float]:
        """What the depth's third, second and first power are multiplied with."""
        z, w = self.side, self.width
        if self.round:
            return math.pi / 3.0 * z * z, math.pi / 2.0 * w * z, math.pi / 4.0 * w * w
        return 4.0 / 3.0 * z * z, z * (self.length + w), w * self.length


def _deep(depth: float) -> None:
    if depth < 0.0:
        raise ValueError(f"depth {depth} m, want 0 or more")


@dataclass(frozen=True)
class Needs:
    """What a pond must hold at once: volumes [m3] and rain on its own surface [mm].

    solids        what settles until it is cleaned out
    runoff        what runs in over the time it must store, without the storm
    storm_runoff  what the storm brings
    rain          less evaporation over that time, on the pond itself; below 0 it counts as nothing
    storm_rain    of the storm, on the pond itself
    """

    solids: float = 0.0
    runoff: float = 0.0
    storm_runoff: float = 0.0
    rain: float = 0.0
    storm_rain: float = 0.0


@dataclass(frozen=True)
class Storage:
    """What a pond must hold, part by part [m3]; water: least depth of it; depth: with freeboard [m].

    Rain falls on all that lies within the rim, which is wider the deeper the pond.
    """

    parts: dict[str, float]
    needed: float
    water: float
    depth: float


def usual_freeboard(catchment: float, book: Figures) -> float:
    """Height to keep free below the rim [m], for a catchment [m2]: more below a large one."""
    large = catchment >= book["large_catchment"].value * M2_HA
    return book["freeboard_large" if large else "freeboard"].value


def storage(pond: Pond, needs: Needs, freeboard: float, rim: float | None = None) -> Storage:
    """Least depth [m] at which a pond holds its needs and keeps `freeboard` [m] free.

    rim  depth at which the rim is dug, where it is: rain is caught up to there; None: just as deep as needed
    Raises ValueError for a part or freeboard below 0, or where rain on the pond outgrows any depth.
    Source: layout of the NRCS agricultural waste management field handbook, chapter 10.
    """
    fixed = {"solids": needs.solids, "runoff": needs.runoff, "storm runoff": needs.storm_runoff}
    if min(*fixed.values(), needs.storm_rain, freeboard) < 0.0:
        raise ValueError(f"{needs}, freeboard {freeboard} m, want nothing below 0")
    held = sum(fixed.values())
    rain, storm = max(0.0, needs.rain) / 1000.0, needs.storm_rain / 1000.0

    def caught(depth: float) -> float:
        return pond.surface(depth + freeboard if rim is None else max(rim, depth + freeboard))

    water = _least(lambda d: pond.volume(d) - held - (rain + storm) * caught(d))
    area = caught(water)
    parts = fixed | {"rain on the pond": rain * area, "storm rain on the pond": storm * area}
    return Storage(parts, sum(parts.values()), water, water + freeboard)


def _least(over: Callable[[float], float]) -> float:
    """Least depth at which `over` is 0 or more, by doubling and halving."""
    if over(0.0) >= 0.0:
        return 0.0
    low, high = 0.0, 0.001
    while over(high) < 0.0:
        low, high = high, 2.0 * high
        if high > DEEPEST:
            raise ValueError("no depth holds what it must hold")
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if over(middle) >= 0.0 else (middle, high)
    return high
