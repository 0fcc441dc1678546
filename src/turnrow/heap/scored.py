"""How outlooks did against what was read since, and which way of forecasting may speak."""

from collections.abc import Sequence
from statistics import NormalDist

import numpy as np

from turnrow.heap.bare.score import crps_sample, skill
from turnrow.heap.known import Read
from turnrow.heap.outlook import QUANTILES, Floats, Outlook, Score

AHEAD_H = (24.0, 48.0, 72.0, 168.0, 312.0)
NEAR_H = 7.0  # a reading speaks of hours ahead this near to it
SHARES = (np.arange(99) + 1) / 100
Z = np.array([NormalDist().inv_cdf(p) for p in QUANTILES])
SHARES_Z = np.array([NormalDist().inv_cdf(float(p)) for p in SHARES])
LEAST, BETTER = 12, 0.1  # OWN: outcomes from which a choice is made; by how much one must be better


def sample(quantiles: Floats) -> Floats:
    """(..., 99) the 1st to 99th percentile of five quantiles (..., 5), straight in normal scores."""
    place = np.clip(np.searchsorted(Z, SHARES_Z) - 1, 0, len(Z) - 2)
    part = (SHARES_Z - Z[place]) / (Z[place + 1] - Z[place])
    return np.asarray(quantiles[..., place] + part * (quantiles[..., place + 1] - quantiles[..., place]))


def score(outlooks: Sequence[Outlook], read: Read) -> tuple[Score, ...]:
    """How `outlooks` did at AHEAD_H, where a reading at one of their depths came so many hours later.

    Nothing for hours ahead without an outcome; "as now" is the newest reading of that depth.
    """
    said: dict[float, list[tuple[Floats, float, float]]] = {ahead: [] for ahead in AHEAD_H}
    for one in outlooks:
        later = (read.at_s - one.at_s) / 3600.0
        for i, depth in enumerate(one.depths_cm):
            mine = (np.abs(read.depth_cm - depth) < 1.0) & (later > 0) & (later <= one.hours[-1])
            if np.isnan(one.as_now_c[i]):
                continue
            for hour, came in zip(later[mine], read.temp_c[mine], strict=True):
                ahead = min(AHEAD_H, key=lambda a, h=float(hour): abs(a - h))  # type: ignore[misc]
                if abs(ahead - hour) <= NEAR_H:
                    at = min(round(float(hour)), int(one.hours[-1])) - 1
                    said[ahead].append((one.fan[max(at, 0), i], float(one.as_now_c[i]), float(came)))
    return tuple(_score(ahead, rows) for ahead, rows in said.items() if rows)


def _score(ahead: float, rows: Sequence[tuple[Floats, float, float]]) -> Score:
    fan = np.stack([row[0] for row in rows])
    now, came = np.array([row[1] for row in rows]), np.array([row[2] for row in rows])
    crps = float(np.mean([crps_sample(x, y) for x, y in zip(sample(fan), came, strict=True)]))
    plain = float(np.mean(np.abs(now - came)))
    return Score(
        ahead_h=ahead,
        count=len(rows),
        mae=float(np.mean(np.abs(fan[:, 2] - came))),
        mae_as_now=plain,
        crps=crps,
        skill=skill(crps, plain),
        held=float(np.mean((fan[:, 0] <= came) & (came <= fan[:, 4]))),
    )


def choice(model: Sequence[float], bare: Sequence[float], first: str = "process model") -> tuple[str, str]:
    """Which way of forecasting may speak, and why, from the CRPS of both at the same past outcomes.

    first  who speaks until the other has shown itself better: the model, or the bare log's statistics for a
           heap of a kind the model was not tried on
    """
    if len(model) < LEAST:
        speaks = "the model of the heap" if first == "process model" else "the bare log's statistics"
        return first, f"only {len(model)} past outcomes to choose by: {speaks} may speak"
    mine, theirs = float(np.mean(model)), float(np.mean(bare))
    told = f"over {len(model)} outcomes the model's score was {mine:.1f} K, the bare log's {theirs:.1f} K"
    if mine < (1.0 - BETTER) * theirs:
        return "process model", told
    if theirs < (1.0 - BETTER) * mine:
        return "statistical", told
    if first == "statistical":
        return first, f"{told}: not better enough for a heap so small"
    return "both", f"{told}: as good as one another, so both are mixed"
