"""Limits on heat, at / one step under / nothing read.

Sources: act at 160 °F (NC DEQ guidance on self-heating, READ as handbook source ncdeq-fire); stop at about
180 °F (MEMORY: Buggeln and Rynk 2002); turn at 150 °F, the yard's own 65.5 °C (common practice, no source).
"""

import re
from collections.abc import Callable
from typing import Any

import pytest

Diary = Callable[[str], Any]
BUILT = "d0 built stations=1,2,3\n"


def test_the_sentence_gives_the_reading_the_limit_and_the_turns_place(diary: Diary) -> None:
    told = diary(BUILT + "d1-6 60 61 60\nd3 turn\nd7 60 61 66.1")
    turn = told.jobs(7)["turn"]
    assert turn.text == (
        "Turn row R7 this morning: 66.1 °C at station 3, the limit is 65.5 °C. "
        "It will be the second of five turns."
    )
    assert turn.urgent and turn.because[-1] == told.diary.head and turn.rule == "US-503-PFRP-WINDROW"


@pytest.mark.parametrize(
    ("reading", "job"),
    [
        ("65.5", "turn"),
        ("65.499999", None),
        ("F 149.9", "turn"),  # 65.5 °C exactly
        ("F 149.899999", None),
        ("71", "cool"),
        ("70.999999", "turn"),
        ("80", "fire"),
        ("79.999999", "cool"),
        ("F 176", "fire"),  # 80 °C exactly
        ("F 175.999999", "cool"),
        ("F 160", "cool"),
    ],
)
def test_a_reading_at_a_limit_has_reached_it_and_one_step_under_has_not(
    diary: Diary, reading: str, job: str | None
) -> None:
    unit, _, number = reading.rpartition(" ")
    jobs = diary(f"d0 built stations=1\nd1 {unit} {number}").jobs(1)
    first = next(iter(jobs.values()))
    assert first.job == job if job else first.job not in ("turn", "cool", "fire")


def test_at_the_stop_nothing_else_is_asked_of_the_row(diary: Diary) -> None:
    """Whatever else is due: turns for the rule, water, a round."""
    told = diary(BUILT + "d1-5 60 61 62\nd6 squeeze 1\nd6 60 82 62\nd6 moisture 30 %")
    jobs = told.jobs(6)
    assert list(jobs) == ["fire"] and jobs["fire"].urgent
    text = jobs["fire"].text
    assert "fire service before anyone opens it" in text and "82 °C at station 2" in text
    assert "nothing beside it is turned" in text
    assert "Do not turn" in text and "Turn row" not in text


def test_heat_over_the_stop_that_nobody_read_again_still_counts_and_says_its_age(diary: Diary) -> None:
    jobs = diary(BUILT + "d1 60 81 62").jobs(9)
    assert list(jobs) == ["fire"]
    assert "8 days ago (1 May)" in jobs["fire"].text
    (late,) = diary(BUILT + "d1 60 81 62").jobs(400).values()
    assert re.search(r"399 days ago \(1 May \d{4}\)", late.text)


def test_only_a_newer_cooler_reading_takes_the_warning_back(diary: Diary) -> None:
    assert "fire" not in diary(BUILT + "d1 60 81 62\nd2 60 64 62").jobs(2)
    assert "fire" in diary(BUILT + "d1 60 81 62\nd2 turn").jobs(2)


@pytest.mark.parametrize(
    ("moisture", "dry"), [("45", True), ("45.000001", False), ("20", True), ("19.999999", False)]
)
def test_dry_and_hot_is_said_with_its_moisture(diary: Diary, moisture: str, dry: bool) -> None:
    """MEMORY (Buggeln and Rynk 2002): 20 to 45 % is dry enough to burn and wet enough to live."""
    jobs = diary(BUILT + f"d1 60 72 62\nd1 moisture {moisture} %").jobs(1)
    assert ("which is how rows take fire" in jobs["turn"].text) is dry
    assert "call the fire service before opening" in jobs["turn"].text


def test_a_row_turned_since_its_reading_is_read_again_not_turned_again(diary: Diary) -> None:
    assert "turn" not in diary(BUILT + "d1 60 66 62\nd1 turn").jobs(1, hour=10)
    next_day = diary(BUILT + "d1 60 66 62\nd1 turn").jobs(2)
    assert "turn" not in next_day and "it was turned since" in next_day["probe"].text


def test_a_date_without_a_time_puts_the_turn_after_that_days_reading(diary: Diary) -> None:
    assert "turn" not in diary(BUILT + "d1 turn day-only\nd1 60 66 62").jobs(1, hour=13)


def test_an_old_hot_reading_turns_nothing_and_asks_for_the_probe(diary: Diary) -> None:
    """Two rounds old still speaks, and says so; older does not."""
    two = diary(BUILT + "d1 60 67 62").jobs(3)
    assert "read 2 days ago (1 May)" in two["turn"].text
    three = diary(BUILT + "d1 60 67 62").jobs(4)
    assert "turn" not in three
    assert three["probe"].urgent and "67 °C at station 2, was 3 days ago (1 May)" in three["probe"].text


def test_nothing_read_means_probe_first(diary: Diary) -> None:
    jobs = diary(BUILT).jobs(2)
    assert list(jobs) == ["probe"] and jobs["probe"].urgent
    assert jobs["probe"].text.startswith(
        "Probe row R7 first: nothing has been read since it was built on 30 April"
    )


def test_a_heap_that_is_not_turned_is_watched_not_turned(diary: Diary) -> None:
    jobs = diary("d0 built process=static stations=1\nd1 66").jobs(1, rule=None)
    assert jobs["watch"].text.startswith("Watch static heap R7: 66 °C") and "turn" not in jobs


def test_the_yards_own_limit_counts(diary: Diary) -> None:
    told = diary(BUILT + "d1 60 63 62")
    assert "turn" not in told.jobs(1)
    assert "the limit is 62 °C" in told.jobs(1, settings={"turn_limit": "62C"})["turn"].text


@pytest.mark.parametrize(
    ("wind", "held"), [("11 m/s", True), ("10.999999 m/s", False), ("25 mph", True), ("24 mph", False)]
)
def test_high_wind_holds_the_turner_and_keeps_the_reason(diary: Diary, wind: str, held: bool) -> None:
    """25 mph = 11.176 m/s: one yard's plan stops turning above it (READ, handbook source practice-c2)."""
    jobs = diary(BUILT + f"d1 60 66 62\nd1 wind {wind}").jobs(1)
    assert ("wait" in jobs) is held and ("turn" in jobs) is not held
    if held:
        assert f"the wind is {wind}" in jobs["wait"].text and "66 °C at station 2" in jobs["wait"].text


def test_yesterdays_wind_is_no_wind(diary: Diary) -> None:
    assert "turn" in diary(BUILT + "d1 wind 20 m/s\nd2 60 66 62").jobs(2)


@pytest.mark.parametrize(
    ("air", "held"), [("-10 C", False), ("-10.000001 C", True), ("13 F", True), ("14 F", False)]
)
def test_hard_frost_holds_a_turn_for_the_rule_but_not_a_row_too_hot(
    diary: Diary, air: str, held: bool
) -> None:
    """No turn under -10 °C (14 °F): MEMORY, failure table."""
    for_rule = diary(BUILT + f"d1-3 60 61 62\nd3 air {air}").jobs(3)
    assert ("wait" in for_rule) is held
    assert "turn" in diary(BUILT + f"d1 60 66 62\nd1 air {air}").jobs(1)


def test_a_round_that_fits_fahrenheit_is_read_again_and_no_fire_service_is_called_at_once(
    diary: Diary,
) -> None:
    """136 °F is 57.8 °C, 140 °F is 60 °C, 144 °F is 62.2 °C: the row's own heat."""
    jobs = diary(BUILT + "d1-5 58 60 62\nd6 136 140 144").jobs(6)
    assert not {"fire", "cool"} & set(jobs)
    probe = next(job for job in jobs.values() if job.job == "probe")
    assert probe.urgent and probe.text.startswith(
        "Read station 1, 2 and 3 of row R7 again, and look at the unit"
    )
    assert "Was it °F? Then it is 57.8 °C to 62.2 °C" in probe.text
    assert "If they are right as written, it may burn" in probe.text and "fire service" in probe.text


def test_a_row_in_fahrenheit_that_was_read_in_celsius_is_read_again(diary: Diary) -> None:
    jobs = diary(BUILT + "d1-5 F 136 140 144\nd6 F 58 60 62").jobs(6)
    probe = next(job for job in jobs.values() if job.job == "probe")
    assert probe.urgent and "Was it °C? Then it is 136.4 °F to 143.6 °F" in probe.text
    assert "may burn" not in probe.text


def test_heat_that_no_other_unit_explains_is_still_a_fire(diary: Diary) -> None:
    assert list(diary(BUILT + "d1-5 74 76 78\nd6 92 95 97").jobs(6)) == ["fire"]
    assert list(diary(BUILT + "d1-5 58 60 62\nd6 58 120 62").jobs(6)) == ["fire"]


def test_the_day_after_the_wrong_unit_is_not_read_as_a_fall(diary: Diary) -> None:
    jobs = diary(BUILT + "d1-5 58 60 62\nd6 136 140 144\nd7 58 60 62").jobs(7)
    assert not any("fell from" in job.text for job in jobs.values())
