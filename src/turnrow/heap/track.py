"""Many heaps carried side by side through the same weather and events, hour by hour."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from turnrow.heap import ensemble
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap.material import Floats
from turnrow.heap.report import thickness
from turnrow.heap.run import RUNAWAY_C, Happening, apply, steps_each
from turnrow.heap.weather import Weather, steps

LEG_H, FINEST = 24, 64  # hours a leg; steps an hour
NODES = np.concatenate([[0.0], 1.0 - mat.MIDDLE])  # depth of skin and zones, of the centre's


@dataclass(frozen=True, eq=False)
class Track:
    """What became of n heaps.

    hours  (t,) whole hours from the build; the hour of an event stands twice, before and after it
    leg    (t,) how many events were before
    temp   (t, 4, n) °C by zone
    deep   (t, n) m, depth of the centre
    ends   (e,) hours of the whole-heap figures below, each day's end, the events and the last
    wet    (e, n) moisture, wet basis; mass (e, n) wet [kg/m]; area (e, n) [m2]; eats (e, n) see `appetite`
    state  (GIVEN, n) at the end
    lost   (n,) heaps that no step was short enough for; they stand still from there
    """

    hours: Floats
    leg: Floats
    temp: Floats
    deep: Floats
    ends: Floats
    wet: Floats
    mass: Floats
    area: Floats
    eats: Floats
    state: Floats
    lost: Floats

    def pick(self, these: NDArray[np.int64]) -> "Track":
        """The same of some heaps, or of one several times."""
        several = {"temp": self.temp[:, :, these], "lost": self.lost[these]}
        for name in ("deep", "wet", "mass", "area", "eats", "state"):
            several[name] = getattr(self, name)[:, these]
        return replace(self, **several)


class Tables:
    """The weather as the kernel's steps, made once for each number of steps an hour."""

    def __init__(self, weather: Weather) -> None:
        self.weather, self._made = weather, dict[int, Floats]()

    def of(self, first: int, last: int, per: int) -> Floats:
        if per not in self._made:
            self._made[per] = steps(self.weather, 0.0, float(self.weather.hours), per)
        return self._made[per][first * per : last * per]


def follow(
    start: Floats,
    p: Mapping[str, Floats | float],
    tables: Tables,
    done: Sequence[Happening],
    span: tuple[int, int],
) -> Track:
    """Carry `start` (GIVEN, n) over the hours of `span`.

    p     the parameters events ask for, floats or (n,)
    done  in order, on whole hours within the span; one on its last hour is done, too
    """
    c, at, lost = start, span[0], np.zeros(start.shape[1])
    hours, legs, temps, deeps = (
        [np.array([float(at)])],
        [np.zeros(1)],
        [mat.temperature(c)[None]],
        [thickness(c)[None]],
    )
    ends, whole = [float(at)], [_whole(c)]
    stops = sorted({*range(at, span[1], LEG_H), *(round(one.at_h) for one in done), span[1]})
    queue, leg = list(done), 0.0
    for end in stops:
        if end > at:
            before = thickness(c)
            c, warm, gone = _carried(c, tables, at, end)
            lost = np.maximum(lost, gone)
            part = np.arange(1, end - at + 1) / (end - at)
            hours.append(np.arange(at + 1.0, end + 1.0))
            legs.append(np.full(end - at, leg))
            temps.append(warm)
            deeps.append(before + part[:, None] * (thickness(c) - before))
            at = end
            ends.append(float(at))
            whole.append(_whole(c))
        while queue and round(queue[0].at_h) == at:
            c, _ = apply(queue.pop(0), c, float(tables.weather.air_c[at]), p)
            leg += 1
            hours.append(np.array([float(at)]))
            legs.append(np.array([leg]))
            temps.append(mat.temperature(c)[None])
            deeps.append(thickness(c)[None])
    wet, mass, area, eats = (np.stack(values) for values in zip(*whole, strict=True))
    join = np.concatenate
    return Track(
        join(hours), join(legs), join(temps), join(deeps), np.array(ends), wet, mass, area, eats, c, lost
    )


def _whole(c: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    water, dry = mat.zones(c, k.W).sum(axis=0), mat.dry_matter(c).sum(axis=0)
    return water / (water + dry), water + dry, mat.area(c), appetite(c)


def appetite(c: Floats) -> Floats:
    """Oxygen (n,) the heap would take at its best temperature, were it wet and aired [g/kg organic, hour].

    What a laboratory's respiration test asks for; food alone, whatever the heap's state.
    """
    ready, slow = mat.zones(c, k.S1).sum(axis=0), mat.zones(c, k.S2).sum(axis=0)
    organic = mat.food(c).sum(axis=0) + c[k.INERT_VS]
    return np.asarray(c[k.GAM] * ((1.0 - c[k.YH]) * c[k.K1] * ready + c[k.K2] * slow) / organic * 3.6e6)


def _carried(c: Floats, tables: Tables, first: int, last: int) -> tuple[Floats, Floats, Floats]:
    """(GIVEN, n) at the end, (hours, 4, n) on the way, (n,) those lost.

    All go at the pace most of them need; those that need a finer one, or ran off, go again.
    """
    n = c.shape[1]
    need = 2.0 ** np.ceil(np.log2(steps_each(c)))
    paces, often = np.unique(need, return_counts=True)
    these, per, lost = np.arange(n), int(paces[np.argmax(often)]), np.zeros(n)
    after, temp = c, np.empty((0, 4, n))
    while len(these):
        part = c if len(these) == n else c[:, these]
        made = ensemble.blocks(part)
        warm = ensemble.carry(made, tables.of(first, last, per), fresh=True, every=per)[:, :, : len(these)]
        if len(these) == n:
            after, temp = ensemble.columns(made, n), warm
        else:
            after[:, these], temp[:, :, these] = ensemble.columns(made, len(these)), warm
        steady = np.all(np.abs(warm) < RUNAWAY_C, axis=(0, 1))  # False for what is no number
        these, per = these[~steady | (need[these] > per)], per * 2
        if per > FINEST:
            lost[these], after[:, these] = 1.0, c[:, these]
            temp[:, :, these] = mat.temperature(c[:, these])
            break
    return after, temp, lost


def probe(track: Track, air_c: Floats, at_h: Floats, leg: Floats, depth_m: Floats) -> Floats:
    """What a probe shows (m, n) [°C] at hours at_h (m,) after `leg` (m,) events, depth_m (m,) below the skin.

    air_c (hours,) on the hour from the build. Linear between skin and the zones' middles, as
    `report.at_depth`; the hour is taken within the stretch between two events.
    """
    first = np.searchsorted(track.leg, leg, side="left")
    last = np.searchsorted(track.leg, leg, side="right") - 1
    low = np.clip(np.floor(at_h) - track.hours[first], 0, last - first).astype(np.int64) + first
    high = np.minimum(low + 1, last)
    part = np.clip(at_h - track.hours[low], 0.0, 1.0)
    temp = track.temp[low] + part[:, None, None] * (track.temp[high] - track.temp[low])
    at = np.interp(track.hours[low] + part, np.arange(float(len(air_c))), air_c)
    skin = 0.5 * (temp[:, 0] + at[:, None])
    values = np.concatenate([skin[:, None], temp], axis=1)
    x = depth_m[:, None] / track.deep[low]
    shown = values[:, 4].copy()
    for node in range(3, -1, -1):
        share = (x - NODES[node]) / (NODES[node + 1] - NODES[node])
        between = values[:, node] + np.maximum(share, 0.0) * (values[:, node + 1] - values[:, node])
        shown = np.where(x < NODES[node + 1], between, shown)
    return shown
