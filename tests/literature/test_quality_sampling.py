"""Sampling bands at their printed edges.

Source: 40 CFR 503.16, READ at law.cornell.edu; state texts in short tons and from quarterly on, READ
Source: 14 CCR 17868.1, READ; BioAbfV, READ in a public Git copy; EU Ecolabel 2022/1244 app. 1, READ
Known: READ
"""

from datetime import date, timedelta
from fractions import Fraction

import pytest

from turnrow.handbook.quality import sampling_plans
from turnrow.quality.sampling import Due, Made, plan

LAST, NOW = date(2026, 1, 15), date(2026, 2, 1)
YEARLY, QUARTERLY, MONTHLY = date(2027, 1, 15), date(2026, 4, 15), date(2026, 2, 15)
SIXTY = LAST + timedelta(days=60)


def due(name: str, year: str, since: str = "0") -> Due:
    made = Made(Fraction(year), Fraction(since))
    plans = sampling_plans()
    return plan(plans[name], plans["any"], made, LAST, LAST, NOW)


@pytest.mark.parametrize(
    ("tonnes", "day", "a_year"),
    [
        ("0.1", YEARLY, 1), ("289.9", YEARLY, 1), ("290", QUARTERLY, 4), ("1499.9", QUARTERLY, 4),
        ("1500", SIXTY, 7), ("14999.9", SIXTY, 7), ("15000", MONTHLY, 12), ("90000", MONTHLY, 12),
    ],
)  # fmt: skip
def test_federal_bands(tonnes: str, day: date, a_year: int) -> None:
    """Dry tonnes in 365 days: over 0 yearly, from 290 quarterly, from 1500 every 60 days, from 15,000
    monthly. Every 60 days is a seventh sample begun in the year."""
    found = due("us-503-16", tonnes)
    assert (found.due, found.a_year) == (day, a_year)
    assert found.known == "READ"


@pytest.mark.parametrize(
    ("name", "tons", "day"),
    [
        ("us-503-16-short-tons", "318.9", YEARLY), ("us-503-16-short-tons", "319", QUARTERLY),
        ("us-503-16-short-tons", "1650", SIXTY), ("us-503-16-short-tons", "16500", MONTHLY),
        ("us-503-16-short-tons-upper", "1650", QUARTERLY), ("us-503-16-short-tons-upper", "1653", SIXTY),
        ("us-503-16-short-tons-upper", "16500", SIXTY), ("us-503-16-short-tons-upper", "16530", MONTHLY),
    ],
)  # fmt: skip
def test_state_bands_in_short_tons(name: str, tons: str, day: date) -> None:
    """The bands as states print them in short tons: 319, 1650 or 1653, 16,500 or 16,530."""
    assert due(name, tons).due == day


@pytest.mark.parametrize(("tonnes", "day"), [("1", QUARTERLY), ("1499", QUARTERLY), ("1500", SIXTY)])
def test_a_state_that_starts_at_quarterly(tonnes: str, day: date) -> None:
    """South Carolina: quarterly for everything under 1500 t."""
    assert due("us-503-16-quarterly", tonnes).due == day


@pytest.mark.parametrize(
    ("tonnes", "samples"),
    [
        ("3000", 1), ("3001", 2), ("10000", 2), ("10001", 3), ("20000", 3), ("20001", 4), ("40000", 4),
        ("40001", 5), ("60000", 5), ("60001", 6), ("80000", 6), ("80001", 7), ("180000", 11),
        ("180001", 12), ("900000", 12),
    ],
)  # fmt: skip
def test_european_ladder(tonnes: str, samples: int) -> None:
    """Samples a year by input: 1 up to 3000 t, 5 up to 60,000, one more each 20,000, 12 over 180,000."""
    assert due("eu-annex-iv", tonnes).a_year == samples


@pytest.mark.parametrize(("since", "now"), [("1999.9", False), ("2000", True)])
def test_german_plan_by_amount(since: str, now: bool) -> None:
    """Every begun 2000 t of input: with 2000 t in since the last, the next sample is due."""
    assert (due("de-bioabfv", "6000", since).due == NOW) == now


def test_german_plan_by_time() -> None:
    """At least every three months, however little came in; monthly over 24,000 t a year if exempt
    from filing."""
    assert due("de-bioabfv", "10").due == QUARTERLY
    assert due("de-bioabfv-filing-exempt", "24001").due == MONTHLY


@pytest.mark.parametrize(("yards", "samples"), [("5000", 1), ("5001", 2), ("10000", 2), ("10001", 3)])
def test_california_by_volume(yards: str, samples: int) -> None:
    """One composite of 12 sub-samples for every 5000 cu yd made, at least one in 12 months."""
    found = due("ca-17868-1", yards)
    assert found.a_year == samples and found.sub_samples == 12
    assert due("ca-17868-1", "100").due == YEARLY
