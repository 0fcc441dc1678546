"""What an outlook adds to a row's jobs; and when it keeps quiet. The outlooks are made by hand."""

from dataclasses import replace

import numpy as np
import pytest

from turnrow.handbook.book import handbook
from turnrow.heap.outlook import Band, Finding, Outlook, Passing, Score
from turnrow.schedule.ahead import Ahead, chance_by, in_ten, with_ahead
from turnrow.schedule.limits import Limits
from turnrow.schedule.words import advice
from turnrow.yard import days

from .conftest import at

ZONE = days.zone("UTC")
LIMITS = Limits({name: one.amount for name, one in handbook().settings.items()})
NONE = Band(0.0, 0.0, 0.0, 0.0, 0.0)
DAY = at(20).toordinal()
LEAVE = [advice("R7", "leave", "Leave row R7 alone today.", "why")]
SOON = Passing(65.5, 0.8, Band(4.0, 6.0, 15.0, 26.0, 28.0), False)
GOOD = Score(48.0, 9, 2.0, 3.0, 1.9, 0.38, 8 / 9)


def ahead(passing: Passing = SOON, **more: object) -> Ahead:
    outlook = Outlook(
        at_s=days.seconds(at(20, 8)),
        hours=np.arange(1.0, 337.0),
        depths_cm=np.array([60.0]),
        fan=np.full((336, 1, 5), 63.0),
        as_now_c=np.array([63.0]),
        passing=(passing,),
        run_c=55.0,
        run=np.linspace(0.95, 0.3, 14),
        moisture=(),
        water_m3=NONE,
        target=0.55,
        mass_t=None,
        volume_m3=None,
        curing_h=None,
        curing_chance=0.0,
        curing_rule="",
        used="process model",
        why="",
    )
    return replace(Ahead(outlook, DAY, 9, lines=(9,)), **more)  # type: ignore[arg-type]


def told(one: Ahead, jobs: list = LEAVE) -> dict[str, str]:  # type: ignore[type-arg]
    return {job.key: job.text for job in with_ahead(jobs, "R7", one, LIMITS, ZONE)}


def test_the_chance_by_an_hour_follows_the_quantiles() -> None:
    assert chance_by(SOON, 15.0) == pytest.approx(0.8 * 0.5)
    assert chance_by(SOON, 26.0) == pytest.approx(0.8 * 0.9)
    assert chance_by(SOON, 1000.0) == pytest.approx(0.8)
    assert chance_by(SOON, 0.0) == 0.0
    assert chance_by(Passing(65.5, 0.03, None, False), 100.0) == 0.0


def test_a_row_likely_too_hot_by_tomorrow_noon_is_to_be_turned_and_says_it_is_a_forecast() -> None:
    jobs = told(ahead(scores=(GOOD,)))
    assert list(jobs) == ["R7 turn"]
    assert jobs["R7 turn"].startswith("Turn row R7 today or early tomorrow: by its outlook the chance")
    assert "65.5 °C by Thursday noon" in jobs["R7 turn"]
    assert "A forecast, not a reading" in jobs["R7 turn"] and "37 % nearer" in jobs["R7 turn"]
    assert "too few" in told(ahead())["R7 turn"]


@pytest.mark.parametrize(
    "one",
    [
        ahead(Passing(65.5, 0.8, Band(40.0, 50.0, 60.0, 80.0, 90.0), False)),
        ahead(Passing(65.5, 0.4, Band(4.0, 6.0, 15.0, 26.0, 28.0), False)),
        ahead(replace(SOON, now=True)),
        ahead(replace(SOON, limit_c=71.0)),
        ahead(scores=(replace(GOOD, crps=3.3),)),
    ],
    ids=["later", "unlikely", "over already", "another limit", "no skill"],
)
def test_otherwise_the_row_is_left_alone(one: Ahead) -> None:
    assert list(told(one)) == ["R7 leave"]


@pytest.mark.parametrize("job", ["turn", "cool", "wait"])
def test_a_row_with_a_job_for_its_heat_gets_no_second(job: str) -> None:
    jobs = [advice("R7", job, "words", "why")]
    assert with_ahead(jobs, "R7", ahead(), LIMITS, ZONE) == jobs


def test_nothing_is_added_to_a_row_that_may_burn() -> None:
    jobs = [advice("R7", "fire", "Keep off.", "why", urgent=True)]
    fire = (Finding("nearing dry-core fire", "The core dries."),)
    assert with_ahead(jobs, "R7", ahead(findings=fire), LIMITS, ZONE) == jobs


def test_a_run_at_risk_is_said_with_its_day() -> None:
    cool = ahead(Passing(65.5, 0.0, None, False), needed=(DAY + 10, 55.0))
    jobs = told(cool)
    assert list(jobs) == ["R7 run"] and "55 °C or hotter to 30 May" in jobs["R7 run"]
    assert list(told(replace(cool, needed=(DAY + 1, 55.0)))) == ["R7 leave"]
    assert list(told(replace(cool, needed=(DAY + 10, 60.0)))) == ["R7 leave"]
    assert list(told(replace(cool, needed=(DAY + 30, 55.0)))) == ["R7 leave"]


def test_findings_become_jobs_with_the_usual_cautions() -> None:
    found = (
        Finding("nearing dry-core fire", "the core is hot and dry."),
        Finding("suspect probe", "station B reads 12 K below every course", station=1),
    )
    jobs = with_ahead(LEAVE, "R7", ahead(Passing(65.5, 0.0, None, False), findings=found), LIMITS, ZONE)
    assert [(job.job, job.urgent) for job in jobs] == [("watch", True), ("look", False)]
    assert "call the fire service" in jobs[0].text and "station B" in jobs[1].text


def test_an_outlook_of_another_day_or_before_a_newer_line_does_not_speak() -> None:
    assert ahead().speaks(DAY, 9)
    assert not ahead().speaks(DAY + 1, 9) and not ahead().speaks(DAY, 10)


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "less than 1 in 20"),
        (0.06, "1 in 10"),
        (0.5, "5 in 10"),
        (0.94, "9 in 10"),
        (1.0, "more than 19 in 20"),
    ],
)
def test_chances_in_words(chance: float, words: str) -> None:
    assert in_ten(chance) == words
