"""A probe that failed its check proves nothing until it is checked good again in the same bath.

Baths: ice water 0 °C, boiling water 100 °C at sea level; ±1 °C allowed (MEMORY, common practice). What
follows from a failed check is our own rule: an instrument known to be wrong shows nothing.
"""

from typing import Any

import pytest

from turnrow.sanitation.probe_faults import bath_of, off_by
from turnrow.yard import entries as e
from turnrow.yard.temperature import NINTH

C = 1_000_000


def check(
    yard: Any, day: int, bath: float, read: float, unit: str = "C", probe: str = "P1", hour: float = 5
) -> None:
    amounts = (e.Amount(round(x * C), unit) for x in (bath, read))
    yard.say(day, e.ProbeChecked(probe, *amounts), hour)


def hot_days(yard: Any) -> int:
    yard.desk.refresh()
    return yard.desk.standing("R7").standing.hot_days


@pytest.fixture
def hot(yard: Any) -> Any:
    """R7 read at 60 °C by P1 on days 1 to 10."""
    yard.build("R7")
    for day in range(1, 11):
        yard.read("R7", day, "60", "61")
    return yard


def test_without_a_check_every_reading_counts(hot: Any) -> None:
    assert hot_days(hot) == 10


@pytest.mark.parametrize(
    ("read", "days"), [(0.0, 10), (1.0, 10), (1.000001, 0), (-1.0, 10), (-1.000001, 0), (6.0, 0)]
)
def test_at_the_tolerance_a_probe_is_good_and_a_hair_over_it_is_not(hot: Any, read: float, days: int) -> None:
    check(hot, 10, 0, read, hour=20)
    assert hot_days(hot) == days


def test_only_what_it_read_since_its_last_good_check_is_doubted(hot: Any) -> None:
    check(hot, 4, 0, 0.2, hour=5)
    check(hot, 10, 0, 6, hour=20)
    assert hot_days(hot) == 3  # days 1 to 3, before the good check in the morning of day 4


def test_a_good_check_in_the_same_bath_ends_it_and_in_the_other_does_not(hot: Any) -> None:
    check(hot, 5, 0, 4, hour=5)
    check(hot, 6, 100, 100, hour=5)
    assert hot_days(hot) == 0
    check(hot, 8, 0, 0, hour=5)
    assert hot_days(hot) == 3  # days 8 to 10


def test_another_probe_is_not_doubted(hot: Any) -> None:
    check(hot, 10, 0, 6, probe="P2", hour=20)
    assert hot_days(hot) == 10


@pytest.mark.parametrize(("read", "days"), [(33.8, 10), (33.9, 0)])
def test_in_fahrenheit_it_is_the_same(hot: Any, read: float, days: int) -> None:
    """33.8 °F is 1 °C from 32 °F; 33.9 °F is over it."""
    assert off_by(e.ProbeChecked("P1", e.Amount(32 * C, "F"), e.Amount(33_800_000, "F"))) == NINTH
    check(hot, 10, 32, read, "F", hour=20)
    assert hot_days(hot) == days


def test_the_bath_is_told_by_its_temperature() -> None:
    assert bath_of(e.ProbeChecked("P", e.Amount(0, "C"), e.Amount(0, "C"))) == "ice water"
    assert bath_of(e.ProbeChecked("P", e.Amount(95 * C, "C"), e.Amount(0, "C"))) == "boiling water"


def test_the_verdict_says_why_and_the_readings_are_suspect(hot: Any) -> None:
    check(hot, 10, 0, 6, hour=20)
    hot.desk.refresh()
    stood = hot.desk.standing("R7")
    assert any(
        "20 readings of probe P1 are not counted: it read 6 °C in a bath of 0 °C" in s
        for s in stood.standing.because
    )
    assert {one.check for one in stood.suspects} == {"probe off"}


def test_today_says_not_to_use_it_until_it_is_checked_good(hot: Any) -> None:
    check(hot, 10, 0, 6, hour=20)
    job = hot.today(11)["probe P1 check"]
    assert job.urgent and "Do not use probe P1" in job.text and "±" not in job.text
    check(hot, 11, 0, 0, hour=9)
    assert "Do not use" not in hot.today(11, 10)["probe P1 check"].text  # boiling water was never checked
    assert not hot.today(11, 10)["probe P1 check"].urgent
