"""A round in the other unit is asked about; heaps that heat, cool, freeze and burn are not.

°F and °C by their definition: 212 °F is 100 °C, 140 °F is 60 °C, 32 °F is 0 °C. The courses are ours: a fresh
row passes 60 °C within three days, and a turn takes 10 to 40 K for hours (common practice, MEMORY).
"""

import numpy as np
import pytest

from turnrow.sanitation.other_unit import other_unit
from turnrow.sanitation.suspects import find
from turnrow.yard import readings
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import UNITS, Unit

DAY = 86_400
START = 1_777_800_000  # in the morning of 3 May 2026


def day(n: int, unit: Unit, *values: float, days: int = 1, at: int = 0) -> Readings:
    """One round of stations A, B, C ... on day n."""
    count = len(values)
    return Readings(
        at=np.full(count, START + n * DAY + at, np.int64),
        day=np.full(count, 739_739 + n, np.int32),
        station=np.arange(count, dtype=np.int32),
        depth=np.full(count, 600, np.int32),
        value=np.array([round(v * 1_000_000) for v in values], np.int64),
        unit=np.full(count, UNITS.index(unit), np.int8),
        timed=np.ones(count, np.bool_),
        line=np.full(count, n + 1, np.int32),
        item=np.arange(1, count + 1, dtype=np.int32),
        stations=tuple("ABCDEFGH"[:count]),
    )


def doubted(*rounds: Readings, turns: tuple[int, ...] = ()) -> list[tuple[int, str]]:
    """(line, likely unit) of what is asked about."""
    every = readings.together(rounds)
    return [(int(every.line[one.index[0]]), one.likely) for one in other_unit(every, turns)]


WARM = (day(0, "C", 57, 59, 61), day(1, "C", 58, 60, 62))


def test_fahrenheit_written_as_celsius_is_asked_about() -> None:
    assert doubted(*WARM, day(2, "C", 136, 140, 143)) == [(3, "F")]


def test_celsius_written_as_fahrenheit_is_asked_about() -> None:
    usual = (day(0, "F", 136, 140, 143), day(1, "F", 136, 141, 143))
    assert doubted(*usual, day(2, "F", 58, 60, 61)) == [(3, "C")]


def test_a_first_round_above_all_heaps_is_asked_about() -> None:
    assert doubted(day(0, "C", 136, 140, 143)) == [(1, "F")]
    assert doubted(day(0, "C", 136, 140, 143), day(1, "C", 137, 140, 143)) == [(1, "F"), (2, "F")]


def test_one_station_cool_among_them_is_of_the_same_round() -> None:
    assert doubted(*WARM, day(2, "C", 136, 140, 95, 78)) == [(3, "F")]


def test_the_sentence_says_what_it_would_be_and_what_was_there() -> None:
    (one,) = other_unit(readings.together([*WARM, day(2, "C", 136.4, 140, 143.6)]))
    for part in ("136.4 °C to 143.6 °C", "58.0 °C to 62.0 °C", "60.0 °C before", "fire service"):
        assert part in one.sentence


@pytest.mark.parametrize(
    ("name", "rounds"),
    [
        ("a fresh row: 20 °C, two days later 68 °C, 20 as °F", (day(0, "C", 20, 21), day(2, "C", 68, 69))),
        ("a fresh row that passes 80 °C", (day(0, "C", 28, 29), day(3, "C", 81, 84))),
        ("smouldering: 78 °C, then 95 °C everywhere", (day(0, "C", 76, 78, 79), day(1, "C", 95, 97, 99))),
        ("one hot hollow among usual stations", (*WARM, day(2, "C", 58, 60, 118))),
        ("one station that burns and is alone read", (*WARM, day(2, "C", 125 - 30))),
        ("a row at its limit", (*WARM, day(2, "C", 84, 85, 85))),
        ("fire that no °F explains", (*WARM, day(2, "C", 230, 250, 260))),
        ("a row in °F that cools in a week", tuple(day(n, "F", 150 - 9 * n, 152 - 9 * n) for n in range(9))),
        ("a row in °F read after two weeks", (day(0, "F", 140, 143), day(14, "F", 58, 61))),
        ("a row in °F, frozen", (day(0, "F", 34, 36), day(1, "F", 31, 31))),
        ("one station in °F that fell", (day(0, "F", 140, 143), day(1, "F", 58, 143))),
        ("kelvin", (day(0, "K", 330, 331), day(1, "K", 300, 300))),
    ],
)  # fmt: skip
def test_what_heaps_do_is_not_asked_about(name: str, rounds: tuple[Readings, ...]) -> None:
    assert doubted(*rounds) == []


def test_a_fall_after_a_turn_is_the_turns() -> None:
    rounds = (day(0, "F", 136, 140, 143), day(1, "F", 58, 60, 61))
    assert doubted(*rounds) == [(2, "C")]
    assert doubted(*rounds, turns=(START + DAY // 2,)) == []


def test_they_are_suspect_at_every_station_and_named_once() -> None:
    every = readings.together([*WARM, day(2, "C", 136, 140, 143)])
    found = [one for one in find(every) if one.check == "other unit"]
    assert [one.station for one in found] == ["A", "B", "C"] and all(one.fault for one in found)
    assert not [one for one in find(every) if one.check == "jump"]


@pytest.mark.parametrize("seed", range(20))
def test_sound_rows_drawn_at_random_are_never_asked_about(seed: int) -> None:
    """200 days of rows that heat at up to 25 K a day, cool, are turned, and rest between 5 and 84 °C."""
    drawn = np.random.default_rng(seed)
    heat, rounds = drawn.uniform(5, 30, 4), []
    for n in range(200):
        heat = np.clip(heat + drawn.uniform(-8, 25 if heat.mean() < 45 else 6, 4), 5, 84)
        rounds.append(day(n, "C", *heat.tolist()) if seed % 2 else day(n, "F", *(heat * 1.8 + 32).tolist()))
    assert doubted(*rounds) == []
