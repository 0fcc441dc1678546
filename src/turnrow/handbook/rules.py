"""What a rule's text says, as data: one TOML file a rule in `rules/`.

A rule has one `proof` (what must be shown), `needs` (facts beside the temperatures) and, where its
text leaves something open, the policies one may read it by.
"""

from datetime import date
from typing import Literal

from msgspec import Struct

from turnrow.yard.temperature import Limit


class HotDays(Struct, frozen=True, tag="hot days", tag_field="form", forbid_unknown_fields=True):
    """So many days at a temperature, with turns. The band's upper limit excludes a day."""

    limit: Limit
    days: int
    upper: Limit | None = None
    turns: int = 0
    turns_inside: bool = True  # a turn counts only within the hot period
    spacing_days: int = 0  # least days between turns that count, where the text gives one
    peak: Limit | None = None  # must also be reached ...
    peak_hours: int = 0  # ... for so many hours of those days
    mean: Limit | None = None  # the mean over the days must satisfy this too


class Profile(Struct, frozen=True, forbid_unknown_fields=True):
    limit: Limit
    days: int
    as_unbroken_as_possible: bool = False  # met in total but not in a row: a person decides


class Profiles(Struct, frozen=True, tag="any profile", tag_field="form", forbid_unknown_fields=True):
    """Any one of several temperatures, each held for its own days."""

    profiles: tuple[Profile, ...]


class Blocks(Struct, frozen=True, tag="blocks", tag_field="form", forbid_unknown_fields=True):
    """Hot blocks each ended by a turn; more for risky inputs (fact `high_risk`)."""

    limit: Limit
    days: int
    blocks: int
    risky_days: int
    risky_turns: int


class TotalHours(Struct, frozen=True, tag="total hours", tag_field="form", forbid_unknown_fields=True):
    """Hours at a temperature in all, within a process of a least length, with spaced turns."""

    limit: Limit
    hours: int
    span_days: int
    turns: int
    spacing_days: int


class Held(Struct, frozen=True, tag="held", tag_field="form", forbid_unknown_fields=True):
    """Minutes at a temperature without interruption (fact `minutes_unbroken` stands in for a log)."""

    limit: Limit
    minutes: int


class HeldByEquation(
    Struct, frozen=True, tag="held by equation", tag_field="form", forbid_unknown_fields=True
):
    """D = a / 10^(b t) days at t °C, with a floor in minutes; by solids (fact `solids_pct`)."""

    floor: Limit
    solids_pct: int  # at or above this, the first equation
    a: int
    a_thin: int
    b_ten_thousandths: int
    least_minutes: int
    least_minutes_thin: int


class Duration(Struct, frozen=True, tag="duration", tag_field="form", forbid_unknown_fields=True):
    """Months or days in a system (facts `system`, `days` or `start` and `end`)."""

    systems: dict[str, str]  # system -> ISO 8601 duration: P12M, P60D


class Bound(Struct, frozen=True, forbid_unknown_fields=True):
    """One limit on a fact: "fecal_coliform_mpn_g < 1000"."""

    fact: str
    op: Literal["<", "<=", ">", ">="]
    value: int  # millionths
    unit: str = ""
    unless: str = ""  # a yes/no fact that, given as yes, lifts this bound; until it is said, it may be lifted
    spared: str = ""  # the same, but it has to be said: silence lifts nothing
    any: str = ""  # bounds of one rule with the same word stand in for one another: one kept is enough


class Bounds(Struct, frozen=True, tag="limits", tag_field="form", forbid_unknown_fields=True):
    """Limits on sampled figures, given as facts: all of them, or any one."""

    bounds: tuple[Bound, ...]
    combine: Literal["all", "any"] = "all"


class RunningMean(Struct, frozen=True, tag="running mean", tag_field="form", forbid_unknown_fields=True):
    """The mean of the last `last` results within the limit and no single one over by more.

    Facts: `class`, `metal`, `results` (numbers separated by commas, oldest first). Metals not in
    `averaged` must each be within the limit. limits: class -> metal -> millionths of mg/kg dry.
    """

    last: int
    single_pct: int
    averaged: tuple[str, ...]
    limits: dict[str, dict[str, int]]


class Told(Struct, frozen=True, tag="told", tag_field="form", forbid_unknown_fields=True):
    """Nothing here can be computed from readings or facts: a person decides (REVIEW)."""

    ask: str


Proof = (
    HotDays | Profiles | Blocks | TotalHours | Held | HeldByEquation | Duration | Bounds | RunningMean | Told
)


class Need(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A fact the text asks for beside the proof.

    low, high  bounds of a number [millionths], both included; `true` for a yes/no fact
    otherwise  the verdict when the fact is given and does not satisfy
    if_missing the verdict is at best NOT_PROVEN or REVIEW when it is not given, or only a warning is
    """

    fact: str
    words: str
    low: int | None = None
    high: int | None = None
    true: bool = False
    unless: str = ""  # a yes/no fact that, given as yes, makes it not asked
    otherwise: Literal["FAIL", "NOT_PROVEN"] = "FAIL"
    if_missing: Literal["NOT_PROVEN", "REVIEW", "warn"] = "NOT_PROVEN"


class Spatial(Struct, frozen=True, forbid_unknown_fields=True):
    """How many stations and how deep: one per length or per volume, part counts as whole."""

    per_length_mm: int
    per_volume_litre: int
    shallowest_mm: int
    deepest_mm: int


class Rule(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One rule as its text gives it; `open` lists, per policy the text leaves open, the readings
    one may take, the default first."""

    id: str
    jurisdiction: str
    status: str
    clause: str
    meaning: str
    process: str
    feedstock: str
    known: Literal["READ", "MEMORY"]
    sources: tuple[str, ...]
    proof: Proof
    valid_from: date | None = None  # None: not known
    valid_to: date | None = None
    dates_known: Literal["READ", "MEMORY"] = "MEMORY"
    needs: tuple[Need, ...] = ()
    spatial: Spatial | None = None
    open: dict[str, tuple[str, ...]] = {}
    ambiguity: tuple[str, ...] = ()
    measured_where: str = ""


POLICIES: dict[str, tuple[str, ...]] = {  # the first is the reading of a rule that leaves it closed
    "continuity": ("consecutive", "cumulative"),
    "turn_count": ("visit", "literal", "recovery"),
    "station": ("min",),
    "day": ("calendar", "elapsed"),
    "over_limit_day": ("not_counted", "disqualifies"),
    "stations_by": ("length", "volume", "both"),
    "vermi": ("taskforce_2002", "certifier_sufficient"),
}
