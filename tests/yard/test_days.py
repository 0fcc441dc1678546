"""The yard's calendar, against the standard library's zoneinfo moment by moment."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.yard import days

# one offset only; both hemispheres; half hours; a half-hour summer time; a change twice around Ramadan;
# a change across midnight; a day left out (Apia, 30 December 2011)
ZONES = [
    "UTC",
    "Europe/Dublin",
    "America/Chicago",
    "America/St_Johns",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Africa/Casablanca",
    "America/Havana",
    "Pacific/Apia",
    "Pacific/Auckland",
]
moments = st.integers(0, int(datetime(2037, 12, 31, tzinfo=UTC).timestamp()))


@settings(deadline=None, max_examples=200)
@given(st.sampled_from(ZONES), st.lists(moments, min_size=1, max_size=30))
def test_days_of_many_moments_are_those_of_each__zoneinfo(name, at):
    zone = ZoneInfo(name)
    one_by_one = [datetime.fromtimestamp(s, tz=UTC).astimezone(zone).toordinal() for s in at]
    assert days.days_of(np.array(at, dtype=np.int64), zone).tolist() == one_by_one
    assert [days.day_of(s, zone) for s in at] == one_by_one


@pytest.mark.parametrize("name", ZONES)
def test_every_half_hour_of_two_years_falls_on_its_day__zoneinfo(name):
    zone = ZoneInfo(name)
    start = int(datetime(2010, 12, 25, tzinfo=UTC).timestamp())
    at = np.arange(start, start + 2 * 366 * days.DAY_S, 1800, dtype=np.int64)
    one_by_one = [datetime.fromtimestamp(s, tz=zone).toordinal() for s in at.tolist()]
    assert days.days_of(at, zone).tolist() == one_by_one


def test_offsets_change_at_the_second__tz_database():
    # US rule: the second Sunday of March, 2:00 local standard time; 8 March 2026 08:00 UTC in Chicago
    zone = ZoneInfo("America/Chicago")
    change = int(datetime(2026, 3, 8, 8, tzinfo=UTC).timestamp())
    at = np.array([change - 90 * days.DAY_S, change - 1, change, change + 90 * days.DAY_S])
    assert days.offsets_of(at, zone).tolist() == [-6 * 3600, -6 * 3600, -5 * 3600, -5 * 3600]


@pytest.mark.parametrize(
    ("local", "hours"),
    [("2026-03-29", 23), ("2026-10-25", 25), ("2026-07-01", 24)],
    ids=["spring forward", "fall back", "plain"],
)
def test_a_day_of_summer_time_change_is_shorter_or_longer(local, hours):
    zone = ZoneInfo("Europe/Dublin")
    day = datetime.fromisoformat(local)
    first = int(day.replace(tzinfo=zone).timestamp())
    after = int((day + timedelta(days=1)).replace(tzinfo=zone).timestamp())
    at = np.arange(first - 3600, after + 3600, 60, dtype=np.int64)
    assert int((days.days_of(at, zone) == day.toordinal()).sum()) == hours * 60


def test_both_hours_of_a_fold_are_told_apart_and_fall_on_one_day():
    zone = ZoneInfo("Europe/Dublin")
    early = datetime(2026, 10, 25, 1, 30, tzinfo=zone, fold=0)
    late = datetime(2026, 10, 25, 1, 30, tzinfo=zone, fold=1)
    assert days.seconds(late) - days.seconds(early) == 3600
    assert days.day_of(days.seconds(early), zone) == days.day_of(days.seconds(late), zone)


def test_no_moments_have_no_days():
    assert days.days_of(np.zeros(0, dtype=np.int64), ZoneInfo("UTC")).shape == (0,)


def test_part_seconds_are_cut_before_1970_too():
    assert days.seconds(datetime(1970, 1, 1, 0, 0, 1, 999_999, tzinfo=UTC)) == 1
    assert days.seconds(datetime(1969, 12, 31, 23, 59, 59, 500_000, tzinfo=UTC)) == -1


def test_a_moment_without_a_zone_is_a_broken_promise():
    with pytest.raises(ValueError, match="no zone"):
        days.seconds(datetime(2026, 5, 3))


@pytest.mark.parametrize("name", ["", "Europe/Atlantis", "../etc/passwd", "/etc/localtime", "Europe", "\0"])
def test_a_zone_there_is_not_is_named(name):
    with pytest.raises(ValueError, match="IANA name"):
        days.zone(name)


def test_days_are_written_as_dates():
    day = datetime(2026, 5, 3).toordinal()
    assert (days.date_text(day), days.short_date(day)) == ("2026-05-03", "3 May")
