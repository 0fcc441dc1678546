"""What the model leaves of the readings: slow drifts of the heap and of each place, and the probe's error.

    left over = heap's drift + place's drift + station's offset + probe

Drifts forget exponentially, and partly at each turn; so what is left over today is carried into the outlook
and fades. Covariances in closed form; a normal process, conditioned exactly.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Leftover:
    """Beliefs about what the model leaves; sd in K, times to forget in hours. All OWN, round figures.

    heap_k, heap_h     of the whole heap
    place_k, place_h   of each station and depth
    station_k          offset of a station, for good
    probe_k            of a single reading
    turn_keeps         share of a drift that lasts through a turn
    """

    heap_k: float = 2.5
    heap_h: float = 120.0
    place_k: float = 2.0
    place_h: float = 72.0
    station_k: float = 1.5
    probe_k: float = 1.0
    turn_keeps: float = 0.6


@dataclass(frozen=True, eq=False)
class Spots:
    """When and where (m,): at_h hours from the build; leg, events before; depth_m; station."""

    at_h: Floats
    leg: Floats
    depth_m: Floats
    station: NDArray[np.int64]

    def pick(self, these: NDArray[np.bool_]) -> "Spots":
        return Spots(self.at_h[these], self.leg[these], self.depth_m[these], self.station[these])


def covariance(a: Spots, b: Leftover) -> Floats:
    """(m, m) of what is wrong with readings, model and probe together."""
    forget = b.turn_keeps ** np.abs(a.leg[:, None] - a.leg)
    apart = np.abs(a.at_h[:, None] - a.at_h)
    place = (a.station[:, None] == a.station) & (np.abs(a.depth_m[:, None] - a.depth_m) < 0.01)
    cov = b.heap_k**2 * np.exp(-apart / b.heap_h) * forget
    cov += place * b.place_k**2 * np.exp(-apart / b.place_h) * forget
    cov += (a.station[:, None] == a.station) * b.station_k**2
    return np.asarray(cov + b.probe_k**2 * np.eye(len(apart)))


@dataclass(frozen=True, eq=False)
class Ahead:
    """Drifts (n members) at a moment, to be carried on.

    places (d, 2): station and depth_m; heap (n,); place (d, n); offset (d, n)
    """

    places: Floats
    heap: Floats
    place: Floats
    offset: Floats


def at(
    now_h: float, leg: float, places: Floats, read: Spots, left: Floats, b: Leftover, drawn: Floats
) -> Ahead:
    """The drifts at hour now_h, after `leg` events, given what was left over (m, n) at `read`.

    places  (d, 2) station and depth_m of the places asked for
    drawn   (1 + d + stations, n) standard normals
    """
    d, stations = len(places), np.unique(places[:, 0])
    size = 1 + d + len(stations)
    if drawn.shape[0] != size:
        raise ValueError(f"{drawn.shape[0]} rows of normals, want {size}")
    whole = np.diag([b.heap_k**2, *[b.place_k**2] * d, *[b.station_k**2] * len(stations)])
    mean, cov = np.zeros((size, drawn.shape[1])), whole
    if len(read.at_h):
        forget = b.turn_keeps ** np.abs(leg - read.leg)
        apart = np.abs(now_h - read.at_h)
        same = (places[:, :1] == read.station) & (np.abs(places[:, 1:] - read.depth_m) < 0.01)
        cross = np.concatenate(
            [
                (b.heap_k**2 * np.exp(-apart / b.heap_h) * forget)[None],
                same * b.place_k**2 * np.exp(-apart / b.place_h) * forget,
                (stations[:, None] == read.station) * b.station_k**2,
            ]
        )
        gain = np.linalg.solve(covariance(read, b), cross.T).T
        mean, cov = gain @ left, whole - gain @ cross.T
    value, way = np.linalg.eigh(cov)
    found = mean + (way * np.sqrt(np.maximum(value, 0.0))) @ drawn
    offset = found[1 + d :][np.searchsorted(stations, places[:, 0])]
    return Ahead(places, found[0], found[1 : 1 + d], offset)


def carried(now: Ahead, hours: Floats, turned: Floats, b: Leftover, drawn: Floats) -> Floats:
    """The drifts and offsets (h, d, n) at `hours` ahead (h,), rising.

    turned  (h,) turns made by then; drawn (h, 1 + d, n) standard normals
    """
    found = np.empty((len(hours), len(now.places), now.heap.shape[0]))
    heap, place = now.heap, now.place
    gone, turns = 0.0, 0.0
    for i, hour in enumerate(hours):
        keep = b.turn_keeps ** (turned[i] - turns)
        slow, quick = keep * np.exp(-(hour - gone) / b.heap_h), keep * np.exp(-(hour - gone) / b.place_h)
        heap = slow * heap + np.sqrt(1.0 - slow**2) * b.heap_k * drawn[i, 0]
        place = quick * place + np.sqrt(1.0 - quick**2) * b.place_k * drawn[i, 1:]
        found[i] = heap + place + now.offset
        gone, turns = hour, turned[i]
    return found
