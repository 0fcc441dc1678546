"""What the API gives of an outlook: °C, hours, m³, t; every band by its quantiles."""

from pydantic import BaseModel, Field


class BandOut(BaseModel):
    """Quantiles: 8 of 10 lie from p10 to p90, 9 of 10 from p5 to p95."""

    p5: float
    p10: float
    p50: float
    p90: float
    p95: float


class PassingOut(BaseModel):
    limit_c: float
    chance: float
    first_h: BandOut | None
    now: bool


class ScoreOut(BaseModel):
    """How earlier mornings' outlooks did; skill is against saying "as now", held of the 9-of-10 band."""

    ahead_h: float
    count: int
    mae_k: float
    mae_as_now_k: float
    crps_k: float
    skill: float
    held: float


class ChoiceOut(BaseModel):
    """Which way of forecasting speaks of the first `until_h` hours; CRPS [K] of the model and of the row's
    own past readings over the same `count` past outcomes, by which it was chosen."""

    used: str
    why: str
    until_h: int
    count: int
    model_crps_k: float | None
    log_crps_k: float | None


class FindingOut(BaseModel):
    kind: str
    reason: str
    station: int | None
    depth_cm: float | None


class OutlookBody(BaseModel):
    at_s: int = Field(description="The moment it looks ahead from, seconds UTC")
    hours: list[float]
    depths_cm: list[float]
    fan_c: list[list[list[float]]] = Field(description="By depth, hour and quantile p5, p10, p50, p90, p95")
    passing: list[PassingOut]
    run_c: float
    run_chance_by_day: list[float]
    moisture_by_day: list[BandOut]
    water_m3: BandOut
    target_moisture: float
    mass_t: BandOut | None
    volume_m3: BandOut | None
    curing_h: BandOut | None
    curing_chance: float
    curing_rule: str
    used: str = Field(description="process model, statistical (the row's own past readings) or both")
    why: str
    choice: ChoiceOut | None = Field(description="null until earlier mornings are scored")
    notices: list[str]
    scores: list[ScoreOut]
    skilled: bool | None = Field(description="Better than “as now” so far; null while too little is scored")
    findings: list[FindingOut]


class ChangedOut(BaseModel):
    limit_c: float
    chance: float
    chance_without: float


class WhatIfOut(BaseModel):
    """Differences against doing nothing, of the same courses; temp_k by hours ahead."""

    name: str
    temp_k: dict[str, BandOut]
    moisture: BandOut
    passing: list[ChangedOut]
    reason: str
    reason_words: str


class OutlookOut(BaseModel):
    """An outlook; until it is made `outlook` is null and `seconds` says about how long that takes."""

    row: str
    seconds: int
    never: str
    outlook: OutlookBody | None
    what_if: list[WhatIfOut]
    sentences: list[str]
    care: str
