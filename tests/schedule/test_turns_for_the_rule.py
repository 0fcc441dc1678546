"""Turns a rule asks for: which of how many, from when they count, the latest day.

Sources: 40 CFR 503 App. B (15 days at 55 °C, five turns; no spacing in its text, so "every third day" is
arithmetic, 15/5); WSI 2006/1293 (60 °C for 8 days, three turns not less than two days apart); the French
order of 20 April 2012 (three turns at least three days apart); AS 4454 from MEMORY (three hot days before
each turn). Dates are counted by hand from d1 = 1 May 2026.
"""

from collections.abc import Callable
from typing import Any

import pytest

Diary = Callable[[str], Any]
BUILT = "d0 built stations=1,2\n"


def test_turns_are_spread_every_third_day(diary: Diary) -> None:
    """15 days and 5 turns: the first on the third hot day."""
    told = diary(BUILT + "d1-2 60 61")
    assert "turn" not in told.jobs(2)
    third = diary(BUILT + "d1-3 60 61").jobs(3)
    assert "the first of five turns" in third["turn"].text and not third["turn"].urgent
    after = diary(BUILT + "d1-5 60 61\nd3 turn").jobs(5)
    assert list(after) == ["leave"]
    assert "Next, the second of five turns, on 6 May and by 12 May at the latest." in after["leave"].text


@pytest.mark.parametrize(
    ("turned", "latest"),
    [
        ([3], "12 May"),  # four left in days 12, 13, 14, 15
        ([3, 6], "13 May"),
        ([3, 6, 7], "14 May"),
        ([3, 6, 7, 8], "15 May"),
    ],
)
def test_the_latest_day_leaves_room_for_every_turn_left(diary: Diary, turned: list[int], latest: str) -> None:
    told = diary(BUILT + "d1-9 60 61\n" + "\n".join(f"d{day} turn" for day in turned))
    jobs = told.jobs(9)
    said = " ".join(job.text for job in jobs.values())
    assert f"{latest} at the latest" in said or f"The latest day is {latest}" in said


def test_on_the_latest_day_the_turn_is_urgent(diary: Diary) -> None:
    """One turn made, four left: d11 is a day before the last that fits, d12 is the last."""
    eve = diary(BUILT + "d1-11 60 61\nd3 turn").jobs(11)
    assert not eve["turn"].urgent and "The latest day is 12 May" in eve["turn"].text
    last = diary(BUILT + "d1-12 60 61\nd3 turn").jobs(12)
    assert last["turn"].urgent and "Today is the latest day for it" in last["turn"].text


def test_a_reader_who_wants_the_row_hot_again_after_a_turn_asks_a_day_sooner(diary: Diary) -> None:
    told = diary(BUILT + "d1-9 60 61\nd3 turn\nd6 turn\nd8 turn")
    assert "by 14 May" in told.jobs(9)["leave"].text
    assert "by 13 May" in told.jobs(9, turn_count="recovery")["leave"].text


@pytest.mark.parametrize(("coldest", "turns"), [("55", True), ("54.999999", False)])
def test_no_turn_for_the_rule_unless_it_would_count(diary: Diary, coldest: str, turns: bool) -> None:
    jobs = diary(BUILT + f"d1-5 60 61\nd6 60 {coldest}").jobs(6)
    assert ("turn" in jobs) is turns


def test_a_row_too_hot_is_turned_though_it_does_not_count_and_that_is_said(diary: Diary) -> None:
    jobs = diary(BUILT + "d1-5 60 61\nd6 54 67").jobs(6)
    assert "it will not count: 54 °C at station 1" in jobs["turn"].text


def test_a_station_passed_over_is_read_before_the_turn(diary: Diary) -> None:
    jobs = diary(BUILT + "d1-3 60 61\nd4 60 -").jobs(4)
    assert "turn" not in jobs and "Read station 2" in jobs["probe"].text


def test_days_need_not_be_in_a_row_where_the_policy_says_so(diary: Diary) -> None:
    told = diary(BUILT + "d1-5 60 61\nd6 50 61\nd7-9 60 61\nd3 turn\nd5 turn")
    assert "restart" in told.jobs(9) or "turn" in told.jobs(9) or "leave" in told.jobs(9)
    total = told.jobs(9, continuity="cumulative")
    assert "the third of five turns" in total["turn"].text and "restart" not in total


def test_two_days_between_turns_where_the_text_says_so(diary: Diary) -> None:
    rule = "UK-CATERING-HOUSED-WINDROW"
    jobs = diary(BUILT + "d1-3 61 67\nd2 turn").jobs(3, rule=rule)
    assert "the next turn counts from 4 May" in jobs["turn"].text
    then = diary(BUILT + "d1-4 61 67\nd2 turn").jobs(4, rule=rule)
    assert "It will be the second of three turns." in then["turn"].text


def test_the_french_turns_are_spaced_whatever_the_heat(diary: Diary) -> None:
    rule = "FR-COMPOST-TURNED"
    assert "turn" not in diary(BUILT + "d1-6 50 51").jobs(6, rule=rule)
    assert "the first of three turns" in diary(BUILT + "d1-7 50 51").jobs(7, rule=rule)["turn"].text


def test_a_block_of_three_hot_days_is_ended_by_its_turn(diary: Diary) -> None:
    rule = "AU-AS4454-PASTEUR"
    facts = {"high_risk": "false"}
    assert "turn" not in diary(BUILT + "d1-2 57 58").jobs(2, rule=rule, facts=facts)
    assert (
        "the first of three turns" in diary(BUILT + "d1-3 57 58").jobs(3, rule=rule, facts=facts)["turn"].text
    )
    assert "turn" not in diary(BUILT + "d1-5 57 58\nd3 turn").jobs(5, rule=rule, facts=facts)
    assert (
        "the second of" in diary(BUILT + "d1-6 57 58\nd3 turn").jobs(6, rule=rule, facts=facts)["turn"].text
    )


def test_a_proven_row_asks_for_no_more_turns(diary: Diary) -> None:
    told = diary(BUILT + "d1-15 60 61\n" + "\n".join(f"d{day} turn" for day in (2, 5, 8, 11, 14)))
    jobs = told.jobs(15)
    assert list(jobs) == ["leave"] and "It is proven hot" in jobs["leave"].text


def test_turns_still_missing_after_the_days_keep_the_run_going(diary: Diary) -> None:
    jobs = diary(BUILT + "d1-16 60 61\nd2 turn\nd5 turn\nd8 turn").jobs(16)
    assert "the fourth of five turns" in jobs["turn"].text


def test_the_day_that_broke_the_run_is_named_with_what_restarts_it(diary: Diary) -> None:
    jobs = diary(BUILT + "d1-5 60 61\nd6 60 54.9").jobs(6)
    text = jobs["restart"].text
    assert "station 2 was at 54.9 °C on 6 May" in text
    assert "55 °C or hotter: 15 days in a row with five turns in them" in text
    assert jobs["restart"].rule == "US-503-PFRP-WINDROW"


def test_a_new_run_needs_no_restart(diary: Diary) -> None:
    assert "restart" not in diary(BUILT + "d1-5 60 61\nd6 60 54.9\nd7 60 61").jobs(7)


def test_a_day_without_a_reading_breaks_the_run_and_may_be_written_late(diary: Diary) -> None:
    told = diary(BUILT + "d1-5 60 61\nd7 54 61")
    assert "nothing was read on 6 May; if a reading was taken, write it down" in told.jobs(7)["restart"].text
    late = diary(BUILT + "d1-5 60 61\nd7 60 61\nd6 60 61")  # written after d7
    assert "restart" not in late.jobs(7)


def test_no_turn_can_keep_a_run_that_a_silent_day_has_ended(diary: Diary) -> None:
    assert "turn" not in diary(BUILT + "d1-5 60 61").jobs(7)


def test_the_upper_limit_of_the_organic_rule_keeps_a_turn_from_counting(diary: Diary) -> None:
    """7 CFR 205.203: 131 to 170 °F; 170 is inside, 171 is not."""
    rule, facts = "US-NOP-WINDROW", {"cn_initial": "30"}
    inside = diary(BUILT + "d1-5 F 140 141\nd6 F 140 170").jobs(6, rule=rule, facts=facts)
    assert "It will be" in inside["turn"].text or "Cool" in inside["turn"].text
    outside = diary(BUILT + "d1-5 F 140 141\nd6 F 140 171").jobs(6, rule=rule, facts=facts)
    assert outside["turn"].job == "cool"


@pytest.mark.parametrize("process", ["static", "slow", "worm"])
def test_heaps_that_are_not_turned_get_no_turn(diary: Diary, process: str) -> None:
    jobs = diary(f"d0 built process={process} stations=1,2\nd1-5 60 61").jobs(5, rule=None)
    assert "turn" not in jobs


def test_a_row_pushed_into_another_has_no_jobs(diary: Diary) -> None:
    told = diary(BUILT + "R8 d0 built stations=1\nd1 60 61\nR8 d1 60\nd2 merge R8")
    assert told.jobs(3, row="R8") == {}
    assert told.jobs(3) != {}


def test_a_curing_row_is_not_turned_for_the_rule(diary: Diary) -> None:
    assert "turn" not in diary(BUILT + "d1-4 60 61\nd4 cure").jobs(5)
