"""The outlook of a bare log: guesses mixed by how they did in this very log, and honest intervals.

Mixing: sleeping guesses, weights exp(−eta · forgotten misses) (exponentially weighted averaging;
specialists after Freund, Schapire, Singer & Warmuth 1997, MEMORY). Intervals: quantiles of the past
misses at the same hours ahead, each measured by the spread believed in at its own origin (locally
weighted conformal prediction, Lei et al. 2018, MEMORY), together with the misses of a normal belief.
Misses that overlap in time are counted for what they newly tell.

Where another reading is due by this log's own pace, misses after fresh readings tell the
less the shorter their hours ahead; no interval narrows with the hours ahead (pooled, as isotonic regression
does), and none reaches above TOP_C unless a reading came near it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from turnrow.heap.bare.beliefs import CEILING_SPAN_K, TOP_C, Beliefs, around
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
    beliefs: Sequence[Beliefs] | None = None,
) -> list[Outlook]:
    """Forecasts at each origin for each of the hours `ahead`, each from what was known at its origin.

    origins    hours from the log's start, none before its first reading
    air_known  the air in the log past an origin may be used as known there
    beliefs    each set forecasts by itself and the forecasts are averaged; `around(Beliefs())` where None
    ValueError for an origin before the first reading or hours ahead that are not above 0.
    """
    if not len(log.hour) or min(origins, default=0.0) < log.hour[0] or min(ahead, default=1.0) <= 0:
        raise ValueError("an origin before the first reading, or hours ahead of 0 or less")
    sets = around(Beliefs()) if beliefs is None else beliefs
    memories = [_Memory(log, np.asarray(ahead, dtype=np.float64), air_known, b) for b in sets]
    return [one for origin in origins for one in _together(memories, float(origin))]


def _together(memories: Sequence["_Memory"], origin: float) -> list[Outlook]:
    """The forecasts at `origin`: percentiles and parts averaged over the sets of beliefs, their skill that of
    the averages of what they said before."""
    told = [(memory, memory.come_to(origin)) for memory in memories]
    first, guessed = told[0]
    found: list[Outlook] = []
    for i, hours in enumerate(first.ahead):
        these = first.scored(origin, i)
        came = first.came[these, i]
        own = float(np.abs(np.mean([memory.said[these, i] for memory in memories], axis=0) - came).sum())
        held = float(np.abs(first.paths[these, GUESSES.index("now"), i] - came).sum())
        enough = len(these) >= LEAST_SCORED
        plain = enough and own >= held
        each = [memory.one(origin, these, one, i, plain) for memory, one in told]
        parts = {name: sum(part.get(name, 0.0) for _, part in each) / len(each) for name in GUESSES}
        found.append(
            Outlook(
                hour=origin,
                ahead=float(hours),
                sample=np.mean([sample for sample, _ in each], axis=0),
                as_now=guessed.last,
                age=guessed.age,
                shares=tuple(sorted(((n, p) for n, p in parts.items() if p), key=lambda one: -one[1])),
                skill=1 - own / held if enough and held > 0 else None,
                scored=len(these),
                shown="as now" if plain else "outlook",
            )
        )
    return _after_a_gap(found, first.hottest(origin)) if first.overdue(origin) else found


def _after_a_gap(made: Sequence[Outlook], hottest: float) -> list[Outlook]:
    """The forecasts of one origin, none narrower than those of fewer hours ahead, none above what a heap
    reaches or, by some K, the `hottest` reading [°C] of the log."""
    order = sorted(range(len(made)), key=lambda i: made[i].ahead)
    wide = [made[i].percentile(90) - made[i].percentile(10) for i in order]
    top = max(TOP_C, hottest + CEILING_SPAN_K)
    found = list(made)
    for i, was, now in zip(order, wide, _rising(wide), strict=True):
        middle = made[i].percentile(50)
        sample = np.minimum(middle + (made[i].sample - middle) * now / was, max(top, middle))
        found[i] = replace(made[i], sample=sample)
    return found


def _rising(values: Sequence[float]) -> list[float]:
    """The values nearest to these, by squares, that never fall (pool adjacent violators)."""
    pools: list[tuple[float, int]] = []
    for value in values:
        mean, count = value, 1
        while pools and pools[-1][0] > mean:
            other, more = pools.pop()
            mean, count = (mean * count + other * more) / (count + more), count + more
        pools.append((mean, count))
    return [mean for mean, count in pools for _ in range(count)]


class _Memory:
    """The log gone through at every STEP_H, guess by guess, under one set of beliefs.

    paths (n, guesses, h) NaN where a guess slept; mixed, said, came (n, h), n the past origins; said is "as
    now" where the mix had no skill by then
    """

    def __init__(self, log: BareLog, ahead: Hours, air_known: bool, b: Beliefs) -> None:
        self._log, self.ahead, self._air_known, self._b = log, ahead, air_known, b
        self._past: list[float] = []
        h = len(ahead)
        self.paths = np.empty((0, len(GUESSES), h))
        self._spread = np.empty((0, h))
        self.mixed, self.said = np.empty((0, h)), np.empty((0, h))
        self.came, self._since = np.empty((0, h)), np.empty((0, h))
        self._stood = np.empty((0, h), dtype=np.bool_)

    def overdue(self, origin: float) -> float:
        return self._log.overdue(origin)

    def hottest(self, origin: float) -> float:
        return float(self._log.heat[self._log.hour <= origin].max())

    def come_to(self, origin: float) -> Guessed:
        """Goes through the log up to `origin`; the guesses there."""
        self._go_to(origin)
        return self._guess(origin)

    def _guess(self, origin: float) -> Guessed:
        to_come = None
        if self._air_known:
            to_come = air_between(self._log, origin, self.ahead)
        return guess(self._log.until(origin), origin, self.ahead, to_come, self._b)

    def _go_to(self, origin: float) -> None:
        start = float(self._log.hour[0])
        while start + len(self._past) * STEP_H < origin:
            past = start + len(self._past) * STEP_H
            guessed = self._guess(past)
            paths = np.full((1, len(GUESSES), len(self.ahead)), np.nan)
            for name, path in guessed.paths.items():
                paths[0, GUESSES.index(name)] = path
            mixed, said = np.empty((1, len(self.ahead))), np.empty((1, len(self.ahead)))
            for i in range(len(self.ahead)):
                mixed[0, i] = self._weights(past, guessed, i)[0]
                said[0, i] = guessed.last if self._no_skill(self.scored(past, i), i) else mixed[0, i]
            came, since = self._log.came(past + self.ahead)
            self._past.append(past)
            self.paths = np.concatenate([self.paths, paths])
            self._spread = np.concatenate([self._spread, guessed.spread[None]])
            self.mixed = np.concatenate([self.mixed, mixed])
            self.said = np.concatenate([self.said, said])
            self.came = np.concatenate([self.came, came[None]])
            self._since = np.concatenate([self._since, since[None]])
            self._stood = np.concatenate([self._stood, self._log.is_still(past + self.ahead)[None]])

    def scored(self, origin: float, i: int) -> NDArray[np.intp]:
        """Past origins whose outcome at hours ahead number i was known at `origin`, the newest 400."""
        known = (self._since[:, i] <= origin) & ~np.isnan(self.came[:, i]) & ~self._stood[:, i]
        return np.flatnonzero(known)[-400:]

    def _told(self, origin: float, these: NDArray[np.intp], i: int) -> Hours:
        ago = origin - np.array(self._past)[these] - self.ahead[i]
        overlap = min(1.0, STEP_H / self.ahead[i])
        return np.asarray(np.exp(-ago / 24 / self._b.memory_days) * overlap)

    def _weights(self, origin: float, guessed: Guessed, i: int) -> tuple[float, dict[str, float]]:
        """The mixed guess at hours ahead number i [°C], and the guesses' parts in it."""
        names = list(guessed.paths)
        these = self.scored(origin, i)
        told = self._told(origin, these, i)
        spread, came = self._spread[these, i], self.came[these, i]
        own = np.abs(self.mixed[these, i] - came)
        log_weight = []
        for name in names:
            miss = np.abs(self.paths[these, GUESSES.index(name), i] - came)
            worse = np.where(np.isnan(miss), 0.0, (miss - own) / spread)
            log_weight.append(np.log(guessed.odds[name] + 1e-12) - self._b.eta * float(told @ worse))
        part = np.exp(np.array(log_weight) - max(log_weight))
        part /= part.sum()
        mixed = float(sum(p * guessed.paths[name][i] for p, name in zip(part, names, strict=True)))
        return mixed, dict(zip(names, part.tolist(), strict=True))

    def one(
        self, origin: float, these: NDArray[np.intp], guessed: Guessed, i: int, plain: bool
    ) -> tuple[Hours, dict[str, float]]:
        """(99,) the percentiles at hours ahead number i [°C], about "as now" where `plain` or the mix had no
        skill; the guesses' parts."""
        mixed, parts = self._weights(origin, guessed, i)
        plain = plain or self._no_skill(these, i)
        said = self.paths[these, GUESSES.index("now"), i] if plain else self.mixed[these, i]
        miss = np.abs(said - self.came[these, i]) / self._spread[these, i]
        fresh = self.ahead[i] / (self.ahead[i] + self.overdue(origin))
        off = _misses(miss, self._told(origin, these, i) * fresh, float(guessed.spread[i]), self._b)
        return (guessed.last + off, {"now": 1.0}) if plain else (mixed + off, parts)

    def _no_skill(self, these: NDArray[np.intp], i: int) -> bool:
        came = self.came[these, i]
        own = np.abs(self.mixed[these, i] - came).sum()
        held = np.abs(self.paths[these, GUESSES.index("now"), i] - came).sum()
        return len(these) >= LEAST_SCORED and bool(own >= held)


def _misses(miss: Hours, told: Hours, spread: float, b: Beliefs) -> Hours:
    """(99,) the quantiles of a miss [K], the same on both sides; never narrower than a probe's error.

    miss (n,) sizes of past misses over their spreads; told (n,) how much each counts.
    """
    sizes = np.concatenate([BELIEVED, miss, -miss])
    counts = np.concatenate([np.full(len(BELIEVED), b.prior_weight / len(BELIEVED)), told, told])
    order = np.argsort(sizes, kind="stable")
    reached = np.cumsum(counts[order]) - counts[order] / 2
    drawn = np.interp(SHARES, reached / counts.sum(), sizes[order]) * spread
    drawn = (drawn - drawn[::-1]) / 2  # misses of one size, told unlike, would lean to a side
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
