"""The outlook of a bare log: guesses mixed by how they did in this very log, and honest intervals.

Mixing: sleeping guesses, weights exp(−eta · forgotten misses) (exponentially weighted averaging;
specialists after Freund, Schapire, Singer & Warmuth 1997, MEMORY). Intervals: quantiles of the past
misses at the same hours ahead, each measured by the spread believed in at its own origin (locally
weighted conformal prediction, Lei et al. 2018, MEMORY), together with the misses of a normal belief.
Misses that overlap in time are counted for what they newly tell.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.bare.beliefs import Beliefs
from turnrow.heap.bare.guesses import GUESSES, Guessed, guess
from turnrow.heap.bare.log import BareLog

Hours = NDArray[np.float64]
STEP_H = 6.0  # the log is gone through again at this pace to see how each guess did
LEAST_SCORED = 20  # past origins from which "no skill so far" is said (OWN: five days)
SHARES = (np.arange(99) + 1) / 100
BELIEVED = np.array([NormalDist().inv_cdf((i + 0.5) / 20) for i in range(20)])


@dataclass(frozen=True, eq=False)
class Outlook:
    """One forecast. hour: hours from the log's start at which it was made; ahead: hours ahead.

    sample     (99,) °C, the 1st to 99th percentile
    as_now     °C, the last reading held; age: hours since it
    shares     the guesses' part in it, largest first
    skill      how much better than "as now" the outlook did so far here; None: too little scored, or "as
               now" never missed
    shown      "outlook", or "as now" where the outlook had no skill so far: then its middle is as_now
    """

    hour: float
    ahead: float
    sample: Hours
    as_now: float
    age: float
    shares: tuple[tuple[str, float], ...]
    skill: float | None
    scored: int
    shown: str

    @property
    def mean(self) -> float:
        return float(self.sample.mean())

    def percentile(self, p: int) -> float:
        return float(self.sample[p - 1])


def outlooks(
    log: BareLog,
    origins: Sequence[float],
    ahead: Sequence[float],
    *,
    air_known: bool = False,
    beliefs: Beliefs | None = None,
) -> list[Outlook]:
    """Forecasts at each origin for each of the hours `ahead`, each from what was known at its origin.

    origins    hours from the log's start, none before its first reading
    air_known  the air in the log past an origin may be used as known there
    ValueError for an origin before the first reading or hours ahead that are not above 0.
    """
    if not len(log.hour) or min(origins, default=0.0) < log.hour[0] or min(ahead, default=1.0) <= 0:
        raise ValueError("an origin before the first reading, or hours ahead of 0 or less")
    b = beliefs or Beliefs()
    memory = _Memory(log, np.asarray(ahead, dtype=np.float64), air_known, b)
    return [one for origin in origins for one in memory.at(float(origin))]


class _Memory:
    """The log gone through at every STEP_H, guess by guess."""

    def __init__(self, log: BareLog, ahead: Hours, air_known: bool, b: Beliefs) -> None:
        self._log, self._ahead, self._air_known, self._b = log, ahead, air_known, b
        self._past: list[float] = []
        h = len(ahead)
        self._paths = np.empty((0, len(GUESSES), h))  # NaN where a guess slept
        self._spread = np.empty((0, h))
        self._mixed = np.empty((0, h))
        self._came, self._since = np.empty((0, h)), np.empty((0, h))
        self._stood = np.empty((0, h), dtype=np.bool_)

    def at(self, origin: float) -> list[Outlook]:
        self._go_to(origin)
        guessed = self._guess(origin)
        return [self._one(origin, guessed, i) for i in range(len(self._ahead))]

    def _guess(self, origin: float) -> Guessed:
        to_come = None
        if self._air_known:
            to_come = air_between(self._log, origin, self._ahead)
        return guess(self._log.until(origin), origin, self._ahead, to_come, self._b)

    def _go_to(self, origin: float) -> None:
        start = float(self._log.hour[0])
        while start + len(self._past) * STEP_H < origin:
            past = start + len(self._past) * STEP_H
            guessed = self._guess(past)
            paths = np.full((1, len(GUESSES), len(self._ahead)), np.nan)
            for name, path in guessed.paths.items():
                paths[0, GUESSES.index(name)] = path
            mixed = [self._weights(past, guessed, i)[0] for i in range(len(self._ahead))]
            came, since = self._log.came(past + self._ahead)
            self._past.append(past)
            self._paths = np.concatenate([self._paths, paths])
            self._spread = np.concatenate([self._spread, guessed.spread[None]])
            self._mixed = np.concatenate([self._mixed, np.array([mixed])])
            self._came = np.concatenate([self._came, came[None]])
            self._since = np.concatenate([self._since, since[None]])
            self._stood = np.concatenate([self._stood, self._log.is_still(past + self._ahead)[None]])

    def _scored(self, origin: float, i: int) -> NDArray[np.intp]:
        """Past origins whose outcome at hours ahead number i was known at `origin`, the newest 400."""
        known = (self._since[:, i] <= origin) & ~np.isnan(self._came[:, i]) & ~self._stood[:, i]
        return np.flatnonzero(known)[-400:]

    def _told(self, origin: float, these: NDArray[np.intp], i: int) -> Hours:
        ago = origin - np.array(self._past)[these] - self._ahead[i]
        overlap = min(1.0, STEP_H / self._ahead[i])
        return np.asarray(np.exp(-ago / 24 / self._b.memory_days) * overlap)

    def _weights(self, origin: float, guessed: Guessed, i: int) -> tuple[float, dict[str, float]]:
        """The mixed guess at hours ahead number i [°C], and the guesses' parts in it."""
        names = list(guessed.paths)
        these = self._scored(origin, i)
        told = self._told(origin, these, i)
        spread, came = self._spread[these, i], self._came[these, i]
        own = np.abs(self._mixed[these, i] - came)
        log_weight = []
        for name in names:
            miss = np.abs(self._paths[these, GUESSES.index(name), i] - came)
            worse = np.where(np.isnan(miss), 0.0, (miss - own) / spread)
            log_weight.append(np.log(guessed.odds[name] + 1e-12) - self._b.eta * float(told @ worse))
        part = np.exp(np.array(log_weight) - max(log_weight))
        part /= part.sum()
        mixed = float(sum(p * guessed.paths[name][i] for p, name in zip(part, names, strict=True)))
        return mixed, dict(zip(names, part.tolist(), strict=True))

    def _one(self, origin: float, guessed: Guessed, i: int) -> Outlook:
        mixed, parts = self._weights(origin, guessed, i)
        these = self._scored(origin, i)
        came = self._came[these, i]
        own = np.abs(self._mixed[these, i] - came)
        held = np.abs(self._paths[these, GUESSES.index("now"), i] - came)
        enough = len(these) >= LEAST_SCORED
        skill = 1 - float(own.sum() / held.sum()) if enough and held.sum() > 0 else None
        plain = enough and bool(own.sum() >= held.sum())
        miss = (held if plain else own) / self._spread[these, i]
        told = self._told(origin, these, i)
        middle = guessed.last if plain else mixed
        sample = middle + _misses(miss, told, float(guessed.spread[i]), self._b)
        ordered = sorted(parts.items(), key=lambda one: -one[1])
        return Outlook(
            hour=origin,
            ahead=float(self._ahead[i]),
            sample=sample,
            as_now=guessed.last,
            age=guessed.age,
            shares=(("now", 1.0),) if plain else tuple(ordered),
            skill=skill,
            scored=len(these),
            shown="as now" if plain else "outlook",
        )


def _misses(miss: Hours, told: Hours, spread: float, b: Beliefs) -> Hours:
    """(99,) the quantiles of a miss [K], the same on both sides; never narrower than a probe's error.

    miss (n,) sizes of past misses over their spreads; told (n,) how much each counts.
    """
    sizes = np.concatenate([BELIEVED, miss, -miss])
    counts = np.concatenate([np.full(len(BELIEVED), b.prior_weight / len(BELIEVED)), told, told])
    order = np.argsort(sizes, kind="stable")
    reached = np.cumsum(counts[order]) - counts[order] / 2
    drawn = np.interp(SHARES, reached / counts.sum(), sizes[order]) * spread
    least = BELIEVED_SHARES * b.narrowest_k
    return np.where(np.abs(drawn) < np.abs(least), least, drawn)


BELIEVED_SHARES = np.array([NormalDist().inv_cdf(p) for p in SHARES])


def air_between(log: BareLog, origin: float, ahead: Hours) -> Hours | None:
    """(h,) mean air from `origin` on over each of the hours ahead; None where some is not in the log."""
    found = []
    for hours in ahead:
        within = (log.air_hour > origin) & (log.air_hour <= origin + hours)
        if not within.any():
            return None
        found.append(float(log.air[within].mean()))
    return np.array(found)
