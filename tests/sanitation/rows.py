"""Records and diaries in a few words, so that the tests' days can be read."""

from datetime import UTC, datetime, timedelta

import numpy as np

from turnrow.handbook.book import handbook
from turnrow.sanitation.judge import judge
from turnrow.sanitation.record import Record, TurnAt
from turnrow.yard import entries as e
from turnrow.yard import readings as columns
from turnrow.yard.days import DAY_S, EPOCH_DAY
from turnrow.yard.diary import Diary
from turnrow.yard.numbers import parse_micro
from turnrow.yard.temperature import UNITS

D0 = datetime(2026, 4, 30, tzinfo=UTC)  # d1 is 1 May 2026
DAY_0 = D0.toordinal()


def readings(rows, stations=None):
    """Readings of (day, hour or None, station, value, unit) rows; day 1 is 1 May."""
    rows = sorted(rows, key=lambda r: (r[0], 12 if r[1] is None else r[1]))
    names = stations or tuple(dict.fromkeys(r[2] for r in rows))
    made = [
        [int((DAY_0 + d - EPOCH_DAY) * DAY_S + (12 if h is None else h) * 3600) for d, h, *_ in rows],
        [DAY_0 + r[0] for r in rows],
        [names.index(r[2]) for r in rows],
        [r[5] if len(r) > 5 else columns.NO_DEPTH for r in rows],
        [r[3] if isinstance(r[3], int) else parse_micro(r[3]) for r in rows],
        [UNITS.index(r[4]) for r in rows],
        [r[1] is not None for r in rows],
        [0] * len(rows),
        list(range(1, len(rows) + 1)),
    ]
    arrays = {
        name: np.array(column, dtype=kind)
        for name, column, kind in zip(columns.COLUMNS, made, columns.TYPES, strict=True)
    }
    return columns.Readings(**arrays, stations=names)


def record(text, turns=(), unit="C", laid=()):
    """A record told a day at a time: "58*7 - 58,57*2" is seven days of one station at 58, a day with
    nothing read, two days of two stations; "_" is a station not read. `turns` are days."""
    rows, day = [], 0
    for word in text.split():
        values, _, many = word.partition("*")
        for _ in range(int(many or 1)):
            day += 1
            if values != "-":
                each = enumerate(values.split(","), 1)
                rows += [(day, None, str(n), value, unit) for n, value in each if value != "_"]
    passes = tuple(TurnAt((DAY_0 + t - EPOCH_DAY) * DAY_S + DAY_S // 2, DAY_0 + t) for t in turns)
    return Record(readings(rows), passes, tuple(laid))


def standing(rule, of, facts=None, **policies):
    return judge(handbook().rules[rule], of, facts or {}, policies)


def verdict(rule, of, facts=None, **policies):
    return standing(rule, of, facts, **policies).verdict


class Told:
    """A diary written line by line."""

    def __init__(self):
        self.diary = Diary(lambda name: b"")

    def say(self, day, what, hour=7, *, day_only=False):
        n = self.diary.head + 1
        entry = e.Entry(
            id=str(n), happened=D0 + timedelta(days=day, hours=hour), who="ana", what=what, day_only=day_only
        )
        self.diary.add([e.Line(n, entry.happened, "", entry)])
        return n

    def build(self, row, day=0, stations=(), raw=True):
        return self.say(day, e.RowBuilt(row=row, stations=stations, raw=raw), 6)

    def hot(self, row, first, last, value="58", stations=("1", "2")):
        for day in range(first, last + 1):
            each = tuple(e.Reading(s, 600, parse_micro(value)) for s in stations)
            self.say(day, e.Round(row=row, unit="C", readings=each))

    def turned(self, row, *days):
        for day in days:
            self.say(day, e.Turned(row=row), 9)

    def merge(self, row, day, *sources):
        return self.say(day, e.Merged(row=row, sources=sources), 12)
