"""An outlook in sentences: its own numbers, in the reader's unit, and chances said as such."""

from dataclasses import replace

import numpy as np
import pytest

from turnrow.heap.outlook import Band, Passing, Score, WhatIf
from turnrow.records.outlook_words import Reader, score_words, sentences, what_if_words
from turnrow.schedule.ahead import Ahead
from turnrow.yard.days import moment, zone

from .test_fan import NOW_S, outlook

READER = Reader(zone("Europe/Dublin"))
DAY = moment(NOW_S, READER.zone).toordinal()
SURE = Band(1.0, 2.0, 3.0, 4.0, 5.0)


def ahead(**more: object) -> Ahead:
    return Ahead(replace(outlook(), **more), DAY, 9)  # type: ignore[arg-type]


def said(one: Ahead, reader: Reader = READER) -> str:
    return " ".join(sentences(one, reader))


def test_a_limit_is_passed_with_a_chance_a_day_and_an_interval() -> None:
    passing = (Passing(65.5, 0.72, Band(20.0, 24.0, 48.0, 96.0, 120.0), False),)
    words = said(ahead(passing=passing))
    assert (
        "7 of 10 courses pass 65.5 °C within two weeks, most likely Thursday 28 May in the morning" in words
    )
    assert "between Wednesday 27 May in the morning and Saturday 30 May in the morning" in words
    assert "149.9 °F" in said(ahead(passing=passing), Reader(READER.zone, "F"))


@pytest.mark.parametrize(
    ("passing", "words"),
    [
        (Passing(65.5, 1.0, SURE, True), "It is over 65.5 °C now."),
        (
            Passing(65.5, 0.9, Band(1.0, 1.0, 1.0, 1.1, 1.1), False),
            "9 of 10 courses pass 65.5 °C within two weeks, most likely within hours.",
        ),
        (
            Passing(65.5, 0.0, None, False),
            "It is not likely to pass 65.5 °C within two weeks: fewer than 1 of 20",
        ),
    ],
)
def test_a_limit_passed_already_or_hardly_ever(passing: Passing, words: str) -> None:
    assert words in said(ahead(passing=(passing,)))


def test_a_further_limit_that_hardly_any_course_passes_is_not_spoken_of() -> None:
    first, fire = Passing(65.5, 0.5, SURE, False), Passing(80.0, 0.02, None, False)
    assert "80 °C" not in said(ahead(passing=(first, fire)))
    assert "80 °C" in said(ahead(passing=(first, replace(fire, chance=0.2, hours=SURE))))


def test_the_run_is_told_to_the_day_the_rule_needs() -> None:
    run = np.array([0.9, 0.8, 0.7, 0.4])
    with_day = replace(ahead(run=run), needed=(DAY + 3, 55.0))
    assert "to Friday 29 May, the day its rule needs, in 4 of 10 courses" in said(with_day)
    assert "likely stays at 55 °C for 3 more days" in said(ahead(run=run))


def test_water_mass_and_curing_carry_their_intervals() -> None:
    one = ahead(water_m3=SURE, mass_t=Band(8, 9, 20, 31, 40), volume_m3=Band(30, 31, 45, 60, 61))
    words = said(one)
    assert "about 3.0 m³ of water (8 of 10: 2.0 to 4.0)" in words
    assert "about 20 t (9.0 to 31) and 45 m³ (31 to 60)" in words
    assert "2 of 10 courses do). It may once this holds: an invented one." in words
    soon = ahead(curing_h=Band(24, 48, 96, 144, 168), curing_chance=0.8)
    assert "about Saturday 30 May (8 of 10: Thursday 28 May to Monday 1 June)" in said(soon)


def score(skill: float, count: int = 9) -> Ahead:
    crps = 3.0 * (1 - skill)
    return replace(ahead(), scores=(Score(48.0, count, 2.0, 3.0, crps, skill, 8 / 9),))


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (
            score(0.38),
            "8 of 9 readings fell in the 9-of-10 band; they came 38 % nearer than saying “as now”.",
        ),
        (score(-0.1), "they came 10 % further off"),
        (score(-4.0), "they missed by 5 times as much as saying “as now”."),
        (score(-0.1), "So far it has no skill on this row"),
        (score(0.38, 3), "Fewer than 8 outcomes"),
        (ahead(), "None of this row’s forecasts can be scored yet"),
    ],
)
def test_the_score_is_said_plainly_the_bad_too(one: Ahead, words: str) -> None:
    assert words in " ".join(score_words(one, 9))


def test_a_what_if_says_differences_with_intervals_and_why() -> None:
    one = WhatIf(
        name="Turned now",
        temp_k={24: Band(-6, -5, -3.2, -1, 0), 72: Band(-1, 0.5, 2.0, 4, 5)},
        moisture=Band(-0.05, -0.04, -0.02, -0.01, 0.0),
        passing={65.5: (0.4, 0.7), 71.0: (0.0, 0.01)},
        first_h={65.5: None, 71.0: None},
        reason="heat let off",
    )
    words = what_if_words(one, READER)
    assert words[0] == (
        "After 24 hours 3 °C cooler (8 of 10: −5 to −1.0), after 3 days 2.0 °C warmer (8 of 10: +0.5 to +4)."
    )
    assert words[1] == "4 of 10 courses pass 65.5 °C, 7 of 10 without it."
    assert words[2] == "Its moisture is 2 points drier at the end (8 of 10: 1 to 4)."
    assert words[3] == "Why: turning lets heat off, and it comes back." and len(words) == 4
    assert "6 °F cooler" in what_if_words(one, Reader(READER.zone, "F"))[0]
