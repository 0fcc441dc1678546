"""The chance that a plan's mix holds its limits, by drawing it many times with one set of numbers.

Each lot's error is drawn once an outcome and moves all its loads. The errors of n loads about their lot
add up to sqrt(n) times those of one, each number's drawn for the outcome and taken to first order about
the lot as drawn (products of two load errors, a hundredth of the rest, are left out).
Numbers scatter as plain normals about their means; carbon and nitrogen of one lot go together by
`corr_c_n`. The same seed gives the same numbers for every plan, so plans are compared fairly.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from turnrow.blend.ingredient import Spread
from turnrow.blend.limits_linear import PARTS, Floats, Limit, parts
from turnrow.blend.problem import Offer
from turnrow.blend.spreads import variances

QUANTITIES = ("moisture", "cn", "fas", "bulk_density")
COUNTED_BY = ("moisture", "cn", "volume")
QUICK, FULL, FINE, FINEST = 2_000, 10_000, 40_000, 160_000
FAR = 7.0
Singles = NDArray[np.float32]
Parts = tuple[Singles, ...]  # volume, mass, water, nitrogen, carbon
SLACK = 1e-6  # of the mass: how exactly a limit is looked at; outcomes are kept in single precision


@dataclass(frozen=True)
class Chances:
    """Shares of outcomes in which a quantity's limits hold, None where it has none; `joint` all of them."""

    moisture: float | None
    cn: float | None
    fas: float | None
    bulk_density: float | None
    joint: float | None
    draws: int

    @property
    def error(self) -> float:
        """Standard error of `joint`."""
        p = self.joint or 0.0
        return float(np.sqrt(max(p * (1 - p), 1e-9) / self.draws))


@lru_cache(maxsize=192)
def _normals(seed: int, key: int, draws: int, columns: int) -> Singles:
    own = np.random.default_rng((seed, key))
    found = own.standard_normal((columns, draws), dtype=np.float32)
    found.flags.writeable = False
    return found


class Outcomes:
    """The outcomes of plans over `offers` against `limits`, from one seed."""

    def __init__(
        self,
        offers: tuple[Offer, ...],
        limits: tuple[Limit, ...],
        seed: int,
        spread: tuple[Floats, Floats] | None = None,
    ) -> None:
        self.offers, self.limits, self.seed = offers, limits, seed
        self.lot, self.load = variances(offers, limits) if spread is None else spread
        self._mean = np.array([[limit.rates[i] @ parts(o) for i, o in enumerate(offers)] for limit in limits])
        self._water = np.array([limit.water for limit in limits])
        self._brought: dict[tuple[int, int], tuple[Parts, Parts | None]] = {}
        self._counted: Outcomes | None = None
        self._units: dict[tuple[int, int, int], tuple[Singles, Singles | None]] = {}

    def _unit(self, i: int, k: int, draws: int) -> tuple[Singles, Singles | None]:
        """g of limit k by one load of offer i in each outcome, given its lot, and what a load's own
        errors move it by; None where they move nothing. Shapes (draws,)."""
        if draws < FULL:
            lot, load = self._unit(i, k, FULL)
            return lot[:draws], None if load is None else load[:draws]
        if (i, k, draws) not in self._units:
            if (i, draws) not in self._brought:
                self._brought[i, draws] = _brought(self.offers[i], _normals(self.seed, i, draws, 10))
            rates = self.limits[k].rates[i]
            by_lot, by_load = self._brought[i, draws]
            self._units[i, k, draws] = _sum(rates, by_lot), _sum(rates, by_load) if by_load else None
        return self._units[i, k, draws]

    def outside(
        self, counts: Floats, water_kg: float = 0.0, draws: int = FULL, which: list[int] | None = None
    ) -> Singles:
        """g of limits (`which`, else all) in every outcome of a plan. Shape (limits, draws)."""
        chosen = list(range(len(self.limits))) if which is None else which
        used = np.flatnonzero(counts > 0)
        found = np.empty((len(chosen), draws), dtype=np.float32)
        for row, k in enumerate(chosen):
            found[row] = self._water[k] * water_kg
            for i in used:
                if not self.offers[i].spread:
                    found[row] += counts[i] * self._mean[k, i]
                    continue
                lot, load = self._unit(int(i), k, draws)
                found[row] += np.float32(counts[i]) * lot
                if load is not None:
                    found[row] += np.float32(np.sqrt(counts[i])) * load
        return found

    def of(self, counts: Floats, water_kg: float = 0.0, draws: int = FULL) -> Chances:
        """The chances of a plan: loads (tonnes where any amount may be taken) of each offer."""
        if not self.limits:
            return Chances(None, None, None, None, None, draws)
        mass = float(counts @ [offer.unit_kg for offer in self.offers]) + water_kg
        near = self._near(counts, water_kg)
        g = self.outside(counts, water_kg, draws, near)
        exact = np.array([self.limits[k].exact for k in near], dtype=bool)[:, None]
        inside = np.where(exact, np.abs(g), g) <= SLACK * mass
        shares: dict[str, float | None] = {}
        for quantity in QUANTITIES:
            mine = [row for row, k in enumerate(near) if self.limits[k].quantity == quantity]
            asked = any(limit.quantity == quantity for limit in self.limits)
            shares[quantity] = float(inside[mine].all(axis=0).mean()) if asked else None
        return Chances(**shares, joint=float(inside.all(axis=0).mean()), draws=draws)

    def _near(self, counts: Floats, water_kg: float) -> list[int]:
        """Limits that can fail at all: those with a mean less than FAR standard deviations inside."""
        mean = self._mean @ counts + self._water * water_kg
        own = range(len(self.limits))
        lot, load = self.lot[:, own, own], self.load[:, own, own]
        deviation = np.sqrt((counts * counts) @ lot + counts @ load)
        return [k for k in own if self.limits[k].exact or mean[k] > -FAR * deviation[k] - 1e-12]

    def far(self, counts: Floats, water_kg: float, share: float, draws: int = FULL) -> float:
        """How far outside the worst `share` of outcomes lie in the mean, in widths of the range they fail.

            CVaR = mean of the worst share of max(0, max_k g_k / (w_k s_k))

        s_k is what the limit's quantity is counted by in the outcome (mass, nitrogen, volume), w_k the
        width of its range; where there is no range, a tenth of the limit.
        Source: rockafellar-uryasev-2000 for the measure (MEMORY).
        """
        if self._counted is None:
            self._counted = Outcomes(self.offers, _counters(len(self.offers)), self.seed)
        by = dict(zip(COUNTED_BY, self._counted.outside(counts, water_kg, draws), strict=True))
        loss = np.zeros(draws, dtype=np.float32)
        for row, limit in zip(self.outside(counts, water_kg, draws), self.limits, strict=True):
            unit = np.maximum(by.get(limit.quantity, by["volume"]), np.float32(1e-9))
            over = (np.abs(row) if limit.exact else row) / (unit * np.float32(limit.width))
            loss = np.maximum(loss, over)
        worst = max(1, round(share * draws))
        return float(np.partition(loss, draws - worst)[draws - worst :].mean())

    def enough(
        self, counts: Floats, water_kg: float, confidence: float, *, finest: bool = False
    ) -> Chances | None:
        """The chances where a plan reaches `confidence`, else None. Few numbers turn away the hopeless;
        one that only just reaches it is drawn finer, and must reach it there too.
        `finest`: where amounts may move by little, one long drawing decides."""
        if not self.limits:
            return self.of(counts, water_kg, FULL)
        quick = self.of(counts, water_kg, QUICK)
        if (quick.joint or 0.0) < confidence - 4 * _error(confidence, QUICK):
            return None
        found = self.of(counts, water_kg, FINEST if finest else FULL)
        over = (found.joint or 0.0) - confidence
        if not finest and 0 <= over < 2 * _error(confidence, FULL):
            found = self.of(counts, water_kg, FINE)
        return found if (found.joint or 0.0) >= confidence else None


def _counters(offers: int) -> tuple[Limit, ...]:
    """Mass, nitrogen and volume of a mix, written as limits so that they are drawn with the same numbers."""
    found = []
    for name, part in zip(COUNTED_BY, ("mass", "nitrogen", "volume"), strict=True):
        rates = np.tile([float(one == part) for one in PARTS], (offers, 1))
        found.append(Limit(name, "high", 0.0, rates, float(part == "mass")))
    return tuple(found)


def _error(p: float, draws: int) -> float:
    return float(np.sqrt(p * (1 - p) / draws))


def _brought(offer: Offer, z: Singles) -> tuple[Parts, Parts | None]:
    """The five parts of one load given the lot, and what its own errors add. Each of shape (draws,)."""
    what, load = offer.what, offer.load
    whole = offer.load_m3 is not None
    size = offer.lot if whole else _together(offer.lot, offer.load)
    one = np.ones(z.shape[1], dtype=np.float32)
    moisture = _about(what.moisture_wet, size.moisture_wet, z[0], one)
    n = _about(what.n_dry, size.n_dry, z[1], one)
    c = _about(what.c_dry, size.c_dry, _beside(size.corr_c_n, z[1], z[2]), one)
    density = _about(what.density or 0.0, size.density, z[3], one)
    if offer.load_m3 is not None:
        volume = _about(offer.load_m3, offer.load_m3 * size.fill, z[4], one)
        kg = volume * density
    else:
        kg = offer.unit_kg * one
        volume = kg / density if what.density else 0.0 * one
    water = kg * moisture
    dry = kg - water
    parts_ = volume, kg, water, dry * n, dry * c
    if offer.load_m3 is None or load == Spread(corr_c_n=load.corr_c_n):
        return parts_, None
    more_volume = offer.load_m3 * load.fill * z[9]
    more_kg = more_volume * density + volume * (load.density * z[8])
    more_water = more_kg * moisture + kg * (load.moisture_wet * z[5])
    more_dry = more_kg - more_water
    more_n = more_dry * n + dry * (load.n_dry * z[6])
    more_c = more_dry * c + dry * (load.c_dry * _beside(load.corr_c_n, z[6], z[7]))
    return parts_, (more_volume, more_kg, more_water, more_n, more_c)


def _sum(rates: Floats, brought: Parts) -> Singles:
    found = np.zeros(len(brought[0]), dtype=np.float32)
    for rate, part in zip(rates, brought, strict=True):
        if rate:
            found += np.float32(rate) * part
    return found


def _beside(rho: float, first: Singles, second: Singles) -> Singles:
    """A normal that goes with `first` by the correlation rho."""
    return rho * first + float(np.sqrt(1 - rho * rho)) * second if rho else second


def _about(mean: float, deviation: float, z: Singles, one: Singles) -> Singles:
    return deviation * z + mean if deviation else mean * one


def _together(lot: Spread, load: Spread) -> Spread:
    """Both errors as one, for an offer taken in any amount."""
    n, c = np.hypot(lot.n_dry, load.n_dry), np.hypot(lot.c_dry, load.c_dry)
    both = lot.corr_c_n * lot.n_dry * lot.c_dry + load.corr_c_n * load.n_dry * load.c_dry
    return Spread(
        moisture_wet=float(np.hypot(lot.moisture_wet, load.moisture_wet)),
        n_dry=float(n),
        c_dry=float(c),
        density=float(np.hypot(lot.density, load.density)),
        corr_c_n=float(both / (n * c)) if n * c > 0 else 0.0,
    )
