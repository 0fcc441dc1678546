"""What is said of readings that may not be the heap's: a sentence for each kind of suspicion."""

from collections.abc import Callable

from turnrow.sanitation.traces import Trace
from turnrow.yard.days import HOUR_S
from turnrow.yard.numbers import MICRO, plain
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import degrees, ninths

DISCONNECTED = ninths(-127 * MICRO, "C")
Words = Callable[[Readings, Trace, int, int], str]


def _shown(readings: Readings, one: Trace, place: int) -> str:
    at = int(one.index[place])
    return degrees(int(readings.value[at]), readings.unit_of(at))


def _hours(one: Trace, first: int, last: int) -> str:
    return str(int(one.at[last] - one.at[first]) // HOUR_S)


def _called(one: Trace, beside: Trace) -> str:
    return one.station if one.station != beside.station else f"{one.station} at another depth"


def _times(first: int, last: int) -> str:
    return "once" if first == last else f"{last - first + 1} times in a row"


def code_words(readings: Readings, one: Trace, first: int, last: int) -> str:
    means = "that no probe answered" if one.heat[first] == DISCONNECTED else "that it had just lost its power"
    said = _shown(readings, one, first)
    return f"Station {one.station} said {said} {_times(first, last)}: a common sensor's way to say {means}."


def impossible_words(readings: Readings, one: Trace, first: int, last: int) -> str:
    said = (
        f"Station {one.station} said {_shown(readings, one, first)} {_times(first, last)}, which no heap has."
    )
    if one.heat[first] > 0:
        said += (
            " Look from afar first: if it is not the probe it is fire. Do not open the row; call for help."
        )
    return said


def jump_words(most: int) -> Words:
    """most: ninths of a millionth of a degree an hour"""

    def words(readings: Readings, one: Trace, first: int, last: int) -> str:
        before = _shown(readings, one, first - 1)
        minutes = int(one.at[first] - one.at[first - 1]) // 60
        return (
            f"Station {one.station} went from {before} to {_shown(readings, one, first)} in {minutes} min; "
            f"a heap changes by {plain(round(most / 9))} °C an hour at most, unless it is turned or "
            "the probe is moved."
        )

    return words


def two_words(readings: Readings, one: Trace, first: int, last: int) -> str:
    said = " and ".join(_shown(readings, one, place) for place in range(first, min(last + 1, first + 3)))
    return f"Station {one.station} has {said} for one moment."


def freezing_words(one: Trace, first: int, last: int) -> str:
    return (
        f"Station {one.station} rested at 0 °C for {_hours(one, first, last)} h: water freezing or thawing, "
        "not a stuck probe."
    )


def frozen_words(readings: Readings, one: Trace, first: int, last: int, mover: Trace) -> str:
    return (
        f"Station {one.station} said {_shown(readings, one, first)} without any change for "
        f"{_hours(one, first, last)} h while station {_called(mover, one)} moved over a degree."
    )


def copy_words(one: Trace, other: Trace, moments: int) -> str:
    return (
        f"Station {_called(other, one)} says what station {one.station} says at "
        f"{moments} moments in a row: one may be a copy of the other."
    )
