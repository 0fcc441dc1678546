"""What people write down is read as they mean it. Sentences are invented; what to do first at smoke, injury
and spill is common practice (no source), and local codes and services come before it."""

import pytest

from turnrow.schedule.alarms import asks, danger_of

FIRE = (
    "smoke and burnt smell at the crown",
    "Smoke at the south end of the row",
    "row is smoking",
    "the pile is on fire",
    "flames at the toe",
    "smells of burning",
    "smouldering inside, glowing",
    "smoldering",
    "charred hollow found",
    "embers under the crust",
    "something burns in there",
    "humo en la hilera 4",
    "huele a quemado",
    "fuego en la pila",
    "no flames but smoke at the crown",
    "no smoke yesterday, smoke today",
)
SAFE = (
    "no smoke",
    "no smoke or fire seen",
    "without any smoke",
    "not burning",
    "smoke-free site sign put up",
    "fireweed along the fence",
    "fired up the turner",
    "fire extinguisher checked",
    "fire drill held with the crew",
    "fire service visit, plan shown",
    "fire plan renewed",
    "smoke detector in the shed tested",
    "sin humo",
    "steam at the south end, smells of earth",
    "firewood delivered",
    "72 °C at station 2, dry in the core",
    "the backfire of the tractor scared the horses",
)
INJURY = (
    "Ben cut his hand, hurt badly",
    "driver injured by the belt",
    "ambulance called for a worker",
    "felt dizzy in the building",
    "eyes burning beside row 3",
    "un trabajador herido",
    "trapped under the drum",
)
SPILL = ("leachate ran into the ditch", "diesel spill at the pad", "pond overflowing", "derrame de lixiviado")
UNHURT = ("nobody hurt, belt torn", "no one was injured", "nobody was hurt", "spill kit restocked")


@pytest.mark.parametrize("text", FIRE)
def test_smoke_and_fire_are_recognised(text: str) -> None:
    assert danger_of(text) == "fire"


@pytest.mark.parametrize("text", (*SAFE, *UNHURT))
def test_what_denies_a_danger_or_only_sounds_like_it_is_no_alarm(text: str) -> None:
    assert danger_of(text) == ""


@pytest.mark.parametrize("text", INJURY)
def test_injury_is_recognised(text: str) -> None:
    assert danger_of(text) == "injury"


@pytest.mark.parametrize("text", SPILL)
def test_a_spill_is_recognised(text: str) -> None:
    assert danger_of(text) == "spill"


@pytest.mark.parametrize(
    "text", ["please fix the hose", "Who has the long probe?", "needs more straw", "hay que regar"]
)
def test_a_note_that_asks_for_something_is_recognised(text: str) -> None:
    assert asks(text)


@pytest.mark.parametrize(
    "text", ["Steam at the south end, smells of earth.", "storm in the night", "all quiet"]
)
def test_a_note_that_only_tells_asks_for_nothing(text: str) -> None:
    assert not asks(text)
