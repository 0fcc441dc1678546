"""An outlook in sentences: its own numbers, in the reader's unit, and chances said as such."""

from dataclasses import replace

import numpy as np
import pytest

from turnrow.heap.outlook import Band, Passing, Score, WhatIf
from turnrow.heap.scored import Choice
from turnrow.records.outlook_judged import choice_words, judged, score_words
from turnrow.records.outlook_words import Reader, sentences, what_if_words
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
        "The chance that it passes 65.5 °C within two weeks is 7 in 10; if so, most likely Thursday" in words
    )
    assert "between Wednesday 27 May in the morning and Saturday 30 May in the morning" in words
    assert "149.9 °F" in said(ahead(passing=passing), Reader(READER.zone, "F"))


@pytest.mark.parametrize(
    ("passing", "words"),
    [
        (Passing(65.5, 1.0, SURE, True), "It is over 65.5 °C now."),
        (
            Passing(65.5, 0.9, Band(1.0, 1.0, 1.0, 1.1, 1.1), False),
            "The chance that it passes 65.5 °C within two weeks is 9 in 10; if so, most likely within hours.",
        ),
        (
            Passing(65.5, 0.0, None, False),
            "It is not likely to pass 65.5 °C within two weeks: the chance is less than 1 in 20.",
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
    assert "or hotter to Friday 29 May, the day its rule needs, is 4 in 10." in said(with_day)
    assert "stays at 55 °C or hotter for 3 more days is 7 in 10." in said(ahead(run=run))
    assert "coldest place" not in said(ahead(run=run, as_now_c=np.array([20.0, 30.0])))  # nothing to keep


def test_water_mass_and_curing_carry_their_intervals() -> None:
    one = ahead(water_m3=SURE, mass_t=Band(8, 9, 20, 31, 40), volume_m3=Band(30, 31, 45, 60, 61))
    words = said(one)
    assert "about 3.0 m³ of water (8 of 10: 2.0 to 4.0)" in words
    assert "about 20 t (9.0 to 31) and 45 m³ (31 to 60)" in words
    assert "the chance is 2 in 10. It may once this holds: an invented one." in words
    soon = ahead(curing_h=Band(24, 48, 96, 144, 168), curing_chance=0.8)
    assert "about Saturday 30 May (8 of 10: Thursday 28 May to Monday 1 June)" in said(soon)


def test_of_a_row_that_cures_already_it_is_not_said_when_curing_starts() -> None:
    one = ahead()
    assert "Curing" in said(one) and "Curing" not in said(replace(one, curing=True))


def score(skill: float, count: int = 9) -> Ahead:
    crps = 3.0 * (1 - skill)
    return replace(ahead(), scores=(Score(48.0, count, 2.0, 3.0, crps, skill, 8 / 9),))


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (
            score(0.38),
            "two days ahead 8 of 9 readings fell within both bands (9 in 10 should), 38 % nearer than saying",
        ),
        (score(-0.1), "10 % further off than saying “as now”"),
        (score(-4.0), "5 times as far off as saying “as now”."),
        (score(-0.1), "Nothing is forecast for this row"),
        (score(0.38, 3), "Fewer than 8 outcomes"),
        (ahead(), "None of this row’s forecasts can be scored yet"),
    ],
)
def test_the_score_is_said_plainly_the_bad_too(one: Ahead, words: str) -> None:
    assert words in " ".join(score_words(one, 9))


def chosen(used: str, model: float, log: float, count: int = 20, skill: float = 0.4) -> str:
    one = replace(score(skill), choice=Choice(used, "an invented why", count, model, log))
    return choice_words(one, 9, READER)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            chosen("process model", 1.6, 5.0),
            "The model of the heap speaks: on the last 9 mornings it was off",
        ),
        (
            chosen("statistical", 3.3, 2.7),
            "For three days the row’s own past readings speak, then more and more",
        ),
        (
            chosen("both", 2.0, 1.9),
            "For three days the model of the heap and the row’s own past readings, even",
        ),
        (
            chosen("process model", 1.0, 2.0, 9),
            "too few past outcomes tell it from the row’s own past readings, 9 of the 12",
        ),
        (chosen("statistical", 1.0, 2.0, 3), "the model was not tried on a heap so small."),
        (chosen("statistical", 1.0, 2.0), "the model was not tried on a heap so small; on the last 9"),
        (
            chosen("both", 2.0, 1.9, skill=-0.2),
            "Neither the model of the heap nor the row’s own past readings did better than",
        ),
    ],
)
def test_who_speaks_is_said_with_both_scores(words: str, said: str) -> None:
    assert said in words


def test_both_scores_stand_in_the_readers_unit() -> None:
    one = replace(score(0.4), choice=Choice("statistical", "", 20, 3.0, 2.0))
    assert "they were off by 2.0 °C, the model by 3.0 °C" in choice_words(one, 9, READER)
    assert "the model by 5.4 °F" in choice_words(one, 9, Reader(READER.zone, "F"))
    assert "chosen on these same mornings" in score_words(one, 9)[-1]
    assert judged(one, None, READER) == ()


def rising(to: float, spread: float) -> Ahead:
    """A cold row of one depth that rises evenly to `to` in two weeks."""
    middle = 20.0 + (to - 20.0) * np.arange(1.0, 337.0) / 336.0
    fan = np.stack([middle + spread * z for z in (-2, -1, 0, 1, 2)], axis=1)[:, None]
    return ahead(fan=fan, depths_cm=np.array([60.0]), as_now_c=np.array([20.0]), passing=())


@pytest.mark.parametrize(
    ("one", "words"),
    [
        # 55 °C is passed 35/40 of the way up, 294 h on; the edges of 8 of 10 at 30/40 and 40/40
        (rising(60.0, 5.0), "It likely reaches 55 °C about Sunday 7 June"),
        (rising(60.0, 7.0), "perhaps not within two weeks)."),
        (rising(50.0, 7.0), "It may reach 55 °C within two weeks, but more likely does not."),
        (rising(30.0, 4.0), "at any hour the chance is 19 in 20 that it is under 38 °C."),
    ],
)
def test_of_a_row_not_hot_yet_it_is_said_whether_it_gets_there(one: Ahead, words: str) -> None:
    assert words in sentences(one, READER)[0]


def test_a_row_hot_at_some_of_its_stations_is_not_said_to_be_getting_hot() -> None:
    """The newest reading of a depth is the mean of its stations: the fan tells that some are hotter."""
    one = rising(60.0, 8.0)
    assert "reaches" in sentences(one, READER)[0]
    fan = one.outlook.fan.copy()
    fan[..., 3:] = 62.0
    some = replace(one, outlook=replace(one.outlook, fan=fan, as_now_c=np.array([45.0])))
    assert "reach" not in " ".join(sentences(some, READER))


def test_of_the_limits_it_is_over_only_the_highest_is_said() -> None:
    hot = Passing(65.5, 0.9, SURE, True), Passing(71.0, 0.9, SURE, True), Passing(80.0, 0.2, SURE, False)
    told = sentences(ahead(passing=hot), READER)
    assert told[0] == "It is over 71 °C now." and "65.5" not in " ".join(told) and "80 °C" in told[1]


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
        "After 24 hours 3 °C cooler (8 of 10: −5 to −1), after 3 days 2 °C warmer (8 of 10: 0 to +4)."
    )
    assert words[1] == "The chance that it passes 65.5 °C is 4 in 10, without it 7 in 10."
    assert words[2] == "At the end of the outlook it is 2 points of moisture drier (8 of 10: 1 to 4)."
    assert words[3] == "Why: turning lets heat off, and it comes back." and len(words) == 4
    assert "passes 65.5" not in " ".join(what_if_words(one, READER, 65.5))  # it is over that already
    assert "6 °F cooler" in what_if_words(one, Reader(READER.zone, "F"))[0]
    small = Band(-0.4, -0.4, 0.0, 0.9, 1.0)
    same = what_if_words(replace(one, temp_k={24: small}, passing={}, reason="no difference"), READER)
    assert same[0] == "After 24 hours as warm as without (8 of 10: −0.4 to +0.9)."
    assert same[-1].startswith("After 24 hours the difference is smaller than")


@pytest.mark.parametrize(("low", "high", "first"), [(0.45, 0.66, True), (0.50, 0.60, False)])
def test_where_moisture_is_not_known_the_advice_is_to_squeeze_first(
    low: float, high: float, first: bool
) -> None:
    """An 80 % range of 21 points says nothing of water; one of 10 is as good as a grab sample tells."""
    moisture = (Band(low - 0.02, low, 0.55, high, high + 0.02),)
    words = said(ahead(moisture=moisture, water_m3=Band(0.0, 0.0, 0.0, 6.0, 8.0)))
    assert ("Squeeze or sample it first" in words) is first
    assert ("It likely needs no water" in words) is not first
