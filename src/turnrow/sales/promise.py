"""When an order can be kept, and how surely: what may leave now and what may later, drawn together."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

DRAWS = 4000
SPAN = NormalDist().inv_cdf(0.9)  # standard deviations from the middle to the ninth decile
Floats = NDArray[np.float64]
Deciles = tuple[float, float, float]  # p10, p50, p90
Normals = Callable[[str], Floats]  # by what they are of, one number a draw


@dataclass(frozen=True)
class Coming:
    """Material that may leave, now or later.

    amount      middle of what may leave, in one unit for all; sd its standard deviation
    ready_day   days from now until it is ripe: p10, p50, p90; None: it may leave today
    proof_day   days from now until its rule can be met at the earliest
    chances     of each thing that must come true before it may leave: "proven", "tested"
    after       days that each step after ripeness takes: the laboratory, the release
    kept        share of what is ripe that passes the sieve and makes `amount`
    """

    name: str
    amount: float
    sd: float = 0.0
    ready_day: Deciles | None = None
    proof_day: float = 0.0
    chances: tuple[tuple[str, float], ...] = ()
    after: tuple[Deciles, ...] = ()
    kept: float = 1.0

    def __post_init__(self) -> None:
        if self.amount < 0 or self.sd < 0:
            raise ValueError(f"{self.name}: amount {self.amount} and sd {self.sd}, want 0 or more")
        for days in (*((self.ready_day,) if self.ready_day else ()), *self.after):
            if not days[0] <= days[1] <= days[2]:
                raise ValueError(f"{self.name}: days {days}, want p10, p50, p90 in order")
        if any(not 0 <= chance <= 1 for _, chance in self.chances) or not 0 < self.kept <= 1:
            raise ValueError(f"{self.name}: chances {self.chances}, kept {self.kept}, want shares of one")


class Wanted(NamedTuple):
    """An order: amount in the unit of what comes, days from now until its day (None: no day was named), and
    the standard deviation of the amount where it was ordered by volume; one density holds for all."""

    name: str
    amount: float
    by: float | None
    sd: float = 0.0


@dataclass(frozen=True)
class Promise:
    """For one order: chance that it can be kept by its day (None: no day asked), and days from now by which
    it can with chances of 50, 80 and 95 %; inf where it cannot that often, whatever the day."""

    name: str
    chance: float | None
    p50: float
    p80: float
    p95: float


@dataclass(frozen=True, eq=False)
class Drawn:
    """The n sources in each draw, (draws, n): when ripe and how much then; when it may leave (inf: never)
    and how much then."""

    ripe_day: Floats
    ripe: Floats
    out_day: Floats
    out: Floats


def drawn(
    coming: Sequence[Coming], rng: np.random.Generator, draws: int = DRAWS, together: float = 0.0
) -> Drawn:
    """Every source in every draw.

    together  correlation between sources, 0 to 1, of their days, of their amounts and of what must come
              true: a cold month or a poor year is the same for all rows
    Days have a normal on each side of the middle, so that both deciles hold, and none below 0. A chance
    comes true where its normal number is below the quantile of the chance.
    """
    if not 0 <= together <= 1:
        raise ValueError(f"together {together}, want 0 to 1")
    shared: dict[str, Floats] = {}

    def normal(what: str) -> Floats:
        if what not in shared:
            shared[what] = rng.standard_normal(draws)
        own = rng.standard_normal(draws)
        return np.asarray(together**0.5 * shared[what] + (1 - together) ** 0.5 * own)

    each = [_one(source, normal, draws) for source in coming]
    columns = [np.column_stack(part) if each else np.zeros((draws, 0)) for part in zip(*each, strict=True)]
    return Drawn(*(columns or [np.zeros((draws, 0))] * 4))


def _one(source: Coming, normal: Normals, draws: int) -> tuple[Floats, Floats, Floats, Floats]:
    ripe_day = _days(source.ready_day, normal("ripe"))
    out_day = np.maximum(ripe_day, source.proof_day)
    for step, days in enumerate(source.after):
        out_day = out_day + _days(days, normal(f"step {step}"))
    own = normal("amount") if source.ready_day else normal(f"amount of {source.name}")
    out = np.maximum(0.0, source.amount + source.sd * own)
    never = np.zeros(draws, dtype=bool)
    for what, chance in source.chances:
        never |= normal(what) > _quantile(chance)
    return ripe_day, out / source.kept, np.where(never, np.inf, out_day), np.where(never, 0.0, out)


def _quantile(chance: float) -> float:
    return NormalDist().inv_cdf(chance) if 0 < chance < 1 else float("inf") if chance else float("-inf")


def promises(
    wanted: Sequence[Wanted | tuple[str, float, float | None]],
    coming: Sequence[Coming],
    rng: np.random.Generator,
    draws: int = DRAWS,
    together: float = 0.0,
) -> tuple[Promise, ...]:
    """Each order served whole, the one wanted first served first.

    In each draw an order with a day is kept where what may leave by then, less the orders kept before it,
    is enough. Those that are not, and those without a day, are served after all that are; an order that
    never can be takes nothing from the others.
    """
    found = drawn(coming, rng, draws, together)
    order = np.argsort(found.out_day, axis=1, kind="stable")
    days = np.take_along_axis(found.out_day, order, axis=1)
    there = np.cumsum(np.take_along_axis(found.out, order, axis=1), axis=1)
    asked = [Wanted(*one) for one in wanted]
    heavy = rng.standard_normal(draws)  # the density of what was ordered by volume
    sizes = [np.maximum(0.0, one.amount + one.sd * heavy) for one in asked]
    when = [np.full(draws, np.inf) for _ in asked]
    taken = np.zeros(draws)
    dated = sorted((n for n, one in enumerate(asked) if one.by is not None), key=lambda n: asked[n].by or 0.0)
    for n in dated:
        by = asked[n].by
        first = _first(there, days, taken + sizes[n])
        when[n] = np.where(first <= (0.0 if by is None else by), first, np.inf)
        taken += np.where(np.isfinite(when[n]), sizes[n], 0.0)
    chances = [float(np.mean(np.isfinite(one))) for one in when]
    for n in (*dated, *(n for n, one in enumerate(asked) if one.by is None)):
        late = np.isinf(when[n])
        when[n] = np.where(late, _first(there, days, taken + sizes[n]), when[n])
        taken += np.where(late & np.isfinite(when[n]), sizes[n], 0.0)
    made = []
    for n, one in enumerate(asked):
        p50, p80, p95 = (float(np.quantile(when[n], q, method="higher")) for q in (0.5, 0.8, 0.95))
        made.append(Promise(one.name, None if one.by is None else chances[n], p50, p80, p95))
    return tuple(made)


def _first(there: Floats, days: Floats, asked: Floats) -> Floats:
    """The day on which what may leave reaches `asked`, for each draw; inf where it never does."""
    if not there.shape[1]:
        return np.full(len(there), np.inf)
    enough = (there >= asked[:, None] * (1 - 1e-12)) & np.isfinite(days)
    column = np.argmax(enough, axis=1)
    return np.where(enough.any(axis=1), days[np.arange(len(there)), column], np.inf)


def _days(deciles: Deciles | None, z: Floats) -> Floats:
    if deciles is None:
        return np.zeros(len(z))
    low, middle, high = deciles
    return np.maximum(0.0, middle + np.where(z < 0, (middle - low) / SPAN, (high - middle) / SPAN) * z)
