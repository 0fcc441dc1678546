"""A heap's open parameters, drawn towards its own readings."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.heap import heap_parameters
from turnrow.heap import believed, esmda
from turnrow.heap import leftover as rest
from turnrow.heap.believed import OWN_OF_A_HEAP, Prior, Taught, prior
from turnrow.heap.expected import weather
from turnrow.heap.known import Known, Measured
from turnrow.heap.leftover import Leftover, Spots
from turnrow.heap.material import Floats
from turnrow.heap.tidied import HOUR, UNKNOWN_LENGTH, Tidied, tidy
from turnrow.heap.track import Tables, Track, follow, probe

__all__ = ["Fitted", "fit", "prior", "taught"]


@dataclass(frozen=True, eq=False)
class Fitted:
    """n guesses of a heap that agree with its readings.

    z (p, n) in sd of the belief; values by key (n,); state (GIVEN, n) at tidied.now_h
    left      (m, n) what each guess leaves of the readings at tidied.spots
    before    (m, n) what it left before it was fitted: how surprising the readings were
    cool_h    (n,) for how long the core has been near the air, hours up to now
    length_m  of the heap; ten widths where not known
    """

    prior: Prior
    z: Floats
    values: dict[str, Floats]
    state: Floats
    tidied: Tidied
    left: Floats
    before: Floats
    cool_h: Floats
    length_m: float
    seed: int
    notices: tuple[str, ...]

    @property
    def members(self) -> int:
        return int(self.z.shape[1])


def fit(
    known: Known,
    belief: Prior,
    *,
    now_s: int,
    members: int = 512,
    seed: int = 1,
    leftover: Leftover | None = None,
    alphas: Sequence[float] = esmda.ALPHAS,
) -> Fitted:
    """Guesses drawn from `belief` and towards the readings known at now_s; from the belief alone where
    there are none. The same arguments give the same guesses.

    ValueError for a now before the build, or where no guess could be carried at all.
    """
    b = leftover or Leftover()
    length = belief.length_m or UNKNOWN_LENGTH * _middle(belief, "base_m")
    tidied = tidy(known, now_s, length, _middle(belief, "height_m"))
    cap = float(tidied.temp_c.min()) if len(tidied.temp_c) else 40.0
    air, told = weather(known.outside, tidied.start_s, max(tidied.now_h, 1), cap)
    tables = Tables(air)
    drawn = np.random.default_rng([seed, 1])
    p = len(belief.unknowns)
    z = belief.mean[:, None] + belief.root @ drawn.standard_normal((p, members))
    read, root = _read(tidied, b)
    first = None
    for alpha in alphas if len(read) else ():
        z, _, _, seen = _seen(belief, z, tables, tidied)
        first = seen if first is None else first
        z = esmda.step(z, seen, read, root, alpha, drawn.standard_normal(seen.shape))
    z, values, track, seen = _seen(belief, z, tables, tidied)
    m = len(tidied.temp_c)
    left = tidied.temp_c[:, None] - seen[:m]
    before = left if first is None else tidied.temp_c[:, None] - first[:m]
    gone = int(track.lost.sum())
    if gone:
        told.append(
            f"{gone} of {members} guesses of the heap could not be carried and were given up for others."
        )
    notices = (*belief.notices, *tidied.notices, *told)
    return Fitted(
        belief, z, values, track.state, tidied, left, before, cool(track, air.air_c), length, seed, notices
    )


def _middle(belief: Prior, size: str) -> float:
    """The middle of what is believed of a size [m]."""
    return float(np.exp(next(one.middle for one in belief.unknowns if one.key == size)))


def _read(tidied: Tidied, b: Leftover) -> tuple[Floats, Floats]:
    """What was read and measured (m,), and the Cholesky factor (m, m) of what is wrong with it."""
    m, told = len(tidied.temp_c), [one.told for one in tidied.measured]
    cov = np.diag([0.0] * m + [one.sd**2 for one in told])
    cov[:m, :m] = rest.covariance(tidied.spots, b)
    read = np.concatenate([tidied.temp_c, [one.value for one in told]])
    return read, np.asarray(np.linalg.cholesky(cov))


def _seen(
    belief: Prior, z: Floats, tables: Tables, tidied: Tidied
) -> tuple[Floats, dict[str, Floats], Track, Floats]:
    """The guesses, with those no step was short enough for given up for others; their values, course, and
    what they say of the readings (m, n)."""
    values = believed.values(belief, z)
    track = follow(believed.made(belief, values), _params(values), tables, tidied.done, (0, tidied.now_h))
    seen = _says(track, tables.weather.air_c, tidied)
    good = np.flatnonzero((track.lost == 0) & np.all(np.isfinite(seen), axis=0))
    if len(good) == z.shape[1]:
        return z, values, track, seen
    if not len(good):
        raise ValueError("no guess of this heap could be carried through its hours")
    chosen = np.arange(z.shape[1])
    gone = np.setdiff1d(chosen, good)
    chosen[gone] = good[np.arange(len(gone)) % len(good)]
    return (
        z[:, chosen],
        {k: v[chosen] for k, v in values.items()},
        replace(track.pick(chosen), lost=track.lost),
        seen[:, chosen],
    )


def _params(values: dict[str, Floats]) -> dict[str, Floats | float]:
    return {**{key: row.value for key, row in heap_parameters().items()}, **values}


def _says(track: Track, air_c: Floats, tidied: Tidied) -> Floats:
    s: Spots = tidied.spots
    shown = probe(track, air_c, s.at_h, s.leg, s.depth_m)
    return np.concatenate([shown, *(_measure(one, track, tidied)[None] for one in tidied.measured)])


def _measure(one: Measured, track: Track, tidied: Tidied) -> Floats:
    at = int(np.argmin(np.abs(track.ends - (one.at_s - tidied.start_s) / HOUR)))
    return np.asarray(track.wet[at] if one.quantity == "moisture" else track.mass[at] / track.area[at])


def near_air(track: Track, air_c: Floats) -> NDArray[np.bool_]:
    """(t, n) whether the core is within the finish test's excess of the day's mean air."""
    limit = heap_parameters()["finish_excess"].value
    mean = day_mean(air_c)[track.hours.astype(np.int64)]
    return np.asarray(track.temp[:, 3] - mean[:, None] < limit)


def day_mean(air_c: Floats) -> Floats:
    """(hours,) of the 24 hours up to each."""
    padded = np.concatenate([np.full(23, air_c[:24].mean()), air_c])
    return np.convolve(padded, np.full(24, 1 / 24), mode="valid")


def cool(track: Track, air_c: Floats) -> Floats:
    """(n,) hours the core has been near the air without a break, up to the track's end."""
    warm = ~near_air(track, air_c)
    back = np.argmax(warm[::-1], axis=0)
    back = np.where(warm.any(axis=0), back, len(warm))
    return np.asarray(np.minimum(back, track.hours[-1] - track.hours[0]), dtype=np.float64)


def taught(fits: Sequence[Fitted]) -> Taught:
    """What the yard's earlier heaps, each fitted from the plain belief, say of a new one."""
    rows = []
    for one in fits:
        keys = [u.key for u in one.prior.unknowns]
        mine = [i for i, key in enumerate(keys) if key not in OWN_OF_A_HEAP]
        part = one.z[mine]
        rows.append((tuple(keys[i] for i in mine), part.mean(axis=1), np.cov(part), one.members))
    return believed.teach(rows)
