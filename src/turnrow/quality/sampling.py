"""When the next sample is due under a plan, how many there are in a year, and how it is taken."""

import calendar
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from turnrow.handbook.quality import PlanRow, SamplingPlan
from turnrow.quality.found import number

YEAR = 365
FAR = 10 * YEAR  # days: what is due later at the pace of the last year has no day


@dataclass(frozen=True)
class Made:
    """What the yard made or took in, in the plan's own unit (`unit_of`).

    year   in the 365 days up to now
    since  since the last sample; where there was none, since the plan began to hold
    """

    year: Fraction
    since: Fraction


@dataclass(frozen=True)
class Due:
    """The next sample.

    due         the day it is due at the latest; None where nothing was made, so nothing is asked, and where
                it is years away at the pace of the last
    overdue     that day is past, or nothing was ever sampled and something was made
    a_year      samples in 365 days at the pace of the last 365, as the plan counts them; None where not known
    sentence    why that day
    sub_samples places one composite sample is made of
    steps       how it is taken and sent, one sentence each
    before_removal  the result must be in hand before any of it leaves
    known       READ or MEMORY: whether the plan's text was read
    """

    plan: str
    due: date | None
    overdue: bool
    a_year: int | None
    sentence: str
    sub_samples: int
    steps: tuple[str, ...]
    before_removal: bool
    known: str


def unit_of(plan: SamplingPlan) -> str:
    """What a plan counts in: "dry t in 365 days", "t input in 365 days", "yd3 made in 365 days"."""
    return next((row.above_unit for row in plan.rows if row.above_unit), "")


def applies(row: PlanRow, year: Fraction) -> bool:
    """Whether a row's band holds what was made in a year; exact at its edge."""
    if row.op is None:
        return year > 0
    return {
        ">": year > row.above,
        ">=": year >= row.above,
        "<": year < row.above,
        "<=": year <= row.above,
    }[row.op]


def plan(
    rule: SamplingPlan, usual: SamplingPlan, made: Made, last: date | None, began: date, now: date
) -> Due:
    """The next sample under `rule`.

    usual  the handbook's plan "any", for what `rule` does not say
    last   the day of the last sample that answers the plan; None: there was none
    began  the day from which the plan counts where nothing was sampled yet
    The earliest of what the plan's lines ask is due. Samples counted by the year are spread evenly: ours.
    """
    if made.year < 0 or made.since < 0:
        raise ValueError(f"made {made.year} and {made.since} {unit_of(rule)}, want 0 or more")
    rows = [row for row in rule.rows if applies(row, made.year)]
    asked = [found for row in rows if (found := _asked(row, made, last, began, now))]
    sub_samples, steps = composite(rule, usual)
    before = any(row.asks == "before removal" for row in rule.rows)
    if not asked:
        said = f"Nothing was made that {rule.name} counts ({unit_of(rule)}); no sample is due."
        return Due(rule.name, None, False, None, said, sub_samples, steps, before, rule.known)
    due, said = min(asked, key=lambda one: one[0] or date.max)
    counts = [count for row in rows if (count := _a_year(row, made.year)) is not None]
    late = (due is not None and due < now) or (last is None and made.since > 0)
    if last is None:
        said = f"Nothing was sampled under {rule.name} yet. {said}"
    return Due(rule.name, due, late, max(counts, default=None), said, sub_samples, steps, before, rule.known)


def _asked(
    row: PlanRow, made: Made, last: date | None, began: date, now: date
) -> tuple[date | None, str] | None:
    """(due day, why) of one line of a plan; None where the line asks no day. The day is None where it is
    more than `FAR` days away."""
    start = last or began
    if row.asks == "apart":
        months = row.unit == "months"
        many = int(row.number)
        due = months_after(start, many) if months else start + timedelta(days=many)
        band = f", {_band(row)}" if row.op and row.above else ""
        return (
            (due, f"Every {many} {row.unit}{band}.") if last else (start, f"Every {many} {row.unit}{band}.")
        )
    if row.asks == "a year":
        many = int(row.number)
        due = start + timedelta(days=YEAR // many) if last else start
        return due, f"{many} in 365 days, {_band(row)}; spread evenly."
    if row.asks == "each begun":
        every = f"One for every {number(row.number)} {row.unit} begun"
        if last is None:
            return began, f"{every}."
        if made.since >= row.number:
            return now, f"{every}; {number(made.since)} since the last sample."
        if made.year == 0:
            return None
        left = ceil((row.number - made.since) * YEAR / made.year)
        if left > FAR:
            return None, f"{every}; at the pace of the last year not for {FAR // YEAR} years."
        return now + timedelta(days=left), f"{every}; at the pace of the last year that is in {left} days."
    return None


def _a_year(row: PlanRow, year: Fraction) -> int | None:
    if row.asks == "apart":
        return 12 // int(row.number) if row.unit == "months" else ceil(Fraction(YEAR) / row.number)
    if row.asks == "a year":
        return int(row.number)
    return ceil(year / row.number) if row.asks == "each begun" else None


def _band(row: PlanRow) -> str:
    words = {">": "over", ">=": "from", "<": "under", "<=": "up to"}
    return f"for {words[row.op or '>']} {number(row.above)} {row.above_unit}"


def months_after(day: date, months: int) -> date:
    """The same day so many calendar months later, or that month's last day."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def _one(rule: SamplingPlan, usual: SamplingPlan, asks: str) -> Fraction:
    found = [row.number for each in (rule, usual) for row in each.rows if row.asks == asks]
    if not found:
        raise ValueError(f"{asks} in neither {rule.name} nor {usual.name}, want it in one")
    return found[0]


def composite(rule: SamplingPlan, usual: SamplingPlan) -> tuple[int, tuple[str, ...]]:
    """(places one composite sample is made of, how it is taken and sent: one sentence each)."""
    places = int(_one(rule, usual, "sub-samples"))
    return places, _steps(rule, usual, places)


def _steps(rule: SamplingPlan, usual: SamplingPlan, places: int) -> tuple[str, ...]:
    mass, hours = _one(rule, usual, "sample mass"), _one(rule, usual, "germ hours")
    own = any(row.asks == "sub-samples" for row in rule.rows)
    whose = "as the plan asks" if own else "the plan names no number; this one is usual"
    return (
        f"Take {places} sub-samples of about the same size from one lot ({whose}): along its whole length, "
        "from both sides and the crown, each from well inside, not from the skin.",
        "Clean the shovel and bucket first, and wear clean gloves: a dirty tool makes a good lot fail. Keep "
        "tools of raw material away from it.",
        "Tip them on a clean sheet, mix well, quarter the heap and throw two opposite quarters away until "
        f"about {number(mass)} kg is left.",
        "Fill a clean container that closes; for germs take a sterile one from the lab and do not touch its "
        "inside.",
        f"Label it at once, cool it without freezing, and see that germs are looked for within "
        f"{number(hours)} h (from memory; ask the lab).",
        "Write who took it, when, and every hand it goes through, on the sheet that travels with it.",
    )
