"""What is believed of a heap before its readings: every open parameter of the handbook, its blend, its size,
and what the yard's earlier heaps taught."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from turnrow.handbook.heap import heap_parameters
from turnrow.heap.known import Known, Told
from turnrow.heap.material import Floats, Heap, columns

SIZES = ("base_m", "height_m")
OWN_OF_A_HEAP = ("moisture", "cn", "organic", "temp_c", *SIZES, "dry_density")  # teach nothing of the next
SHARES = ("ready", "slow", "shielded")
MOST_DECAYING = 0.95
COMMON = 0.5  # OWN: share of a belief's variance that heaps of one yard have in common
MOIST, WETTEST, DRIEST = Told(0.57, 0.08), 0.85, 0.06  # OWN: as wide as rows are; outside, no heap
DRY, WATER_UNSAID = 0.45, 0.12  # OWN: a mix so dry was often watered while it was laid, and nobody wrote it
CN, ORGANIC = Told(28.0, 7.0), Told(0.8, 0.07)  # OWN
WIDTH, STEEP = (2.6, 0.5), (0.42, 0.25)  # OWN: an unknown heap; middle and sd of the logarithm
SURE_SIZE, WARMER = 0.06, (4.0, 4.0)  # OWN: sd of a size told; material over the air when built, K
Z90 = 1.645


@dataclass(frozen=True)
class Unknown:
    """One thing not known: middle and sd, of its logarithm where kind is "log"; the ends it is held in."""

    key: str
    kind: str
    middle: float
    sd: float
    low: float
    high: float

    def value(self, z: Floats) -> Floats:
        """Its value where it stands z standard deviations from the middle."""
        raw = np.exp(self.middle + self.sd * z) if self.kind == "log" else self.middle + self.sd * z
        return np.clip(raw, self.low, self.high)


@dataclass(frozen=True, eq=False)
class Prior:
    """A normal belief of how many standard deviations each unknown stands from its middle.

    unknowns (p,); mean (p,); root (p, p): guesses are mean + root @ standard normals
    heap     what is known for certain; wet: the dry density follows from a wet one
    notices  plain sentences for what had to be assumed
    """

    unknowns: tuple[Unknown, ...]
    mean: Floats
    root: Floats
    heap: Heap
    length_m: float | None
    wet: bool
    notices: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Taught:
    """What earlier heaps say of a new one: keys (q,), mean (q,), cov (q, q) in sd of the plain belief."""

    keys: tuple[str, ...]
    mean: Floats
    cov: Floats
    heaps: int


def prior(known: Known, taught: Taught | None = None) -> Prior:
    """What is believed of a heap, from its blend and size, the handbook, and earlier heaps."""
    notices: list[str] = []
    found = [_open(key) for key, row in heap_parameters().items() if row.prior != "fix"]
    blend = known.blend
    wet = blend.wet_density is not None and blend.wet_density.value > 0
    if blend.wet_density is not None:
        place = next(i for i, one in enumerate(found) if one.key == "dry_density")
        found[place] = _log("dry_density", blend.wet_density.value, blend.wet_density.sd, 100.0, 1500.0)
    moist = blend.moisture
    if moist is None or not DRIEST <= moist.value <= WETTEST or not moist.sd > 0:
        told = "not known" if moist is None else f"said to be {moist.value:.0%}, which no heap is"
        notices.append(f"moisture when built {told}: taken as {MOIST.value:.0%}, give or take.")
        moist = MOIST
    sd = max(moist.sd, WATER_UNSAID) if moist.value < DRY else moist.sd
    found.append(Unknown("moisture", "plain", moist.value, sd, 0.05, 0.88))
    cn, told_n = blend.cn, blend.nitrogen
    ash = blend.ash.value if blend.ash else 1.0 - ORGANIC.value
    if cn is None and told_n is not None and told_n.value > 0:
        value = 0.5 * (1.0 - ash) / told_n.value
        cn = Told(value, value * max(told_n.sd / told_n.value, 0.1))
    if cn is None or not 5 < cn.value < 400:
        notices.append(f"C:N when built not known: taken as {CN.value:g}, give or take.")
        cn = CN
    found.append(_log("cn", cn.value, max(cn.sd, 0.03 * cn.value), 8.0, 300.0))
    found.append(
        Unknown("organic", "plain", 1.0 - ash, blend.ash.sd if blend.ash else ORGANIC.sd, 0.15, 0.98)
    )
    found.append(_started(known, notices))
    found += _size(known, notices)
    length = known.section.length_m
    if length is None:
        notices.append("length not known: mass, volume and water are of ten widths of heap.")
    heap = Heap(covered=known.covered)
    mean, root = _learnt(tuple(found), taught)
    return Prior(tuple(found), mean, root, heap, length, wet, tuple(notices))


def _open(key: str) -> Unknown:
    row = heap_parameters()[key]
    spare = 0.5 * (row.high - row.low)
    low, high = max(row.low - spare, 0.3 * row.low), row.high + spare
    if row.prior == "log":
        sd = float(np.log(row.high / row.low)) / (2 * Z90)
        return Unknown(key, "log", float(np.log(row.value)), sd, 0.3 * row.low, 3.0 * row.high)
    return Unknown(key, "plain", row.value, (row.high - row.low) / (2 * Z90), low, high)


def _log(key: str, value: float, sd: float, low: float, high: float) -> Unknown:
    return Unknown(key, "log", float(np.log(value)), max(sd, 1e-3 * value) / value, low, high)


def _started(known: Known, notices: list[str]) -> Unknown:
    told = known.blend.temp_c
    if told is not None:
        return Unknown("temp_c", "plain", told.value, told.sd, -30.0, 70.0)
    air = 15.0
    if known.outside is not None and len(known.outside.temp_c):
        first = np.asarray(known.outside.temp_c[: 7 * 24])
        air = float(np.nanmean(first)) if np.isfinite(first).any() else air
    return Unknown("temp_c", "plain", max(air, 4.0) + WARMER[0], WARMER[1], -10.0, 60.0)


def _size(known: Known, notices: list[str]) -> list[Unknown]:
    s = known.section
    high = s.height_m
    if high is None and s.volume_m3 and s.length_m and s.width_m:
        high = s.volume_m3 / (0.6 * s.length_m * s.width_m)
    if s.width_m is None:
        notices.append("width not known: the heap's size is left open, and the outlook is wider for it.")
    base = (
        Unknown("base_m", "log", float(np.log(WIDTH[0])), WIDTH[1], 0.6, 12.0)
        if s.width_m is None
        else _log("base_m", s.width_m, SURE_SIZE * s.width_m, 0.3, 30.0)
    )
    if high is None:
        steep = float(np.log(STEEP[0])) + base.middle
        return [base, Unknown("height_m", "log", steep, STEEP[1], 0.3, 8.0)]
    return [base, _log("height_m", high, SURE_SIZE * high, 0.3, 12.0)]


def values(p: Prior, z: Floats) -> dict[str, Floats]:
    """Key -> (n,) values of the guesses z (p, n), such that together they describe heaps that can be."""
    found = {one.key: one.value(z[i]) for i, one in enumerate(p.unknowns)}
    decaying = sum(found[key] for key in SHARES)
    fit = np.minimum(MOST_DECAYING / decaying, 1.0)
    for key in SHARES:
        found[key] = found[key] * fit
    found["height_m"] = np.minimum(found["height_m"], 0.9 * found["base_m"])
    if p.wet:
        found["dry_density"] = found["dry_density"] * (1.0 - found["moisture"])
    most_water = 0.93 * (1.0 / found["dry_density"] - 1.0 / 1700.0) * 1000.0  # per dry matter: pores left
    held = most_water / (1.0 + most_water)
    found["moisture"] = np.minimum(found["moisture"], held)
    return found


def made(p: Prior, found: Mapping[str, Floats]) -> Floats:
    """Columns (GIVEN, n) of the heaps as built."""
    return columns(p.heap, found, len(found["moisture"]))


def _learnt(unknowns: Sequence[Unknown], taught: Taught | None) -> tuple[Floats, Floats]:
    n = len(unknowns)
    mean, cov = np.zeros(n), np.eye(n)
    if taught is not None:
        keys = [one.key for one in unknowns]
        both = [key for key in taught.keys if key in keys]
        mine, theirs = [keys.index(key) for key in both], [taught.keys.index(key) for key in both]
        mean[mine] = taught.mean[theirs]
        cov[np.ix_(mine, mine)] = taught.cov[np.ix_(theirs, theirs)]
    return mean, np.asarray(np.linalg.cholesky(cov + 1e-9 * np.eye(n)))


def teach(rows: Sequence[tuple[tuple[str, ...], Floats, Floats, int]], common: float = COMMON) -> Taught:
    """What heaps that were each fitted from the plain belief say of the next one.

    rows  (keys, mean (q,), covariance (q, q), members) of each, in sd of the plain belief; the same keys
    A heap's parameters are taken as the yard's plus its own, sharing the belief's variance as `common` to
    one less it; what each fit added to the belief is a normal likelihood of them. Exact where all is
    linear and normal. Narrowing no greater than so few members show by chance is not taken for knowledge
    (the edge of Marchenko and Pastur 1967, MEMORY). ValueError for no heap, or where keys differ.
    """
    if not rows or any(keys != rows[0][0] for keys, *_ in rows):
        raise ValueError(f"{len(rows)} heaps taught, want at least 1 and the same parameters of each")
    keys = rows[0][0]
    eye = np.eye(len(keys))
    own = 1.0 - common
    precise, pull = eye / common, np.zeros(len(keys))
    for _, mean, cov, members in rows:
        value, way = np.linalg.eigh(cov)
        chance = max(1.0 - np.sqrt(len(keys) / members), 0.0) ** 2
        sure = way[:, value < chance]
        inverse = 1.0 / value[value < chance]
        likely = (sure * (inverse - 1.0)) @ sure.T
        less = np.linalg.inv(eye + own * likely)
        precise = precise + less @ likely
        pull = pull + less @ (sure * inverse) @ (sure.T @ mean)
    cov = np.asarray(np.linalg.inv(0.5 * (precise + precise.T)))
    return Taught(keys, cov @ pull, cov + own * eye, len(rows))
