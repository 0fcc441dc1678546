"""The day's sheet by schedule: issued once a day at a set time on the yard's own clock, by the server."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import time
from threading import Event, Thread

from turnrow.web.keeper import Keeper
from turnrow.yard.entries import Line
from turnrow.yard.wrongs import Refused

WHO, DEVICE = "schedule", "server"
LOOK_EVERY_S = 20.0


def issue_if_due(keeper: Keeper, at: time) -> Line | None:
    """Issue today's sheet when the yard's clock has reached `at` and the day has none yet; what was
    issued, or None. A yard without rows gets none, and neither does a day whose sheet is there."""
    with keeper.desk() as desk:
        now = keeper.clock()
        if now.astimezone(desk.zone).time() < at or not desk.diary.rows:
            return None
        if desk.today(now).sheet is not None:
            return None
        return desk.issue(now, WHO, DEVICE)


@contextmanager
def issuing(keeper: Keeper, at: time | None) -> Iterator[None]:
    """While the server runs, look every few seconds whether the sheet is due; with None, never.

    A book that is busy is asked again at the next look. A damaged one stops the schedule, loudly, and
    not the server, whose pages say what is wrong.
    """
    if at is None:
        yield
        return
    stop = Event()

    def watch() -> None:
        while not stop.is_set():
            try:
                issue_if_due(keeper, at)
            except Refused as busy:
                print(f"note  the day's sheet waits: {busy}", file=sys.stderr)
            stop.wait(LOOK_EVERY_S)

    thread = Thread(target=watch, name="day sheet", daemon=True)
    thread.start()
    try:
        yield
    finally:
        stop.set()
        thread.join(timeout=5)
