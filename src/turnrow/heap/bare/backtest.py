"""Every origin of a log forecast again and held against what came."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from turnrow.heap.bare import score
from turnrow.heap.bare.log import BareLog
from turnrow.heap.bare.outlook import Outlook


@dataclass(frozen=True)
class Score:
    """How the outlook did at one number of hours ahead, over `origins` whose outcome was read.

    mae, mae_as_now, crps, crps_as_now, width in K (CRPS of a plain value is its absolute error);
    skill: 1 − mae / mae_as_now; coverage: share within p10..p90, which should be 0.8
    """

    ahead: float
    origins: int
    mae: float
    mae_as_now: float
    skill: float
    crps: float
    crps_skill: float
    coverage: float
    width: float


def scores(log: BareLog, forecasts: Sequence[Outlook]) -> list[Score]:
    """One Score for each number of hours ahead that has an outcome, in order."""
    found = []
    for ahead in sorted({one.ahead for one in forecasts}):
        mine = [one for one in forecasts if one.ahead == ahead]
        came, _ = log.came(np.array([one.hour + ahead for one in mine]))
        read = ~np.isnan(came)
        if not read.any():
            continue
        kept, came = [one for one, good in zip(mine, read, strict=True) if good], came[read]
        middle = np.array([one.percentile(50) for one in kept])
        now = np.array([one.as_now for one in kept])
        low, high = (np.array([one.percentile(p) for one in kept]) for p in (10, 90))
        mae, plain = score.mean_absolute_error(middle, came), score.mean_absolute_error(now, came)
        crps = float(np.mean([score.crps_sample(one.sample, y) for one, y in zip(kept, came, strict=True)]))
        found.append(
            Score(
                ahead=ahead,
                origins=len(kept),
                mae=mae,
                mae_as_now=plain,
                skill=score.skill(mae, plain),
                crps=crps,
                crps_skill=score.skill(crps, plain),
                coverage=score.coverage(low, high, came),
                width=float(np.mean(high - low)),
            )
        )
    return found
