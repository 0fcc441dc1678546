"""Smoke, injury, spill, complaints and questions reach Today, and only a person ends them."""

from typing import Any

import pytest

from turnrow.yard import entries as e
from turnrow.yard.wrongs import Refused

from .conftest import at


@pytest.fixture
def smoke(yard: Any) -> tuple[Any, str]:
    """A row at 60 °C, and smoke written down on the fourth day: the yard and the job's key."""
    yard.build("R7")
    yard.build("R8")
    for day in range(1, 5):
        yard.read("R7", day, "60", "60")
        yard.read("R8", day, "66", "60")
    line = yard.say(4, e.Incident("smoke and burnt smell at the crown", "R7"), 9).lines[0].number
    return yard, f"line {line} alarm"


def test_smoke_comes_first_and_is_the_only_job_of_its_row(smoke: tuple[Any, str]) -> None:
    yard, key = smoke
    jobs = list(yard.today(4, 10).values())
    assert jobs[0].key == key and jobs[0].urgent and jobs[0].row == "R7"
    assert "Call the fire service" in jobs[0].text and "nobody opens, turns" in jobs[0].text
    assert [job.key for job in jobs if job.row == "R7"] == [key]
    assert [job.key for job in yard.desk.jobs("R7", at(4, 10))] == [key]


def test_neither_time_nor_a_cooler_reading_ends_it(smoke: tuple[Any, str]) -> None:
    yard, key = smoke
    yard.read("R7", 6, "40", "41")
    assert next(iter(yard.today(30))) == key


def test_it_ends_when_a_person_writes_who_said_so_and_not_by_a_tap(smoke: tuple[Any, str]) -> None:
    yard, key = smoke
    yard.desk.refresh()
    with pytest.raises(Refused, match="who said that it is over"):
        yard.desk.tick(key, at(4, 12), "ana")
    with pytest.raises(Refused, match="not put off"):
        yard.desk.tick(key, at(4, 12), "ana", done=False, reason="later")
    yard.desk.tick(key, at(4, 12), "ana", fields={"words": "fire service: cold to the middle, 14:00"})
    assert key not in yard.today(4, 13) and key not in yard.today(9)
    assert any(job.row == "R7" for job in yard.today(5).values())


def test_the_command_asks_who_ended_it_too(smoke: tuple[Any, str]) -> None:
    yard, key = smoke
    yard.desk.refresh()
    with pytest.raises(Refused, match="reason"):
        yard.desk.write("job done", {"key": key}, now=at(4, 12), who="ana")
    yard.desk.write("job done", {"key": key, "reason": "fire service"}, now=at(4, 12), who="ana")
    assert key not in yard.today(4, 13)


def test_a_struck_alarm_is_none(smoke: tuple[Any, str]) -> None:
    yard, key = smoke
    number = int(key.split()[1])
    yard.desk.refresh()
    yard.desk.write("struck", {"line": str(number), "reason": "it was steam"}, now=at(4, 12), who="ana")
    assert key not in yard.today(4, 13)


def test_what_is_chosen_goes_before_what_the_words_say(yard: Any) -> None:
    yard.build("R7")
    for danger, urgent in (("none", False), ("fire", True)):
        line = yard.say(1, e.Incident("a haze over it", "R7", danger=danger), 9).lines[0].number
        assert yard.today(1, 10)[f"line {line} alarm"].urgent is urgent
    line = yard.say(1, e.Incident("the smoker at the gate", "R7", danger="none"), 9).lines[0].number
    assert not yard.today(1, 10)[f"line {line} alarm"].urgent


def test_complaints_incidents_and_questions_wait_for_an_answer(yard: Any) -> None:
    yard.build("R7")
    lines = {
        "open": yard.say(1, e.Complaint("sour smell at the road", "a neighbour"), 9).lines[0].number,
        "answered": yard.say(1, e.Complaint("flies", "a neighbour", done="row capped"), 9).lines[0].number,
        "asks": yard.say(1, e.Note("please fix the hose", "R7"), 9).lines[0].number,
        "tells": yard.say(1, e.Note("steam, smells of earth", "R7"), 9).lines[0].number,
        "belt": yard.say(1, e.Incident("belt torn, nobody hurt"), 9).lines[0].number,
    }
    jobs = yard.today(1, 10)
    there = {name for name, line in lines.items() if f"line {line} alarm" in jobs}
    assert there == {"open", "asks", "belt"}
    assert not any(jobs[f"line {lines[name]} alarm"].urgent for name in there)
    yard.desk.tick(f"line {lines['open']} alarm", at(1, 11), "ana", fields={"words": "rang them"})
    assert f"line {lines['open']} alarm" not in yard.today(2)
    assert f"line {lines['asks']} alarm" not in yard.today(20)
