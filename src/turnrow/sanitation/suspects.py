"""Readings that may not be the heap's: kept, counted, and flagged with the reason.

impossible    colder than -40 °C or hotter than 200 °C (OWN: coldest winter air a probe meets;
              far above 71-93 °C at which heaps char, below what an open thermocouple shows)
sensor code   -127 °C: a common library's word for "no probe" (DEVICE_DISCONNECTED_C, READ);
              85 °C: a DS18B20's register at power-on (data sheet, MEMORY), flagged only where
              its neighbours in time are far from it
jump          a change faster than a heap makes (setting `jump_c_per_hour`), counted as if
              no step were shorter than an hour, so that a daily round never trips it
copy          two stations with the same changing numbers, moment after moment
frozen        a logger's value that does not change while another station of the row does
freezing      resting at 0 °C, come to slowly: water turning to ice or back, no fault
two values    one station, one depth, one moment, two numbers
other unit    a whole day's readings fit °F where °C is written, or the reverse (`other_unit.py`)
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.sanitation.other_unit import other_unit
from turnrow.sanitation.standing import Suspect
from turnrow.sanitation.suspect_words import (
    DISCONNECTED,
    Words,
    code_words,
    copy_words,
    freezing_words,
    frozen_words,
    impossible_words,
    jump_words,
    two_words,
)
from turnrow.sanitation.traces import Trace, traces_of
from turnrow.yard.days import HOUR_S
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import NINTH, ninths

POWER_ON = ninths(85 * MICRO, "C")
NEAR_S = 6 * HOUR_S  # readings further apart are no logger's: a longer gap ends what was unbroken
FREEZING = NINTH // 2  # how far from 0 °C a freezing heap rests (OWN; 0.1 °C seen on a worm bed)
FREEZING_S = 24 * HOUR_S
LEAST_READINGS = 8  # of an unbroken stretch, to call it frozen or freezing (OWN)
LEAST_CHANGES = 3  # in a copied run: a steady heap repeats itself (OWN)
MOVES = NINTH  # another station moves by more than this while one stands still
MOST_SERIES = 64  # stations compared with one another
CHECKS = ("impossible", "sensor code", "jump", "copy", "frozen", "freezing", "two values", "other unit")


@dataclass(frozen=True)
class Limits:
    """From where a reading is asked about.

    jump    ninths of a millionth °C in an hour
    frozen  seconds without change
    copied  moments in a row at which two stations say the same
    """

    jump: int = 10 * NINTH
    frozen: int = 24 * HOUR_S
    copied: int = 12
    coldest: int = -40 * NINTH
    hottest: int = 200 * NINTH

    @classmethod
    def of(cls, settings: Mapping[str, Amount]) -> "Limits":
        """From the yard's settings `jump_c_per_hour` and `suspect_frozen_hours`, where it has them."""
        jump, frozen = settings.get("jump_c_per_hour"), settings.get("suspect_frozen_hours")
        return cls(
            jump=jump.value * 9 if jump else cls.jump,
            frozen=frozen.value * HOUR_S // MICRO if frozen else cls.frozen,
        )


def find(
    readings: Readings, limits: Limits | None = None, *, turns: Sequence[int] = ()
) -> tuple[Suspect, ...]:
    """What is suspect in one row's readings, by place.

    turns  moments of known turns: a jump within an hour of one is the machine's doing
    """
    limits = limits or Limits()
    every = list(traces_of(readings))
    found: list[Suspect] = []
    unit, sentences = np.zeros(len(readings), dtype=np.bool_), dict[int, str]()
    for doubt in other_unit(readings, turns):
        unit[doubt.index] = True
        sentences |= dict.fromkeys(doubt.index.tolist(), doubt.sentence)
    for one in every:
        coded = _codes(one, limits)
        wrong = (one.heat < limits.coldest) | (one.heat > limits.hottest)
        found += _spans(readings, one, coded, "sensor code", code_words)
        found += _spans(readings, one, wrong & ~coded, "impossible", impossible_words)
        found += _spans(
            readings,
            one,
            _jumps(one, limits, coded | wrong | unit[one.index], turns),
            "jump",
            jump_words(limits.jump),
        )
        for place in np.flatnonzero(unit[one.index]).tolist():
            said = sentences[int(one.index[place])]
            found.append(_suspect(readings, one, place, place, "other unit", said))
        found += _spans(readings, one, _two_values(one), "two values", two_words)
        found += _still(readings, one, every, limits)
    found += _copies(readings, every, limits)
    return tuple(sorted(found, key=lambda s: (s.first, s.last, s.check)))


def marked(readings: Readings, suspects: Sequence[Suspect]) -> NDArray[np.bool_]:
    """(n,) readings that a fault among `suspects` covers: its station and depth, first to last."""
    mask = np.zeros(len(readings), dtype=np.bool_)
    for one in suspects:
        if one.fault:
            span = slice(one.first, one.last + 1)
            same = readings.station[span] == readings.station[one.first]
            mask[span] |= same & (readings.depth[span] == readings.depth[one.first])
    return mask


def _codes(one: Trace, limits: Limits) -> NDArray[np.bool_]:
    """-127 °C anywhere; 85 °C where the nearest other readings, within hours, are all far from it."""
    power_on = one.heat == POWER_ON
    coded: NDArray[np.bool_] = one.heat == DISCONNECTED
    if not power_on.any():
        return coded
    others = np.flatnonzero(~power_on & ~coded)
    places = np.flatnonzero(power_on)
    far = np.ones(len(places), dtype=np.bool_)
    seen = np.zeros(len(places), dtype=np.bool_)
    right = np.searchsorted(others, places)
    for side in (right - 1, right):
        there = (side >= 0) & (side < len(others))
        neighbour = others[np.clip(side, 0, max(len(others) - 1, 0))] if len(others) else places
        near = there & (np.abs(one.at[neighbour] - one.at[places]) <= NEAR_S)
        far &= ~near | (np.abs(one.heat[neighbour] - POWER_ON) > limits.jump)
        seen |= near
    coded[places[far & seen]] = True
    return coded


def _jumps(
    one: Trace, limits: Limits, excluded: NDArray[np.bool_], turns: Sequence[int]
) -> NDArray[np.bool_]:
    """Readings reached faster than a heap changes; of a single spike out and back, the spike alone."""
    jump = np.zeros(len(one.at), dtype=np.bool_)
    kept = np.flatnonzero(~excluded & one.timed)
    if len(kept) < 2:
        return jump
    at, heat = one.at[kept], one.heat[kept]
    hours = np.maximum(np.diff(at), HOUR_S)
    change = np.diff(heat)
    fast = np.abs(change) > limits.jump / HOUR_S * hours
    if not fast.any():
        return jump
    for turn in turns:
        fast &= ~((at[1:] > turn - HOUR_S) & (at[:-1] < turn + HOUR_S))
    back = np.zeros(len(fast), dtype=np.bool_)  # the second step of a spike out and back
    back[1:] = fast[1:] & fast[:-1] & (np.sign(change[1:]) != np.sign(change[:-1]))
    back[1:] &= np.abs(heat[2:] - heat[:-2]) <= limits.jump
    for place in np.flatnonzero(back[1:] & back[:-1]) + 1:  # out, back, out: the middle one is home
        back[place] &= not back[place - 1]
    jump[kept[1:][fast & ~back]] = True
    return jump


def _two_values(one: Trace) -> NDArray[np.bool_]:
    same = (np.diff(one.at) == 0) & (np.diff(one.heat) != 0) & one.timed[1:] & one.timed[:-1]
    two = np.zeros(len(one.at), dtype=np.bool_)
    two[1:] |= same
    two[:-1] |= same
    return two


def _runs(marks: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """First of each stretch of True and the place after it; of steps between readings, which are one fewer,
    that is the last reading."""
    padded = np.concatenate(([False], marks, [False])).astype(np.int8)
    steps = np.diff(padded)
    yield from zip(np.flatnonzero(steps == 1).tolist(), np.flatnonzero(steps == -1).tolist(), strict=True)


def _still(readings: Readings, one: Trace, every: list[Trace], limits: Limits) -> Iterator[Suspect]:
    """Stretches that rest at 0 °C, then stretches of one value while another station moves."""
    logged = (np.diff(one.at) <= NEAR_S) & one.timed[1:] & one.timed[:-1]
    at_zero = np.abs(one.heat) <= FREEZING
    iced = np.zeros(len(one.at), dtype=np.bool_)
    for first, last in _runs(logged & at_zero[1:] & at_zero[:-1]):
        long = one.at[last] - one.at[first] >= FREEZING_S and last - first + 1 >= LEAST_READINGS
        if long and _came_slowly(one, first, last, limits):
            iced[first : last + 1] = True
            yield _suspect(readings, one, first, last, "freezing", freezing_words(one, first, last), False)
    for first, last in _runs(logged & (np.diff(one.heat) == 0)):
        if iced[first] or last - first + 1 < LEAST_READINGS or one.at[last] - one.at[first] < limits.frozen:
            continue
        mover = next((o for o in every if o is not one and _moves(o, one.at[first], one.at[last])), None)
        if mover:
            words = frozen_words(readings, one, first, last, mover)
            yield _suspect(readings, one, first, last, "frozen", words)


def _came_slowly(one: Trace, first: int, last: int, limits: Limits) -> bool:
    """No jump into the stretch nor out of it: a broken lead falls to zero at once."""
    for inside, outside in ((first, first - 1), (last, last + 1)):
        if 0 <= outside < len(one.at):
            hours = max(abs(int(one.at[inside] - one.at[outside])), HOUR_S)
            if abs(int(one.heat[inside] - one.heat[outside])) * HOUR_S > limits.jump * hours:
                return False
    return True


def _moves(other: Trace, first_s: int, last_s: int) -> bool:
    low, high = np.searchsorted(other.at, first_s), np.searchsorted(other.at, last_s, side="right")
    span = other.heat[low:high]
    return len(span) > 1 and int(span.max() - span.min()) > MOVES


def _copies(readings: Readings, every: list[Trace], limits: Limits) -> Iterator[Suspect]:
    for place, one in enumerate(every[:MOST_SERIES]):
        for other in every[place + 1 : MOST_SERIES]:
            mine, theirs = _same_moments(one, other)
            alike = one.heat[mine] == other.heat[theirs]
            if np.count_nonzero(alike) < limits.copied:
                continue
            for first, last in _runs(alike[1:] & alike[:-1]):
                changes = int(np.count_nonzero(np.diff(one.heat[mine[first : last + 1]])))
                if last - first + 1 >= limits.copied and changes >= LEAST_CHANGES:
                    words = copy_words(one, other, last - first + 1)
                    yield _suspect(readings, other, int(theirs[first]), int(theirs[last]), "copy", words)


def _same_moments(one: Trace, other: Trace) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Places in each at which both were read."""
    if np.array_equal(one.at, other.at):
        every = np.arange(len(one.at), dtype=np.intp)
        return every, every
    _, mine, theirs = np.intersect1d(one.at, other.at, return_indices=True)
    return mine, theirs


def _spans(
    readings: Readings, one: Trace, wrong: NDArray[np.bool_], check: str, words: Words
) -> Iterator[Suspect]:
    """One suspect for each unbroken stretch of wrong readings of a station."""
    if not wrong.any():
        return
    for first, after in _runs(wrong):
        yield _suspect(readings, one, first, after - 1, check, words(readings, one, first, after - 1))


def _suspect(
    readings: Readings, one: Trace, first: int, last: int, check: str, words: str, fault: bool = True
) -> Suspect:
    return Suspect(one.station, int(one.index[first]), int(one.index[last]), check, words, fault)
