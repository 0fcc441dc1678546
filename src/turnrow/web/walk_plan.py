"""What a phone takes along on a walk: a row's stations and depths, what was read last, what to expect, and
what to say at once where it is too hot."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel

from turnrow.foreman.desk import Desk
from turnrow.foreman.outlooks import RowOutlook
from turnrow.heap.tidied import UNSAID_CM
from turnrow.sanitation.suspects import Limits as Odd
from turnrow.schedule import heat
from turnrow.schedule.limits import Limits
from turnrow.schedule.seen import seen
from turnrow.web.rounds import SURPRISE
from turnrow.yard import days
from turnrow.yard.entries import Round
from turnrow.yard.history import History
from turnrow.yard.numbers import plain
from turnrow.yard.readings import NO_DEPTH
from turnrow.yard.temperature import NINTH, Unit, degrees

MOST_STATIONS = 200
LATELY = 3  # newest days with a reading whose span is what is expected, where no outlook speaks
NEAR_CM = 5.0  # an outlook's depth speaks for readings so near to it
MIDDLE, LOW, HIGH = 2, 1, 3  # places of 1 in 2, 1 in 10 and 9 in 10 among the outlook's quantiles
LOCAL = "The local fire code and the fire service come before anything said here."


class LastRead(BaseModel):
    """The newest reading: `heat` in ninths of a millionth of a degree Celsius, `text` as typed."""

    heat: int
    text: str
    unit: Unit
    day: str  # ISO


class Expected(BaseModel):
    """Between what the number is expected, and by what; all in ninths of a millionth of a degree Celsius."""

    low: int
    middle: int
    high: int
    by: str  # "outlook" or "readings"


class Spot(BaseModel):
    """One station at one depth, in cm as text; "" where no depth is said."""

    station: str
    depth: str
    last: LastRead | None
    expected: Expected | None


class TooHot(BaseModel):
    """What is said at once of a reading at `heat` or over it; {heat}, {station} and {limit} in `text` are
    filled in on the phone, in the walker's own unit."""

    heat: int
    head: str
    text: str
    why: str


class Plan(BaseModel):
    """A row's walk. `usual` are the depths of its newest day, `depths` all it was read at; a number over
    `surprise` from what is expected, or beyond `coldest` and `hottest`, is asked about."""

    row: str
    unit: Unit
    who: str
    made: str  # ISO, by the yard's clock
    stations: list[str]
    depths: list[str]
    usual: list[str]
    spots: list[Spot]
    warnings: list[TooHot]
    surprise: int = SURPRISE
    coldest: int = Odd().coldest
    hottest: int = Odd().hottest
    smoke: str = heat.SMOKE
    ended: bool = False
    read_today: str = ""  # who has read the row today, and when


@dataclass(frozen=True)
class _Look:
    """A moment of a row's outlook, if it has one that is not worse than saying "as now"."""

    outlook: RowOutlook | None
    now_s: int

    def expected(self, depth_mm: int) -> Expected | None:
        made = self.outlook
        if made is None or made.ahead.skilled is False:
            return None
        depth = UNSAID_CM if depth_mm == NO_DEPTH else depth_mm / 10
        away = np.abs(made.outlook.depths_cm - depth)
        place = int(away.argmin())
        if away[place] > NEAR_CM:
            return None
        ahead_h = (self.now_s - made.outlook.at_s) / 3600
        hour = int(np.abs(made.outlook.hours - ahead_h).argmin())
        low, middle, high = (
            round(float(made.outlook.fan[hour, place, q]) * NINTH) for q in (LOW, MIDDLE, HIGH)
        )
        return Expected(low=low, middle=middle, high=high, by="outlook")


def plan_of(
    desk: Desk, history: History, outlook: RowOutlook | None, *, now: datetime, unit: Unit, who: str
) -> Plan:
    """The walk of a row as the diary stands; `now` on the yard's clock."""
    stations = list(history.stations)[:MOST_STATIONS] or ["1"]
    found = history.readings
    every = sorted({int(one) for one in np.unique(found.depth)})
    newest = found.depth[found.day == found.day[-1]] if len(found) else found.depth
    usual = sorted({int(one) for one in np.unique(newest)}) or [NO_DEPTH]
    look = _Look(outlook, days.seconds(now))
    spots = [_spot(history, station, depth, look) for station in stations for depth in every or [NO_DEPTH]]
    return Plan(
        row=history.row,
        unit=unit,
        who=who,
        made=now.isoformat(),
        stations=stations,
        depths=[_cm(depth) for depth in every or [NO_DEPTH]],
        usual=[_cm(depth) for depth in usual],
        spots=spots,
        warnings=_warnings(desk, history, now),
        ended=history.gone is not None,
        read_today=_read_today(history, now),
    )


def _spot(history: History, station: str, depth: int, look: _Look) -> Spot:
    found = history.readings
    code = found.stations.index(station) if station in found.stations else -1
    places: NDArray[np.intp] = np.flatnonzero((found.station == code) & (found.depth == depth))
    if not len(places):
        return Spot(station=station, depth=_cm(depth), last=None, expected=look.expected(depth))
    last = int(places[-1])
    since = np.unique(found.day[places])[-LATELY:][0]
    warm = found.heat[places][found.day[places] >= since]
    here = Expected(low=int(warm.min()), middle=int(found.heat[last]), high=int(warm.max()), by="readings")
    unit = found.unit_of(last)
    read = LastRead(
        heat=int(found.heat[last]),
        text=degrees(int(found.value[last]), unit),
        unit=unit,
        day=datetime.fromordinal(int(found.day[last])).date().isoformat(),
    )
    return Spot(station=station, depth=_cm(depth), last=read, expected=look.expected(depth) or here)


def _cm(depth_mm: int) -> str:
    return "" if depth_mm == NO_DEPTH else plain(depth_mm * 100_000)


def _warnings(desk: Desk, history: History, now: datetime) -> list[TooHot]:
    """The hottest first; of those reached only the first is said."""
    limits = Limits(desk.settings())
    row, read = history.row, "{heat} at station {station}"
    view = seen(history, (), limits, days.seconds(now))
    stop = TooHot(
        heat=limits.heat("fire_stop").ninths,
        head="Stop, and call",
        text=f"{read}. Keep everybody away from row {row}: the stop is {{limit}}. Go "
        "upwind and call the fire service before anyone opens it. Do not turn, dig or climb it.",
        why=f"{heat.WHY_FIRE} {LOCAL}",
    )
    act = TooHot(
        heat=limits.heat("fire_act").ninths,
        head="Too hot: stop, and call",
        text=f"{read}, and at {{limit}} it is acted on now. Call whoever runs the yard "
        f"today before you go on. Water and a loader stand ready before it is opened. {heat.SMOKE}",
        why=f"{heat.WHY_COOL} {LOCAL}",
    )
    turned = view.process == "turned" and view.curing is None
    job = "Turn it at once" if turned else "Watch it at once"
    do = (
        f"Turn row {row} now, before other work, unless the wind is too strong to turn."
        if turned
        else "It is not turned: wet it, open its air, read it again today."
    )
    turn = TooHot(
        heat=limits.heat("turn_limit").ninths,
        head=job,
        text=f"{read}, the limit is {{limit}}. {do} Tell whoever runs the yard today. "
        f"Steam from an opened row burns. {heat.SMOKE}",
        why=f"{heat.WHY_TURN} {LOCAL}",
    )
    return sorted((stop, act, turn), key=lambda one: -one.heat)


def _read_today(history: History, now: datetime) -> str:
    """Another round of today, so that two who walk one row know of each other."""
    today = [event.line for event, _ in history.of(Round) if event.day == now.toordinal()]
    if not today:
        return ""
    line = max(today, key=lambda one: one.number)
    when = line.entry.happened.astimezone(now.tzinfo)
    return f"{line.entry.who} at {when.hour}:{when:%M}, line {line.number}"
