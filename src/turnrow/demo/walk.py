"""The probe rounds: what the model says, seen through a probe, a walker and the day's troubles."""

from dataclasses import dataclass
from random import Random

from turnrow.demo.cast import DIGITAL, Probe
from turnrow.demo.heat import Course
from turnrow.demo.plans import RowPlan
from turnrow.yard.entries import Reading, Round
from turnrow.yard.numbers import MICRO

CORE_MM, EDGE_MM = 600, 300
ERROR_CODE = -127 * MICRO
NOISE_C = 0.45
LOGGED = 2  # stations a logger reads, so that nobody walks to them
SWAY_C = 0.4  # of a whole row from one day to the next
SURPRISE_C = 10.0


@dataclass
class Walker:
    """Reads rows; remembers each station's last number to know a surprise from the usual."""

    chance: Random
    last: dict[tuple[str, str], float]

    def round(self, plan: RowPlan, course: Course, age: int, hour: float, probe: Probe) -> Round:
        """One walk over a row at `hour` of the season."""
        readings: list[Reading] = []
        confirmed: list[str] = []
        sway = self.chance.gauss(0, SWAY_C)
        for place, station in enumerate(plan.stations):
            if plan.logger and place < LOGGED:
                continue
            temp = course.at(hour, place) + sway + self.chance.gauss(0, NOISE_C)
            value = self._typed(plan, age, station, seen(temp, probe), readings)
            readings.append(Reading(station, CORE_MM, value))
            known = self.last.get((plan.name, station))
            shown = celsius(value, probe)
            if known is not None and abs(shown - known) > SURPRISE_C and value != ERROR_CODE:
                confirmed.append(station)
            self.last[plan.name, station] = shown
        if plan.process == "slow":
            edge = course.at(hour, 0, edge=True) + self.chance.gauss(0, NOISE_C)
            readings.append(Reading("1", EDGE_MM, seen(edge, probe)))
        return Round(
            row=plan.name,
            unit=probe.unit,
            readings=tuple(readings),
            probe=probe.name,
            confirmed=tuple(confirmed),
        )

    def _typed(self, plan: RowPlan, age: int, station: str, value: int, before: list[Reading]) -> int:
        """What went into the phone: the number seen, unless the story has it otherwise."""
        if (age, station) in plan.forced:
            return plan.forced[age, station]
        if plan.dead == (age, station):
            return ERROR_CODE
        if plan.copied and plan.copied[0] <= age <= plan.copied[1] and station == "3":
            return before[1].value
        return value


def seen(temp_c: float, probe: Probe) -> int:
    """A temperature as the probe's display shows it, millionths of its unit."""
    typed = temp_c * 1.8 + 32 if probe.unit == "F" else temp_c
    return round(typed * MICRO / probe.step) * probe.step


def celsius(value: int, probe: Probe) -> float:
    typed = value / MICRO
    return (typed - 32) / 1.8 if probe.unit == "F" else typed


def walked(plan: RowPlan, age: int, weekday: int) -> bool:
    """Whether the row is read at this age: daily while hot, weekly after, each row on its weekday."""
    if age < 1 or age in plan.missed:
        return False
    if plan.rounds_end is not None and age > plan.rounds_end and plan.cure is not None and age < plan.cure:
        return False
    weekly = weekday == plan.built % 7
    return weekly if plan.cure is not None and age > plan.cure else True


def probe_of(plan: RowPlan, weekday: int) -> Probe:
    """The second hand's display on Tuesdays and Thursdays, else the row's usual one."""
    return DIGITAL if weekday in (1, 3) and plan.probe.unit == "C" else plan.probe
