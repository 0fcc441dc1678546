"""What a row's outlook adds to its jobs: a turn before it is too hot, a run at risk, a probe or a core to
look at. Each says that it is a forecast, and how its forecasts did so far."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

import numpy as np
from msgspec.structs import replace

from turnrow.heap.outlook import Finding, Outlook, Passing, Score
from turnrow.heap.scored import Choice
from turnrow.schedule.agreed import agreed
from turnrow.schedule.heat import SMOKE, WHY_COOL, WHY_TURN
from turnrow.schedule.limits import Limits
from turnrow.schedule.water import AMOUNT, BY_HAND, amount_words
from turnrow.schedule.words import advice
from turnrow.yard import days
from turnrow.yard.entries import Advice
from turnrow.yard.numbers import MICRO

SOON_H = (24.0, 48.0)  # hours ahead by which an outlook is judged
LEAST_SCORED = 8  # outcomes before an outlook is said to have skill, or none
NOON_H = 12
WARMER_K, LIKELY = 1.0, 0.5  # from where a turn is said to warm, and curing to be likely (OWN)
TURN_IT = "Turn it with water and a loader ready, from the upwind side, and lay it lower."
WET_IT = (
    "Wet it well and lay it lower from the upwind side, a loader ready: by its outlook opening it makes it "
    "warmer by tomorrow, as air wakes it."
)
WORTH_M3 = 0.5  # of water; less is a hose's drip beside what a squeeze is off
SAME_C = 0.01
ANSWERED = ("fire", "cool", "turn", "wait", "watch")  # today's jobs that already deal with the heat
SHARES = np.array([0.0, 0.05, 0.10, 0.50, 0.90, 0.95, 1.0])
WHY_RUN = (
    "The rule counts days one after the other in the coldest place. Wind, rain, a dry core and a turn more "
    "than needed cool that place; cover and water keep it, where they are what it lacks. A forecast is no "
    "reading."
)
WHY_PROBE = (
    "A probe that shows what the heap cannot be is itself to be looked at: read that place again with "
    "another probe, and check it in a bath. The readings stay in the diary and count until struck."
)


@dataclass(frozen=True, eq=False)
class Ahead:
    """A row's outlook as the jobs need it.

    day, line   when it was made and the row's newest line then: later it no longer speaks
    scores      of the row's own earlier outlooks, made in the way chosen; choice, once they are scored, which
                way that is; needed  the day the rule's run must last to, with the
                limit it is counted at [°C]; lines  the row's newest readings; curing  it was moved to curing
    turn_k      what a turn now, with the water it wants, changes of its temperature by tomorrow [K]
    """

    outlook: Outlook
    day: int
    line: int
    scores: tuple[Score, ...] = ()
    choice: Choice | None = None
    findings: tuple[Finding, ...] = ()
    needed: tuple[int, float] | None = None
    lines: tuple[int, ...] = ()
    curing: bool = False
    turn_k: float | None = None

    @property
    def skill(self) -> float | None:
        """How much nearer than "as now" its forecasts of one and two days came, as a share; None while too
        few of them are scored."""
        told = [one for one in self.scores if one.ahead_h in SOON_H]
        now = sum(one.mae_as_now * one.count for one in told)
        if sum(one.count for one in told) < LEAST_SCORED or not now > 0:
            return None
        return float(1 - sum(one.crps * one.count for one in told) / now)

    @property
    def skilled(self) -> bool | None:
        """Whether it did better than "as now"; None while too little is scored."""
        return None if self.skill is None else self.skill > 0

    def speaks(self, day: int, line: int) -> bool:
        """Whether it is of that day and of the row as it stands."""
        return self.day == day and self.line == line


def with_ahead(jobs: list[Advice], row: str, ahead: Ahead, limits: Limits, zone: ZoneInfo) -> list[Advice]:
    """A row's jobs and what the outlook adds; a row left alone is not, where something is added.

    Nothing is added to a row that may burn, nor by an outlook that had no skill on this row.
    """
    if not jobs or jobs[0].job == "fire":
        return jobs
    busy = any(job.job in ANSWERED for job in jobs)
    jobs = [_by_its_outlook(job, ahead, limits) for job in jobs]
    found = _findings(row, ahead, jobs)
    if ahead.skilled is not False:
        found += [
            one
            for one in (None if busy else _turn(row, ahead, limits, zone), _run(row, ahead, limits))
            if one
        ]
    jobs = agreed([*jobs, *found])
    found = [job for job in jobs if job in found]
    jobs = [job for job in jobs if job not in found]
    kept = [job for job in jobs if job.job != "leave"] if found else jobs
    return [*kept, *found]


def _by_its_outlook(job: Advice, ahead: Ahead, limits: Limits) -> Advice:
    """A job as the row's outlook would have it: its amount of water, no turn to cool it that warms it, no
    curing that is not likely."""
    if job.job == "water":
        return _as_much(job, ahead, limits)
    if job.job == "cool" and ahead.skilled is not False and (ahead.turn_k or 0.0) > WARMER_K:
        return replace(job, text=job.text.replace(TURN_IT, WET_IT))
    if job.job == "cure" and ahead.skilled is not False and ahead.outlook.curing_chance < LIKELY:
        said = in_ten(ahead.outlook.curing_chance)
        days_ahead = round(float(ahead.outlook.hours[-1]) / 24)
        text = (
            f"Squeeze row {job.row} before it is moved to curing: it does not warm again after its turn, but "
            f"by its outlook the chance that it can cure within {days_ahead} days is {said}. If it is dry, "
            "water it."
        )
        return replace(job, job="look", key=f"{job.row} cure first", text=text)
    return job


def _as_much(job: Advice, ahead: Ahead, limits: Limits) -> Advice:
    """A watering with the amount of the row's outlook, which knows the row's dry matter better: so that
    sheet, row page and what-if ask for one amount."""
    b, target = ahead.outlook.water_m3, f"{100 * ahead.outlook.target:.0f} %"
    head = job.text.partition(AMOUNT)[0].removesuffix(f" {BY_HAND}")
    if b.p50 < WORTH_M3:
        return job
    return replace(job, text=f"{head} {amount_words(target, b.p10, b.p50, b.p90, 'its outlook')}")


def chance_by(passing: Passing, hours: float) -> float:
    """Chance that the limit is passed within so many hours, from the quantiles of the first time over it."""
    if passing.hours is None:
        return 0.0
    one = passing.hours
    edges = [0.0, one.p5, one.p10, one.p50, one.p90, one.p95, 2 * one.p95 - one.p90 + 1e-9]
    return passing.chance * float(np.interp(hours, edges, SHARES))


def in_ten(chance: float) -> str:
    """ "7 in 10"; "less than 1 in 20", "more than 19 in 20" at the ends."""
    if chance < 0.05:
        return "less than 1 in 20"
    if chance > 0.95:
        return "more than 19 in 20"
    return f"{min(max(round(10 * chance), 1), 9)} in 10"


def skill_words(ahead: Ahead) -> str:
    """How its forecasts did on this row, to stand after a forecast."""
    if ahead.skill is None:
        return "A forecast, not a reading, and too few of this row’s are scored yet: probe first."
    nearer = f"{100 * ahead.skill:.0f} % nearer than saying “as now”"
    return f"A forecast, not a reading: this row’s of one and two days so far came {nearer}. Probe first."


def turning_limit(outlook: Outlook, limits: Limits) -> Passing | None:
    """What the outlook says of the limit at which a row is turned."""
    edge = limits.heat("turn_limit").ninths / (9 * MICRO)
    return next((one for one in outlook.passing if abs(one.limit_c - edge) < SAME_C), None)


def _turn(row: str, ahead: Ahead, limits: Limits, zone: ZoneInfo) -> Advice | None:
    """A turn advised ahead: the limit is likely passed by tomorrow noon."""
    passing = turning_limit(ahead.outlook, limits)
    if passing is None or passing.now:
        return None
    noon = days.seconds(
        days.moment(ahead.outlook.at_s, zone).replace(hour=NOON_H, minute=0, second=0, microsecond=0)
    )
    chance = chance_by(passing, (noon + days.DAY_S - ahead.outlook.at_s) / days.HOUR_S)
    if chance * 100 * MICRO < limits.number("forecast_chance"):
        return None
    when = f"{date.fromordinal(ahead.day + 1):%A}"
    text = (
        f"Turn row {row} today or early tomorrow: by its outlook the chance that it passes "
        f"{limits.words('turn_limit')} by {when} noon is {in_ten(chance)}. {skill_words(ahead)}"
    )
    return advice(row, "turn", text, WHY_TURN, ahead.lines)


def _run(row: str, ahead: Ahead, limits: Limits) -> Advice | None:
    """The rule's run at risk before the day it must last to."""
    if ahead.needed is None or abs(ahead.outlook.run_c - ahead.needed[1]) > SAME_C:
        return None
    place = ahead.needed[0] - ahead.day
    if not 0 <= place < len(ahead.outlook.run):
        return None
    chance = float(ahead.outlook.run[place])
    if chance * 100 * MICRO >= limits.number("forecast_run_chance"):
        return None
    text = (
        f"The run of row {row} is at risk: by its outlook the chance is only {in_ten(chance)} that its "
        f"coldest place stays at {ahead.needed[1]:g} °C or hotter to {days.short_date(ahead.needed[0])}, the "
        f"day the rule needs. {skill_words(ahead)}"
    )
    return advice(row, "look", text, WHY_RUN, ahead.lines, key="run")


def _findings(row: str, ahead: Ahead, jobs: Sequence[Advice]) -> list[Advice]:
    found = []
    probing = any(job.job == "probe" for job in jobs)
    for one in ahead.findings:
        if one.kind == "nearing dry-core fire":
            text = (
                f"Watch row {row} closely: {one.reason} This is its outlook, not a reading: read its core "
                f"today with a long probe. {SMOKE}"
            )
            found.append(advice(row, "watch", text, WHY_COOL, ahead.lines, urgent=True, key="dry core"))
        elif one.kind == "suspect probe" and not probing:
            end = "" if one.reason.endswith(("?", ".")) else "."
            text = f"Look at the probe in row {row}: {one.reason}{end}"
            found.append(advice(row, "look", text, WHY_PROBE, ahead.lines, key="suspect probe"))
        elif one.kind == "heating for the wrong reason":
            found.append(
                advice(
                    row, "look", f"Look at row {row}: it {one.reason}", WHY_COOL, ahead.lines, key="odd heat"
                )
            )
    return found
