"""One heap through its weather and what is done to it: hour by hour, with its balances."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from turnrow.heap import balances, ensemble, events
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.balances import Closure, Misses
from turnrow.heap.material import Floats, Heap
from turnrow.heap.weather import Weather, steps

RUNAWAY_C, MOST_STEPS = 150.0, 240
KINDS = ("turn", "water", "cover", "uncover", "split", "screen", "merge")


@dataclass(frozen=True)
class Happening:
    """Something done to the heap.

    at_h     hours from the start, any fraction, taken to a millionth
    kind     one of KINDS
    kg       water given, per metre; with a turn it is given with it
    water_c  its temperature [°C]
    share    split: share of the section that stays; screen: share of decaying matter kept
    inert    screen: share of other matter kept
    other    merge: the heap that is laid to this one, over the whole of this one's length, as it was built
    age_h    merge: whole hours the other has stood by then, in the same weather and untouched
    """

    at_h: float
    kind: str
    kg: float = 0.0
    water_c: float = 12.0
    share: float = 0.5
    inert: float = 0.5
    other: Heap | None = None
    age_h: int = 0


@dataclass(frozen=True, eq=False)
class Course:
    """What became of a heap.

    hours (t,) from the start; cells (GIVEN, t) states, accounts and parameters on those hours, just before
    an event on the hour; air_c (t,); crossed what came in (negative: left) in events, per metre; closure.
    """

    hours: Floats
    cells: Floats
    air_c: Floats
    crossed: dict[str, float]
    closure: Closure
    per_hour: int


def simulate(heap: Heap, weather: Weather, done: Sequence[Happening] = (), *, per_hour: int = 0) -> Course:
    """Carry one heap through all of `weather`. ValueError for a happening outside it or of unknown kind, for
    a merge without another heap or with one older than the weather, and where no step is short enough.

    per_hour  steps in an hour; 0 chooses, more of them for heaps that answer fast to air
    """
    for one in done:
        if one.kind not in KINDS or not 0.0 <= one.at_h < weather.hours:
            raise ValueError(
                f"happening {one.kind} at hour {one.at_h}, want {KINDS} within {weather.hours} h"
            )
    p = mat.parameters(heap.own)
    column = mat.column(heap)[:, None]
    per = per_hour or steps_an_hour(column)
    made = ensemble.blocks(column)
    seen = [column]
    crossed = dict.fromkeys(balances.KINDS, 0.0)
    misses = Misses(np.zeros((6, 1)), np.zeros((6, 1)))
    at, fresh = 0.0, True
    queue = sorted((replace(one, at_h=round(one.at_h, 6)) for one in done), key=lambda one: one.at_h)
    for end in _stops(weather.hours, queue):
        if end > at:
            before = ensemble.columns(made, 1)
            made, per = _steadily(made, weather, (at, end), per, fresh)
            now = ensemble.columns(made, 1)
            misses += balances.of_leg(before, now)
            fresh, at = False, end
            if end == int(end):
                seen.append(now)
        while queue and queue[0].at_h == at:
            before = ensemble.columns(made, 1)
            air_c = float(np.interp(at, np.arange(weather.hours + 1.0), weather.air_c))
            one = queue.pop(0)
            if one.kind == "merge":
                after, crossing = _merged(one, before, heap.length_m, weather)
            else:
                after, crossing = apply(one, before, air_c, p)
            misses += balances.of_event(before, after, crossing)
            for kind in crossed:
                crossed[kind] += float(getattr(crossing, kind)[0])
            made, fresh = ensemble.blocks(after), True
            per = per_hour or max(per, steps_an_hour(after))
    hours = np.arange(weather.hours + 1.0)
    return Course(hours, np.concatenate(seen, axis=1), weather.air_c, crossed, misses.closure(), per)


def _steadily(
    made: Floats, weather: Weather, span: tuple[float, float], per: int, fresh: bool
) -> tuple[Floats, int]:
    """March the blocks over `span`; where that runs off, again with twice the steps."""
    while True:
        tried = made.copy()
        warm = ensemble.carry(tried, steps(weather, *span, per), fresh=fresh)
        if np.all(np.abs(warm) < RUNAWAY_C):  # False for what is no number
            return tried, per
        if per >= MOST_STEPS:
            raise ValueError(
                f"hour {span[0]:g}: no steady march with {per} steps an hour, at most {MOST_STEPS}"
            )
        per *= 2


def steps_an_hour(column: Floats, largest: int = 60) -> int:
    """Steps an hour that keep the march of the first heap steady at 70 °C in its strongest draught."""
    return int(steps_each(column[:, :1], largest)[0])


def steps_each(c: Floats, largest: int = 60) -> Floats:
    """Steps an hour (n,), whole numbers, that keep the march of each heap steady."""
    water = mat.zones(c, k.W)
    clump = c[k.CLUMP] + c[k.WETTER] * water / (water + mat.dry_matter(c))
    pores = np.mean(mat.free_air(c) ** 3 * clump**2, axis=0)
    base, area = c[k.BASE], mat.area(c)
    high = area / (0.6 * base)
    draught = c[k.PERM] * pores * base * high / (high + 0.5 * base) * 1.2 * 0.3
    free = draught * (1.0 + 3.0 * c[k.WIND])
    flow = 2.0 * free / (1.0 + np.sqrt(1.0 + 4.0 * c[k.DRAG] / base * free)) + c[k.GF]
    capacity = c[k.CS] * mat.dry_matter(c).sum(axis=0) + k.CW * mat.zones(c, k.W).sum(axis=0)
    skin = np.sqrt(base * base + 5.333 * high * high)
    conduct = 0.5 * skin / (2.0 * area / skin * 0.06274)  # through half the shell, wet
    through = 4.0 * 30.0 * skin * conduct / (30.0 * skin + conduct)  # the shell holds a quarter of the heat
    drying = flow * 0.03 / (0.25 * c[k.KAW] * mat.dry_matter(c).sum(axis=0))
    rate = 3600.0 * np.maximum((2.0 * flow * 2.5e4 + through) / capacity, drying)
    return np.asarray(np.clip(np.ceil(rate), 1, largest))


def _stops(hours: int, done: Sequence[Happening]) -> list[float]:
    return sorted({float(h) for h in range(hours + 1)} | {one.at_h for one in done})


def apply(
    one: Happening, c: Floats, air_c: float, p: Mapping[str, Floats | float]
) -> tuple[Floats, events.Crossing]:
    """The heaps after what was done to them, and what crossed their border. ValueError for a merge, which
    needs the other heap's own weather: `simulate` does that."""
    if one.kind not in KINDS[:-1]:
        raise ValueError(f"happening {one.kind}, want {KINDS[:-1]}")
    none = np.zeros(c.shape[1])
    nothing = events.Crossing(none, none, none, none, none)
    if one.kind == "turn":
        turned, out = events.turn(c, air_c, p)
        if not one.kg:
            return turned, out
        wet, given = events.water(turned, one.kg, one.water_c)
        return wet, _sum(out, given)
    if one.kind == "water":
        return events.water(c, one.kg, one.water_c, shell_only=True)
    if one.kind in ("cover", "uncover"):
        return events.cover(c, one.kind == "cover"), nothing
    if one.kind == "split":
        gone, kept = events.split(c, 1.0 - one.share)
    else:
        kept, gone = events.screen(c, one.share, one.inert)
    left = events.stores(gone)
    return kept, events.Crossing(*(-getattr(left, kind) for kind in balances.KINDS))


def _merged(one: Happening, c: Floats, length_m: float, weather: Weather) -> tuple[Floats, events.Crossing]:
    """The heap with the other laid to it, and what came in with that."""
    last = int(one.at_h)
    if one.other is None or not 0 <= one.age_h <= last:
        raise ValueError(f"merge at hour {one.at_h} of a heap of {one.age_h} h, want one, and no older")
    other = mat.column(one.other)[:, None]
    if one.age_h:
        other = simulate(one.other, weather.between(last - one.age_h, last)).cells[:, -1:]
    share = one.other.length_m / length_m
    held = events.stores(other)
    merged = events.merge(c, other, length_m, one.other.length_m, length_m)
    return merged, events.Crossing(*(share * getattr(held, kind) for kind in balances.KINDS))


def _sum(a: events.Crossing, b: events.Crossing) -> events.Crossing:
    return events.Crossing(*(getattr(a, kind) + getattr(b, kind) for kind in balances.KINDS))
