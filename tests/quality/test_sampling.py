"""When a sample is due: the earliest of what a plan asks, months by the calendar, nothing from nothing."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from turnrow.handbook.quality import sampling_plans
from turnrow.quality.sampling import Due, Made, months_after, plan, unit_of

PLANS = sampling_plans()
NOW = date(2026, 9, 1)


def due(name: str, year: str, since: str = "0", last: date | None = None, now: date = NOW) -> Due:
    made = Made(Fraction(year), Fraction(since))
    return plan(PLANS[name], PLANS["any"], made, last, date(2026, 1, 1), now)


@pytest.mark.parametrize(
    ("day", "months", "after"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2028, 1, 31), 1, date(2028, 2, 29)),
        (date(2026, 11, 30), 3, date(2027, 2, 28)),
        (date(2026, 12, 15), 12, date(2027, 12, 15)),
    ],
)
def test_months_are_of_the_calendar(day: date, months: int, after: date) -> None:
    assert months_after(day, months) == after


def test_nothing_made_asks_for_no_sample() -> None:
    found = due("us-503-16", "0")
    assert found.due is None and not found.overdue and found.a_year is None


def test_never_sampled_is_overdue_as_soon_as_something_is_made() -> None:
    found = due("us-503-16", "100", "100")
    assert found.overdue and "Nothing was sampled" in found.sentence


def test_due_and_overdue() -> None:
    found = due("us-503-16", "1500", last=date(2026, 7, 3))
    assert found.due == date(2026, 9, 1) and not found.overdue
    assert due("us-503-16", "1500", last=date(2026, 7, 2)).overdue


def test_the_amount_may_come_before_the_calendar() -> None:
    """Every begun 2000 t and at least every three months: at 4000 t a year the months come first."""
    slow = due("de-bioabfv", "4000", "500", last=date(2026, 8, 1))
    assert slow.due == date(2026, 11, 1) and "3 months" in slow.sentence
    fast = due("de-bioabfv", "20000", "1900", last=date(2026, 8, 1))
    assert fast.due == date(2026, 9, 3) and "2000 t input" in fast.sentence
    begun = due("de-bioabfv", "20000", "2000", last=date(2026, 8, 1))
    assert begun.due == NOW


def test_what_a_plan_says_of_taking_the_sample_and_what_is_usual() -> None:
    california, federal = due("ca-17868-1", "9000"), due("us-503-16", "9000")
    assert california.sub_samples == 12 and california.before_removal
    assert federal.sub_samples == 20 and not federal.before_removal
    assert any("usual" in step for step in federal.steps) and any("24 h" in step for step in federal.steps)


def test_every_plan_counts_in_one_unit() -> None:
    for name, one in PLANS.items():
        assert len({row.above_unit for row in one.rows if row.above_unit}) <= 1, name
        assert (unit_of(one) == "") == (name == "any")


def test_less_than_nothing_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="want 0 or more"):
        due("us-503-16", "-1")


def test_what_is_due_in_thousands_of_years_has_no_day() -> None:
    """20 kg in a year against one sample every 2000 t begun: a hundred thousand years."""
    found = due("de-bioabfv", "0.02", "0.02", last=date(2026, 8, 1))
    assert found.due == date(2026, 11, 1)  # the months come first
    rule = PLANS["de-bioabfv"]
    begun = replace(rule, rows=tuple(row for row in rule.rows if row.asks == "each begun"))
    made = Made(Fraction("0.02"), Fraction("0.02"))
    alone = plan(begun, PLANS["any"], made, date(2026, 8, 1), date(2026, 1, 1), NOW)
    assert alone.due is None and not alone.overdue and "not for 10 years" in alone.sentence
