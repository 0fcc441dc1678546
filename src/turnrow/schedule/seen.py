"""What one row shows today: its newest round station by station, its last turn, its hand tests."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from turnrow.sanitation.standing import Suspect
from turnrow.sanitation.suspects import marked
from turnrow.schedule.limits import Limits
from turnrow.schedule.words import ago
from turnrow.yard import days
from turnrow.yard.entries import Amount, Measured, Round, Turned, Watered
from turnrow.yard.history import Event, History
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import Unit, degrees

UNIT = "other unit"
NONSENSE = ("sensor code", "impossible", UNIT)  # a number no heap ever had, or one in another unit
NEVER = -1


@dataclass(frozen=True)
class Spot:
    """The newest reading of one station at one depth, on the newest day read."""

    station: str
    depth_mm: int
    value: int
    unit: Unit
    heat: int  # ninths
    line: int
    suspect: str = ""  # the check that asks about it
    sentence: str = ""

    @property
    def words(self) -> str:
        return f"{degrees(self.value, self.unit)} at station {self.station}"


@dataclass(frozen=True)
class HandTest:
    amount: Amount
    at: int
    day: int
    line: int


@dataclass(frozen=True)
class Seen:
    """One row on one day.

    spots     newest reading per station and depth on the newest day read, stations as laid out
    missing   stations of the row without a reading on that day, passed over in silence or not
    stale     the newest day is more than two rounds back: what it says is not today's
    after     the row was turned or watered after its newest reading
    """

    row: str
    today: int
    process: str
    built_day: int | None
    read_day: int | None
    every: int  # days between rounds
    spots: tuple[Spot, ...]
    missing: tuple[str, ...]
    turn: Event | None
    after_turn: bool
    tests: dict[str, HandTest]
    high_day: tuple[int, ...]  # days with a reading, oldest first
    high: tuple[int, ...]  # the hottest reading of each [ninths]
    curing: Event | None
    watered: Event | None

    @property
    def age(self) -> int:
        """Days since the newest reading; -1 when there is none."""
        return NEVER if self.read_day is None else max(self.today - self.read_day, 0)

    @property
    def stale(self) -> bool:
        return self.read_day is not None and self.age > 2 * self.every

    @property
    def sound(self) -> tuple[Spot, ...]:
        """The spots but those whose number is a sensor's, not a heap's."""
        return tuple(spot for spot in self.spots if spot.suspect not in NONSENSE)

    @property
    def hottest(self) -> Spot | None:
        return max(self.sound, key=lambda spot: spot.heat, default=None)

    @property
    def coldest(self) -> Spot | None:
        return min(self.sound, key=lambda spot: spot.heat, default=None)

    @property
    def read_lines(self) -> tuple[int, ...]:
        return tuple(dict.fromkeys(spot.line for spot in self.spots))

    @property
    def turned_today(self) -> bool:
        return self.turn is not None and self.turn.day == self.today

    def test(self, quantity: str, within: int) -> HandTest | None:
        """The newest hand test of the last `within` days; none once the row was watered after it."""
        found = self.tests.get(quantity)
        if found is None or self.today - found.day > within:
            return None
        return None if self.watered and self.watered.at >= found.at else found

    def when(self) -> str:
        """How old the newest reading is, to stand after it: "", ", read yesterday"."""
        return "" if self.read_day is None or self.age == 0 else f", read {ago(self.read_day, self.today)}"


def seen(history: History, suspects: Sequence[Suspect], limits: Limits, now_s: int) -> Seen:
    """What `history` shows at `now_s`; events after it should have been left out."""
    today = days.day_of(now_s, history.zone)
    readings = history.readings
    read_day = int(readings.day[-1]) if len(readings) else None
    turn = history.turns[-1] if history.turns else None
    curing = history.curing
    spots = _spots(readings, suspects)
    named = {spot.station for spot in spots}
    unsound = marked(readings, [one for one in suspects if one.check in NONSENSE])
    high_day, high = _highs(readings.pick(~unsound) if unsound.any() else readings)
    built = history.built
    return Seen(
        row=history.row,
        today=today,
        process=built[1].process if built else "turned",
        built_day=built[0].day if built else (history.events[0].day if history.events else None),
        read_day=read_day,
        every=limits.days("round_every_days_curing" if curing else "round_every_days"),
        spots=spots,
        missing=tuple(name for name in history.stations if name not in named) if spots else (),
        turn=turn,
        after_turn=_follows(turn, readings),
        tests=_tests(history),
        high_day=high_day,
        high=high,
        curing=curing,
        watered=_last_water(history),
    )


def _spots(readings: Readings, suspects: Sequence[Suspect]) -> tuple[Spot, ...]:
    if not len(readings):
        return ()
    n = len(readings)
    first = int(np.searchsorted(readings.day, readings.day[-1]))
    asked: dict[int, Suspect] = {}
    for suspect in suspects:
        if suspect.fault:
            for index in range(max(suspect.first, first), min(suspect.last, n - 1) + 1):
                if readings.stations[int(readings.station[index])] == suspect.station:
                    asked[index] = suspect
    newest = {(int(readings.station[i]), int(readings.depth[i])): i for i in range(first, n)}
    spots = []
    for (station, depth), i in sorted(newest.items()):
        doubt = asked.get(i)
        spots.append(
            Spot(
                station=readings.stations[station],
                depth_mm=depth,
                value=int(readings.value[i]),
                unit=readings.unit_of(i),
                heat=int(readings.heat[i]),
                line=int(readings.line[i]),
                suspect=doubt.check if doubt else "",
                sentence=doubt.sentence if doubt else "",
            )
        )
    return tuple(spots)


def _highs(readings: Readings) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Days with a reading and the hottest reading of each [ninths]."""
    if not len(readings):
        return (), ()
    which, starts = np.unique(readings.day, return_index=True)
    return tuple(which.tolist()), tuple(np.maximum.reduceat(readings.heat, starts).tolist())


def _follows(turn: Event | None, readings: Readings) -> bool:
    """A turn known only by its date follows what was read that day."""
    if turn is None or not len(readings):
        return turn is not None
    if not turn.timed or not bool(readings.timed[-1]):
        return turn.day >= int(readings.day[-1])
    return turn.at >= int(readings.at[-1])


def _tests(history: History) -> dict[str, HandTest]:
    return {
        what.quantity: HandTest(what.amount, event.at, event.day, event.line.number)
        for event, what in history.of(Measured)
    }


def _last_water(history: History) -> Event | None:
    wet = [event for event, _ in history.of(Watered)]
    wet += [event for event, what in history.of(Turned) if what.water is not None]
    return max(wet, key=lambda event: (event.at, event.line.number), default=None)


def probes(history: History) -> dict[str, int]:
    """The probes that read this row's rounds, each with the newest line that names it."""
    return {what.probe: event.line.number for event, what in history.of(Round) if what.probe}
