"""Inputs that once broke a door are read out to it again; and what looks for them finds what it should."""

import time
from pathlib import Path

import pytest

from tools import fuzz
from tools.fuzz import fault, shorter, spoiled
from tools.fuzz_doors import DOORS, Door
from turnrow.yard.wrongs import Refusal, Refused, refuse

KEPT = sorted(fuzz.SPOILED.iterdir())
OF_FILE = {name.replace(" ", "-"): door for name, door in DOORS.items()}


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.name)
def test_what_broke_a_door_once_does_so_no_more(path: Path) -> None:
    assert fault(OF_FILE[path.name.split(".")[0]], path.read_bytes()) == ""


def test_a_hundred_thousand_inputs_are_tried() -> None:
    assert sum(door.count for door in DOORS.values()) >= 100_000


@pytest.mark.parametrize("name", DOORS)
def test_a_door_takes_one_of_its_own_inputs_and_their_number_makes_the_others(name: str) -> None:
    """What is spoiled was whole: otherwise only refusals would be tried."""
    answers = 0
    for seed in DOORS[name].seeds:
        try:
            DOORS[name].takes(seed)
        except Refused:
            continue
        answers += 1
    assert answers
    assert spoiled(DOORS[name], name, 7) == spoiled(DOORS[name], name, 7)
    assert len({spoiled(DOORS[name], name, number) for number in range(20)}) > 10


def door(takes: object) -> Door:
    return Door(takes, (b"abcdefghij",), (b"x",), 1)  # type: ignore[arg-type]


def test_another_error_is_a_fault_and_its_input_is_made_shorter() -> None:
    def takes(data: bytes) -> None:
        if b"d" in data and b"h" in data:
            raise KeyError(data)

    how = fault(door(takes), b"abcdefghij")
    assert how.startswith("KeyError")
    assert shorter(door(takes), b"abcdefghij", how) == b"dh"


def test_a_refusal_is_no_fault_unless_it_says_too_little() -> None:
    def refuses(data: bytes) -> None:
        raise refuse("row 1", "x", "Write a number.")

    def mute(data: bytes) -> None:
        raise Refused([Refusal("", "x", "Write a number.")])

    assert fault(door(refuses), b"") == ""
    assert fault(door(mute), b"") != ""


def test_memory_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fuzz, "MEMORY", 1)
    held = fuzz.peak()
    assert fault(door(lambda data: bytearray(held + 50_000_000)), b"") == "too much memory"


def test_time_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fuzz, "SECONDS", 0.05)
    assert fault(door(lambda data: time.sleep(5)), b"") == "too long"
