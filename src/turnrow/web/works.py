"""Outlooks made beside the pages: one thread; the row somebody looks at first, then the others at work."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from threading import Condition, Thread
from time import monotonic

from starlette.requests import Request

from turnrow.foreman.desk import Desk
from turnrow.foreman.outlook_plan import Key, key_of, plan_of
from turnrow.foreman.outlooks import Outlooks, RowOutlook
from turnrow.web.keeper import Keeper
from turnrow.yard.wrongs import DamagedJournal, Refused

LOOK_EVERY_S = 20.0  # whether a row at work has no outlook of today
USUAL_S = 4.0  # what one takes, before one was made
AT_WORK = ("turned", "static")  # whose outlooks are made unasked


@dataclass(frozen=True)
class Waiting:
    """An outlook under way, there in about so many seconds; or why there can be none."""

    seconds: int = 0
    never: str = ""


NO_WORKS = Waiting(never="This server makes no outlooks.")


class Works:
    """Makes outlooks while `running()`. The desk is held to read and to hand in, never to reckon."""

    def __init__(self, keeper: Keeper) -> None:
        self._keeper = keeper
        self._outlooks = Outlooks()
        self._queue: list[str] = []
        self._never: dict[str, tuple[Key, str]] = {}
        self._wake = Condition()
        self._took_s = USUAL_S
        self._stop = False

    def row(self, desk: Desk, row: str, now: datetime) -> RowOutlook | Waiting:
        """The row's outlook of today, or how long it will take: asked for, it is made next."""
        found = self.there(desk, row, now)
        if found is not None and found.mornings is not None:
            return found
        why = self._cannot(desk, row, now)
        if why:
            return Waiting(never=why)
        with self._wake:
            self._queue = [row, *(one for one in self._queue if one != row)]
            self._wake.notify()
        return found or Waiting(seconds=self.seconds)

    @property
    def seconds(self) -> int:
        """About how long the next one takes."""
        return max(1, round(1.5 * self._took_s))

    def there(self, desk: Desk, row: str, now: datetime) -> RowOutlook | None:
        """The row's outlook of today if it is there; nothing is asked for."""
        return self._outlooks.there(desk, row, now)

    @contextmanager
    def running(self) -> Iterator[None]:
        """While the server runs."""
        thread = Thread(target=self._work, name="outlooks", daemon=True)
        thread.start()
        try:
            yield
        finally:
            with self._wake:
                self._stop = True
                self._wake.notify()
            thread.join(timeout=5)

    def make(self, row: str) -> None:
        """Make the row's outlook now, or score the one there is and hand it to the desk."""
        began = monotonic()
        with self._keeper.desk() as desk:
            now = self._keeper.clock()
            key, there = key_of(desk, row, now), self.there(desk, row, now)
            plan = None if there is not None else plan_of(desk, row, now)
        if there is not None:
            if there.mornings is None:
                self._hand_in(self._outlooks.scored(there))
            return
        if plan is None:
            self._never[row] = (key, "It ended, or nothing is known of it yet.")
            return
        try:
            self._outlooks.made(plan)
        except ValueError as wrong:  # one row the model cannot follow must not stop the others'
            self._never[row] = (key, f"The model cannot follow this row ({wrong}).")
            return
        self._took_s = 0.7 * self._took_s + 0.3 * (monotonic() - began)
        with self._wake:
            if row not in self._queue:
                self._queue.append(row)

    def _hand_in(self, made: RowOutlook) -> None:
        if self._stop:
            return  # the book may be closed by now
        with self._keeper.desk() as desk:
            desk.ahead[made.plan.row] = made.ahead

    def _work(self) -> None:
        while not self._stop:
            try:
                with self._wake:
                    row = self._queue.pop(0) if self._queue else ""
                if row:
                    self.make(row)
                elif not self._due():
                    self._rest()
            except (Refused, DamagedJournal) as wrong:
                print(f"note  the outlooks wait: {wrong}", file=sys.stderr)
                self._rest()

    def _rest(self) -> None:
        with self._wake:
            if not self._queue and not self._stop:
                self._wake.wait(LOOK_EVERY_S)

    def _due(self) -> bool:
        """Queue every row at work that has no outlook of today; whether there was one."""
        with self._keeper.desk() as desk:
            now = self._keeper.clock()
            due = [row for row in desk.diary.rows if _at_work(desk, row) and not self._done(desk, row, now)]
        with self._wake:
            self._queue += [row for row in due if row not in self._queue]
        return bool(due)

    def _done(self, desk: Desk, row: str, now: datetime) -> bool:
        there = self.there(desk, row, now)
        return bool(there and there.mornings is not None) or bool(self._cannot(desk, row, now))

    def _cannot(self, desk: Desk, row: str, now: datetime) -> str:
        """Why the row as it stands can have no outlook; empty where that is not known."""
        told = self._never.get(row)
        return told[1] if told is not None and told[0] == key_of(desk, row, now) else ""


def _at_work(desk: Desk, row: str) -> bool:
    history = desk.diary.history(row)
    ended = history.gone is not None or history.curing is not None
    return not ended and history.built is not None and history.built[1].process in AT_WORK


def works_of(request: Request) -> Works | None:
    """The server's maker of outlooks; None where it makes none."""
    works = request.app.state.works
    return works if isinstance(works, Works) else None
