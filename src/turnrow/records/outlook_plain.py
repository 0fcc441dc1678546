"""An outlook as one plain object, for the API and `--json`: °C, hours, m³, t; bands by their quantiles."""

from collections.abc import Mapping, Sequence

from turnrow.heap.log_says import SPEAKS_H
from turnrow.heap.outlook import REASONS, Band, Score, WhatIf
from turnrow.heap.scored import Choice
from turnrow.schedule.ahead import Ahead


def summary(ahead: Ahead) -> Mapping[str, object]:
    """The whole outlook; fan_c stands by depth, then hour, then quantile."""
    one = ahead.outlook
    return {
        "at_s": one.at_s,
        "hours": one.hours.tolist(),
        "depths_cm": one.depths_cm.tolist(),
        "fan_c": [[_rounded(q) for q in depth] for depth in one.fan.transpose(1, 0, 2).tolist()],
        "passing": [
            {"limit_c": p.limit_c, "chance": round(p.chance, 3), "first_h": _band(p.hours), "now": p.now}
            for p in one.passing
        ],
        "run_c": one.run_c,
        "run_chance_by_day": [round(float(chance), 3) for chance in one.run],
        "moisture_by_day": [_band(b) for b in one.moisture],
        "water_m3": _band(one.water_m3),
        "target_moisture": one.target,
        "mass_t": _band(one.mass_t),
        "volume_m3": _band(one.volume_m3),
        "curing_h": _band(one.curing_h),
        "curing_chance": round(one.curing_chance, 3),
        "curing_rule": one.curing_rule,
        "used": one.used,
        "why": one.why,
        "choice": None if ahead.choice is None else choice_row(ahead.choice),
        "notices": list(one.notices),
        "scores": [score_row(each) for each in ahead.scores],
        "skilled": ahead.skilled,
        "findings": [
            {"kind": f.kind, "reason": f.reason, "station": f.station, "depth_cm": f.depth_cm}
            for f in ahead.findings
        ],
    }


def change(one: WhatIf) -> Mapping[str, object]:
    """A what-if as one plain object."""
    return {
        "name": one.name,
        "temp_k": {str(hours): _band(b) for hours, b in sorted(one.temp_k.items())},
        "moisture": _band(one.moisture),
        "passing": [
            {"limit_c": limit, "chance": round(a, 3), "chance_without": round(b, 3)}
            for limit, (a, b) in sorted(one.passing.items())
        ],
        "reason": one.reason,
        "reason_words": REASONS[one.reason],
    }


def choice_row(one: Choice) -> Mapping[str, object]:
    """Who speaks of the first `until_h` hours, and the scores it was chosen by."""
    scored = one.count > 0
    return {
        "used": one.used,
        "why": one.why,
        "until_h": SPEAKS_H,
        "count": one.count,
        "model_crps_k": round(one.model_k, 2) if scored else None,
        "log_crps_k": round(one.log_k, 2) if scored else None,
    }


def score_row(one: Score) -> Mapping[str, object]:
    return {
        "ahead_h": one.ahead_h,
        "count": one.count,
        "mae_k": round(one.mae, 2),
        "mae_as_now_k": round(one.mae_as_now, 2),
        "crps_k": round(one.crps, 2),
        "skill": round(one.skill, 3),
        "held": round(one.held, 3),
    }


def _band(b: Band | None) -> Mapping[str, float] | None:
    return (
        None
        if b is None
        else {name: round(getattr(b, name), 4) for name in ("p5", "p10", "p50", "p90", "p95")}
    )


def _rounded(values: Sequence[float]) -> list[float]:
    return [round(v, 2) for v in values]
