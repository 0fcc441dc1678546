"""The jobs of a row never contradict each other on a thousand made-up row-days; planted ones are found.

What may not stand beside what is common practice (no source): nobody opens a row that is to be kept shut.
"""

import random
from collections.abc import Callable
from typing import Any

import pytest

from tests.contradictions import RULES, contradictions
from turnrow.schedule.agreed import SHUT, agreed
from turnrow.schedule.words import advice

Diary = Callable[[str], Any]
ROW_DAYS = 1_000
NUMBERS = (
    -127,
    85,
    999,
    -0.5,
    5,
    12,
    25,
    38,
    45,
    54.9,
    55,
    58,
    61,
    64,
    65.5,
    66,
    68,
    70.9,
    71,
    74,
    79.9,
    80,
    83,
)


def made_up(seed: int) -> tuple[str, int]:
    """A row's diary over three to forty days, with whatever a yard may do to it, and its last day."""
    chance = random.Random(seed)
    days, warm = chance.randint(1, 40), chance.choice((20, 45, 58, 63, 68))
    process = chance.choice(("turned",) * 6 + ("static", "slow", "worm"))
    parts = chance.choice(("", " parts=dairy_manure:40t,straw:12t"))
    lines = [f"d0 built stations=1,2 process={process}{parts}"]
    for day in range(1, days + 1):
        if chance.random() < 0.85:
            values = [
                chance.choice(NUMBERS) if chance.random() < 0.12 else round(warm + chance.gauss(0, 4), 1)
                for _ in range(2)
            ]
            read = " ".join("-" if chance.random() < 0.05 else str(value) for value in values)
            if read != "- -":
                lines.append(f"d{day} {read}")
        for word, often in (
            ("turn", 0.15),
            ("water 2 m3", 0.05),
            (f"squeeze {chance.randint(1, 5)}", 0.15),
            (f"moisture {chance.randint(20, 75)} %", 0.1),
            ("cn 60", 0.02),
            ("height 0.9 m", 0.02),
            ("cure", 0.01),
        ):
            if chance.random() < often:
                lines.append(f"d{day} {word}")
        warm = min(max(warm + chance.gauss(0, 3), 5), 82)
    return "\n".join(lines), days


def test_no_row_day_of_a_thousand_has_orders_that_contradict_each_other(diary: Diary) -> None:
    bad, seen = {}, set()
    for seed in range(ROW_DAYS):
        text, last = made_up(seed)
        chance = random.Random(seed)
        rule = chance.choice(("US-503-PFRP-WINDROW", "US-NOP-WINDROW", "US-FSMA-TURNED", "FR-COMPOST-TURNED"))
        jobs = list(diary(text).jobs(last, rule=rule, facts={"cn_initial": "60"}).values())
        assert jobs
        seen |= {job.job for job in jobs}
        if found := contradictions(jobs):
            bad[seed] = (found, [job.text for job in jobs])
    assert bad == {}
    assert seen >= {
        "fire",
        "cool",
        "turn",
        "watch",
        "probe",
        "water",
        "hold water",
        "restart",
        "look",
        "cure",
        "leave",
    }


PLANTED = {
    "opened and kept shut": [("turn", "Turn row R."), ("probe", f"Read it. {SHUT}")],
    "worked on while it may burn": [("fire", "Keep away."), ("water", "Water it.")],
    "left alone and worked on": [("leave", "Leave it."), ("turn", "Turn it.")],
    "cured and worked on": [("cure", "Move it."), ("turn", "Turn it.")],
    "cured and begun anew": [("cure", "Move it."), ("restart", "Begin.")],
    "cured and not likely": [("cure", "Move it."), ("look", "By its outlook curing is not likely.")],
    "watered and held dry": [("hold water", "No water."), ("look", "Too dry: water it while turning.")],
    "turned twice": [("turn", "Turn it."), ("wait", "Wait with the turn.")],
    "a turn to cool it that warms it": [("cool", "Turn it with water."), ("look", "A turn makes it warmer.")],
    "said twice": [("probe", "Read station 1."), ("look", "Read station 1.")],
}


@pytest.mark.parametrize("name", RULES)
def test_a_planted_contradiction_is_found(name: str) -> None:
    jobs = [advice("R", job, text, "", key=f"{job} {n}") for n, (job, text) in enumerate(PLANTED[name])]
    assert any(one.startswith(name) for one in contradictions(jobs))
    assert not any(contradictions([job]) for job in jobs)


def test_a_broken_sensor_keeps_the_row_shut_until_it_is_read_again(diary: Diary) -> None:
    """66 °C at one station and -127 at the other: read first, and the turn is named as what comes after."""
    jobs = diary("d0 built stations=1,2\nd1 60 60\nd2 66 -127").jobs(2)
    assert "turn" not in jobs and "turn it after that" in jobs["probe"].text and SHUT in jobs["probe"].text


def test_a_row_so_hot_that_it_is_acted_on_is_cooled_whatever_a_broken_sensor_says(diary: Diary) -> None:
    jobs = diary("d0 built stations=1,2\nd1 60 60\nd2 73 -127").jobs(2)
    assert jobs["turn"].job == "cool" and SHUT not in jobs["probe"].text


def test_what_can_stand_together_is_left_as_it_is() -> None:
    jobs = [advice("R", "turn", "Turn it.", ""), advice("R", "probe", "Read it.", "")]
    assert agreed(jobs) == jobs
