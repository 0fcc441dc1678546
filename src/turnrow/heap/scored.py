"""How outlooks did against what was read since, and which way of forecasting may speak."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from turnrow.heap.bare.score import crps_sample, skill
from turnrow.heap.known import Read, Section
from turnrow.heap.outlook import QUANTILES, Floats, Outlook, Score

AHEAD_H = (24.0, 48.0, 72.0, 168.0, 312.0)
NEAR_H = 7.0  # a reading speaks of hours ahead this near to it
SHARES = (np.arange(99) + 1) / 100
Z = np.array([NormalDist().inv_cdf(p) for p in QUANTILES])
SHARES_Z = np.array([NormalDist().inv_cdf(float(p)) for p in SHARES])
LEAST, BETTER = 12, 0.1  # OWN: outcomes from which a choice is made; by how much one must be better
SMALL_M3 = 3.0  # OWN


def sample(quantiles: Floats) -> Floats:
    """(..., 99) the 1st to 99th percentile of five quantiles (..., 5), straight in normal scores."""
    place = np.clip(np.searchsorted(Z, SHARES_Z) - 1, 0, len(Z) - 2)
    part = (SHARES_Z - Z[place]) / (Z[place + 1] - Z[place])
    return np.asarray(quantiles[..., place] + part * (quantiles[..., place + 1] - quantiles[..., place]))


def percentiles_of(several: Floats) -> Floats:
    """(..., 99) the 1st to 99th percentile of (..., n) values; of 99 percentiles, themselves."""
    return np.moveaxis(np.quantile(several, SHARES, axis=-1, method="weibull"), 0, -1)


def quantiles_of(sample: Floats) -> Floats:
    """(..., 5) the fan's quantiles of 99 percentiles (..., 99)."""
    return np.asarray(sample[..., [round(100 * share) - 1 for share in QUANTILES]])


def even_mix(a: Floats, b: Floats) -> Floats:
    """(..., 99) percentiles of two forecasts (..., 99) believed alike."""
    return np.sort(np.concatenate([a, b], axis=-1), axis=-1)[..., 1::2]


@dataclass(frozen=True, eq=False)
class Outcome:
    """A reading that came, and what was said of it: made_s when; ahead_h one of AHEAD_H; fan (5,), as_now and
    came [°C]."""

    made_s: int
    ahead_h: float
    fan: Floats
    as_now: float
    came: float

    @property
    def crps(self) -> float:
        return crps_sample(sample(self.fan), self.came)


def outcomes(outlooks: Sequence[Outlook], read: Read) -> list[Outcome]:
    """Readings at one of the depths of an outlook that came near one of AHEAD_H later, within its hours."""
    found = []
    for one in outlooks:
        later = (read.at_s - one.at_s) / 3600.0
        for i, depth in enumerate(one.depths_cm):
            mine = (np.abs(read.depth_cm - depth) < 1.0) & (later > 0) & (later <= one.hours[-1])
            if np.isnan(one.as_now_c[i]):
                continue
            for hour, came in zip(later[mine].tolist(), read.temp_c[mine].tolist(), strict=True):
                ahead = min(AHEAD_H, key=lambda a, h=hour: abs(a - h))  # type: ignore[misc]
                if abs(ahead - hour) <= NEAR_H:
                    at = max(min(round(hour), int(one.hours[-1])) - 1, 0)
                    found.append(Outcome(one.at_s, ahead, one.fan[at, i], float(one.as_now_c[i]), came))
    return found


def score(outlooks: Sequence[Outlook], read: Read) -> tuple[Score, ...]:
    """How `outlooks` did at AHEAD_H, where a reading at one of their depths came so many hours later.

    Nothing for hours ahead without an outcome; "as now" is the newest reading of that depth.
    """
    every = outcomes(outlooks, read)
    by_ahead = {ahead: [one for one in every if one.ahead_h == ahead] for ahead in AHEAD_H}
    return tuple(_score(ahead, mine) for ahead, mine in by_ahead.items() if mine)


def _score(ahead: float, mine: Sequence[Outcome]) -> Score:
    fan, came = np.stack([one.fan for one in mine]), np.array([one.came for one in mine])
    crps = float(np.mean([one.crps for one in mine]))
    plain = float(np.mean([abs(one.as_now - one.came) for one in mine]))
    return Score(
        ahead_h=ahead,
        count=len(mine),
        mae=float(np.mean(np.abs(fan[:, 2] - came))),
        mae_as_now=plain,
        crps=crps,
        skill=skill(crps, plain),
        held=float(np.mean((fan[:, 0] <= came) & (came <= fan[:, 4]))),
    )


def crps_by_look(outlooks: Sequence[Outlook], read: Read) -> list[float]:
    """CRPS [K] of each outlook at each of AHEAD_H, the mean over its places: they miss together, so twelve
    places do not tell twelve times as much as one."""
    found: dict[tuple[int, float], list[float]] = {}
    for one in outcomes(outlooks, read):
        found.setdefault((one.made_s, one.ahead_h), []).append(one.crps)
    return [float(np.mean(several)) for several in found.values()]


@dataclass(frozen=True)
class Choice:
    """Which way of forecasting may speak: used, one of `outlook.USED`, and why; count of the past outcomes it
    was chosen by, and the mean CRPS [K] of the model and of the bare log there, NaN without any."""

    used: str
    why: str
    count: int
    model_k: float
    log_k: float


def choice(model: Sequence[float], bare: Sequence[float], first: str = "process model") -> Choice:
    """Which way of forecasting may speak, and why, from the CRPS of both at the same past outcomes.

    first  who speaks until the other has shown itself better, as of `speaks_first`
    """
    mine, theirs = (float(np.mean(k)) if len(k) else np.nan for k in (model, bare))
    told = f"over {len(model)} outcomes the model's score was {mine:.1f} K, the bare log's {theirs:.1f} K"
    used = "both"
    if len(model) < LEAST:
        speaks = "the model of the heap" if first == "process model" else "the bare log's statistics"
        used, told = first, f"only {len(model)} past outcomes to choose by: {speaks} may speak"
    elif mine < (1.0 - BETTER) * theirs:
        used = "process model"
    elif theirs < (1.0 - BETTER) * mine:
        used = "statistical"
    elif first == "statistical":
        used, told = first, f"{told}: not better enough for a heap so small"
    else:
        told = f"{told}: as good as one another, so both are mixed"
    return Choice(used, told, len(model), mine, theirs)


def speaks_first(size: Section) -> str:
    """The model, or the bare log's statistics for a heap smaller than any the model was tried on."""
    sides = (size.width_m or np.inf) * (size.height_m or 1.5) * (size.length_m or np.inf)
    return "statistical" if (size.volume_m3 or 0.6 * sides) < SMALL_M3 else "process model"
