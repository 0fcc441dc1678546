"""The logger's files: a reading each half hour at two stations, a block a week."""

from collections.abc import Mapping
from random import Random

import numpy as np

from turnrow.demo.cast import LOGGER
from turnrow.demo.heat import Course
from turnrow.demo.pen import Pen
from turnrow.demo.plans import RowPlan
from turnrow.demo.walk import CORE_MM, LOGGED, NOISE_C, seen
from turnrow.yard import blocks, days
from turnrow.yard.entries import Entry, LoggerBlock
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import UNITS

EVERY_S = 1800
STUCK_H = (88, 122)  # hours since the row was built: the second sensor's number does not move


def block(
    plan: RowPlan, course: Course, first: int, last: int, pen: Pen, chance: Random
) -> tuple[Entry, Mapping[str, bytes]]:
    """The file of the days `first`..`last` (both whole), read out on the evening of `last`."""
    season = pen.season
    start, stop = days.seconds(season.at(first, 17)), days.seconds(season.at(last, 16.5))
    moments = np.arange(start, stop + 1, EVERY_S, dtype=np.int64)
    hours = [_hour(int(at), pen) for at in moments]
    values = []
    for station in range(LOGGED):
        column = [seen(course.at(h, station) + chance.gauss(0, NOISE_C / 3), LOGGER) for h in hours]
        if station == 1:
            column = _stuck(column, hours, course.built)
        values.append(column)
    n = len(moments)
    readings = Readings(
        at=np.repeat(moments, 2),
        day=np.repeat(days.days_of(moments, season.zone), 2),
        station=np.tile(np.array([0, 1], dtype=np.int32), n),
        depth=np.full(2 * n, CORE_MM, dtype=np.int32),
        value=np.array(values, dtype=np.int64).T.reshape(-1),
        unit=np.full(2 * n, UNITS.index("C"), dtype=np.int8),
        timed=np.ones(2 * n, dtype=np.bool_),
        line=np.zeros(2 * n, dtype=np.int32),
        item=np.arange(1, 2 * n + 1, dtype=np.int32),
        stations=plan.stations[:LOGGED],
    )
    packed = blocks.pack(readings)
    name = blocks.name_of(packed)
    what = LoggerBlock(
        row=plan.name,
        blob=name,
        count=2 * n,
        first=days.moment(start, season.zone),
        last=days.moment(int(moments[-1]), season.zone),
        file=f"logger {plan.name} {season.date(last).isoformat()}",
        probe=LOGGER.name,
    )
    return pen.entry(last, 17.0, "office", what, "logger"), {name: packed}


def _hour(at_s: int, pen: Pen) -> float:
    """Hours of wall clock since the season's first midnight."""
    when = days.moment(at_s, pen.season.zone)
    return (when.toordinal() - pen.season.start.toordinal()) * 24 + when.hour + when.minute / 60


def _stuck(column: list[int], hours: list[float], built: int) -> list[int]:
    held: int | None = None
    out = []
    for value, hour in zip(column, hours, strict=True):
        inside = STUCK_H[0] <= hour - built <= STUCK_H[1]
        held = (value if held is None else held) if inside else None
        out.append(value if held is None else held)
    return out
