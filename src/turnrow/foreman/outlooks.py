"""The outlooks of a yard's rows: made from a plan alone, away from the desk, and kept until what they rest
on has changed. Looking writes nothing."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from threading import Lock

import numpy as np

from turnrow.foreman.desk import Desk
from turnrow.foreman.outlook_plan import HOURS, Key, Plan, Then, key_of
from turnrow.foreman.what_ifs import Ways, usual
from turnrow.heap.ahead import forecast
from turnrow.heap.as_chosen import as_chosen, of_both, of_the_log
from turnrow.heap.believed import Taught
from turnrow.heap.changes import what_if
from turnrow.heap.faults import faults
from turnrow.heap.fit import Fitted, fit, prior, taught
from turnrow.heap.held_back import HeldBack, held_back
from turnrow.heap.known import Known, Read
from turnrow.heap.log_says import LogSays, log_says
from turnrow.heap.outlook import USED, Finding, Outlook, Passing, WhatIf
from turnrow.heap.scored import choice, crps_by_look, score, speaks_first
from turnrow.heap.tidied import UNSAID_CM
from turnrow.schedule.ahead import Ahead
from turnrow.yard import days

MEMBERS, PAST_MEMBERS = 512, 256  # guesses of a row now; on an earlier morning, and of a row that teaches
PAST_H = 3 * 24  # an earlier morning's outlook looks so far
MODEL = USED[0]
LATELY_S = 2 * days.DAY_S  # a reading older than that does not speak of now


@dataclass(frozen=True, eq=False)
class RowOutlook:
    """A row's outlook with what it was made from, so that a what-if takes a moment.

    held      what holds the row back now; teach: what earlier rows of the yard said of it
    usual     what most people would ask of it; mornings: how many earlier ones were scored, None before
    """

    plan: Plan
    ahead: Ahead
    fitted: Fitted
    held: HeldBack
    teach: Taught | None
    usual: tuple[WhatIf, ...] = ()
    mornings: int | None = None

    @property
    def outlook(self) -> Outlook:
        return self.ahead.outlook

    def what_if(self, ways: Ways) -> tuple[WhatIf, ...]:
        """What each way of doing things changes against doing nothing; a moment of work."""
        if not ways:
            return ()
        known = self.plan.now.heap.known
        deepest = float(self.outlook.depths_cm.max())
        limits = self.plan.limits_c
        return what_if(self.fitted, known, ways, hours=HOURS, limits_c=limits, depth_cm=deepest)


class Outlooks:
    """What was made, by row. Earlier mornings and rows that teach are kept while they are the same."""

    def __init__(self) -> None:
        self._made: dict[str, RowOutlook] = {}
        self._teachers: dict[Key, Fitted] = {}
        self._past: dict[str, dict[Key, Outlook | None]] = {}
        self._lock = Lock()

    def there(self, desk: Desk, row: str, now: datetime) -> RowOutlook | None:
        """The row's outlook, where it was made today of the row, the weather and the settings as they are."""
        found = self._made.get(row)
        return found if found is not None and found.plan.key == key_of(desk, row, now) else None

    def made(self, plan: Plan) -> RowOutlook:
        """The outlook of a plan, not scored yet; kept, and the same plan gives the same. ValueError where no
        guess of the heap can be carried through its hours."""
        with self._lock:
            teach = self._teach(plan)
            known = plan.now.heap.known
            fitted = fit(known, prior(known, teach), now_s=_full(plan.now.at_s), members=MEMBERS)
            first = speaks_first(known.section)
            outlook = _told_by(first, plan, fitted, None if first == MODEL else _log_says(plan, ())[0])
            ahead = Ahead(
                outlook=outlook,
                day=plan.day,
                line=plan.now.heap.last_line,
                findings=tuple(_named(one, plan) for one in faults(fitted, outlook)),
                needed=plan.needed,
                lines=plan.lines,
                curing=plan.curing,
            )
            made = RowOutlook(plan, ahead, fitted, held_back(fitted.state), teach)
            made = replace(made, usual=made.what_if(usual(outlook, plan.zone)))
            made = replace(made, ahead=replace(made.ahead, turn_k=_turned_k(made.usual)))
            self._made[plan.row] = made
            return made

    def scored(self, made: RowOutlook) -> RowOutlook:
        """The same with the score of the row's earlier mornings, each forecast anew from what was known, told
        the way that did best there: by the model, by the row's own log, or by both."""
        with self._lock:
            plan, known = made.plan, made.plan.now.heap.known
            told, read = self._earlier(plan, made.teach), _depths_said(known.read)
            says, *earlier = _log_says(plan, tuple(told))
            past = list(told.values())
            log = list(map(of_the_log, past, earlier))
            chosen = choice(crps_by_look(past, read), crps_by_look(log, read), speaks_first(known.section))
            ways = {MODEL: past, "statistical": log, "both": list(map(of_both, past, log))}
            outlook = made.outlook
            if chosen.used != outlook.used:
                outlook = _told_by(chosen.used, plan, made.fitted, says)
            ahead = replace(
                made.ahead,
                outlook=replace(outlook, why=chosen.why) if chosen.count else outlook,
                scores=score(ways[chosen.used], read),
                choice=chosen,
            )
            found = replace(made, ahead=ahead, mornings=len(past))
            self._made[plan.row] = found
            return found

    def _teach(self, plan: Plan) -> Taught | None:
        """What earlier rows say, each fitted once from the plain belief."""
        fits = []
        for one in plan.teachers:
            key = (one.heap.row, one.heap.last_line, one.at_s)
            if key not in self._teachers:
                known = one.heap.known
                self._teachers[key] = fit(known, prior(known), now_s=_full(one.at_s), members=PAST_MEMBERS)
            fits.append(self._teachers[key])
        return taught(fits) if fits else None

    def _earlier(self, plan: Plan, teach: Taught | None) -> dict[int, Outlook]:
        """The outlooks of earlier mornings by moment [s], each of what was known then; none of a morning the
        model could not follow."""
        by = tuple((one.heap.row, one.heap.last_line) for one in plan.teachers)
        kept, found = self._past.get(plan.row, {}), dict[Key, Outlook | None]()
        for one in plan.mornings:
            key = (one.at_s, one.heap.last_line, by)
            found[key] = kept[key] if key in kept else _past(one, teach)
        self._past[plan.row] = found
        told = zip(plan.mornings, found.values(), strict=True)
        return {then.at_s: one for then, one in told if one is not None}


def _turned_k(usual: tuple[WhatIf, ...]) -> float | None:
    """What a turn now, with the water it wants, changes by tomorrow, in the middle [K]."""
    now = [one for one in usual if one.name.startswith("Turned now")]
    return now[-1].temp_k[24].p50 if now else None


def _told_by(used: str, plan: Plan, fitted: Fitted, says: LogSays | None) -> Outlook:
    """The row's outlook, its temperatures by one of USED."""
    known = plan.now.heap.known
    outlook = forecast(
        fitted,
        known,
        hours=HOURS,
        limits_c=plan.limits_c,
        run_c=plan.run_c,
        target=plan.target,
        amended=None if used == MODEL or says is None else as_chosen(used, says),
    )
    return replace(
        outlook,
        passing=tuple(_of_now(one, known, plan.now.at_s) for one in outlook.passing),
        notices=(*plan.now.heap.notices, *outlook.notices),
        used=used,
    )


def _log_says(plan: Plan, moments: Sequence[int]) -> list[LogSays]:
    """What the row's own log says now and on its mornings at `moments` [s], each of what was known then."""
    then = [(_full(one.at_s), one.heap.known) for one in plan.mornings if one.at_s in moments]
    return log_says(plan.now.heap.known, _full(plan.now.at_s), then)


def _past(one: Then, teach: Taught | None) -> Outlook | None:
    known = one.heap.known
    try:
        fitted = fit(known, prior(known, teach), now_s=_full(one.at_s), members=PAST_MEMBERS)
        return forecast(fitted, known, hours=PAST_H, limits_c=())
    except ValueError:  # no guess can be carried through: nothing would have been shown on that morning
        return None


def _of_now(one: Passing, known: Known, now_s: int) -> Passing:
    """The limit without "passed now" where the newest reading is of long ago and says nothing of now."""
    late = not len(known.read.at_s) or known.read.at_s.max() < now_s - LATELY_S
    return replace(one, now=False) if late else one


def _named(one: Finding, plan: Plan) -> Finding:
    """The finding with its station called by its own name."""
    names = plan.now.heap.stations
    if one.station is None or not 0 <= one.station < len(names):
        return one
    return replace(
        one, reason=one.reason.replace(f"station {one.station + 1} ", f"station {names[one.station]} ", 1)
    )


def _depths_said(read: Read) -> Read:
    """Readings without a depth at the depth they are reckoned at."""
    return replace(read, depth_cm=np.where(np.isnan(read.depth_cm), UNSAID_CM, read.depth_cm))


def _full(at_s: int) -> int:
    """The next full hour: the model goes by the hour, and a deed of this very hour must not lie beyond it."""
    return -(-at_s // days.HOUR_S) * days.HOUR_S
