"""A row as it stood at a moment: by what had happened, not by what was written."""

from datetime import UTC, datetime, timedelta

import numpy as np

from turnrow.yard import blocks, days
from turnrow.yard import entries as e
from turnrow.yard.diary import Diary
from turnrow.yard.readings import COLUMNS, TYPES, Readings

D0 = datetime(2026, 5, 1, tzinfo=UTC)


def _diary(*told: tuple[int, e.What], blob: bytes = b"") -> Diary:
    lines = [
        e.Line(n, D0, "", e.Entry(id=str(n), happened=D0 + timedelta(hours=hour), who="ana", what=what))
        for n, (hour, what) in enumerate(told, 1)
    ]
    return Diary(lambda name: blob, lines)


def test_what_happened_later_is_left_out_whatever_its_line() -> None:
    late_told = e.Round(row="R7", unit="C", readings=(e.Reading("1", -1, 60_000_000),))
    diary = _diary((0, e.RowBuilt(row="R7")), (50, e.Turned(row="R7")), (20, late_told))
    whole = diary.history("R7")
    then = whole.until(days.seconds(D0 + timedelta(hours=24)))
    assert [event.line.number for event in then.events] == [1, 3]
    assert len(then.readings) == 1 and not then.turns and len(whole.turns) == 1
    assert whole.newest_s == days.seconds(D0 + timedelta(hours=50))


def test_a_moment_is_included_and_one_second_before_it_is_not() -> None:
    history = _diary((0, e.RowBuilt(row="R7")), (5, e.Turned(row="R7"))).history("R7")
    at = days.seconds(D0 + timedelta(hours=5))
    assert len(history.until(at).turns) == 1 and len(history.until(at - 1).turns) == 0


def test_a_loggers_block_is_cut_at_the_moment_though_it_was_taken_in_later() -> None:
    columns = [np.zeros(4, dtype=kind) for kind in TYPES]
    columns[0] = days.seconds(D0) + np.arange(4, dtype=np.int64) * days.HOUR_S
    blob = blocks.pack(Readings(**dict(zip(COLUMNS, columns, strict=True)), stations=("1",)))
    what = e.LoggerBlock(row="R7", blob=blocks.name_of(blob), count=4, first=D0, last=D0 + timedelta(hours=3))
    history = _diary((90, what), blob=blob).history("R7")
    assert len(history.readings) == 4
    assert len(history.until(days.seconds(D0 + timedelta(hours=1))).readings) == 2
    assert len(history.until(days.seconds(D0) - 1).events) == 0


def test_lines_of_the_yard_are_given_struck_ones_too_when_every_one_is_asked_for() -> None:
    diary = _diary((0, e.JobDone(key="R7 turn")), (1, e.Struck(line=1, reason="wrong row")))
    assert diary.own(e.JobDone) == [] and len(diary.every(e.JobDone)) == 1
