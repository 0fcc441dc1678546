"""A pond through the months or days: what comes, what goes, what spills."""

from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.pad.pond import Pond


@dataclass(frozen=True)
class Step:
    """One month or day.

    inflow       runoff and anything else that comes in [m3]
    rain         on all within the rim [mm]; evaporation and seepage: off the water's own surface [mm]
    taken        wanted for rows and land [m3]
    """

    name: str
    inflow: float
    rain: float
    evaporation: float = 0.0
    seepage: float = 0.0
    taken: float = 0.0


@dataclass(frozen=True)
class Month:
    """What became of one step [m3]: start + inflow + rain - evaporation - seepage - taken - spilt = end.

    short  wanted and not there
    """

    name: str
    inflow: float
    rain: float
    evaporation: float
    seepage: float
    taken: float
    short: float
    spilt: float
    end: float
    depth: float


def balance(
    pond: Pond, full_depth: float, rim_depth: float, start: float, steps: Sequence[Step]
) -> tuple[Month, ...]:
    """A pond's volume step by step, never below empty, and what is above full spills.

    full_depth, rim_depth  [m], full at most the rim; rain is caught on the surface at the rim
    start                  [m3] at first, 0 to full
    Within a step water comes first, then evaporates and seeps from the mean of the surfaces before and after
    it came (at most that of a full pond), then is taken, then spills.
    Raises ValueError for a start outside empty to full, a full depth above the rim, or an amount below 0.
    """
    full = pond.volume(full_depth)
    if not 0.0 <= full_depth <= rim_depth or not 0.0 <= start <= full:
        raise ValueError(f"start {start} m3, full {full_depth} m, rim {rim_depth} m, want 0 to {full} m3")
    held, found, rim = start, [], pond.surface(rim_depth)
    for step in steps:
        if min(step.inflow, step.rain, step.evaporation, step.seepage, step.taken) < 0.0:
            raise ValueError(f"{step}, want nothing below 0")
        rain = step.rain / 1000.0 * rim
        came = held + step.inflow + rain
        surface = (_surface(pond, held, full) + _surface(pond, came, full)) / 2.0
        evaporated = min(came, step.evaporation / 1000.0 * surface)
        seeped = min(came - evaporated, step.seepage / 1000.0 * surface)
        taken = min(came - evaporated - seeped, step.taken)
        left = came - evaporated - seeped - taken
        held = min(left, full)
        month = Month(
            step.name, step.inflow, rain, evaporated, seeped, taken, step.taken - taken,
            left - held, held, pond.depth(held),
        )  # fmt: skip
        found.append(month)
    return tuple(found)


def _surface(pond: Pond, volume: float, full: float) -> float:
    return pond.surface(pond.depth(min(volume, full)))
