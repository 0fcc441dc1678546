"""What a row's outlook is made of, read from the desk at one moment: the row as known now, as it was known
on earlier mornings, and the earlier rows that teach it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from turnrow.foreman.desk import Desk
from turnrow.foreman.knowing import Heap, heap_of
from turnrow.foreman.outside import Lines
from turnrow.handbook.rules import HotDays
from turnrow.sanitation.standing import Suspect
from turnrow.sanitation.suspects import find
from turnrow.schedule.limits import Limits
from turnrow.schedule.proof import alive, hot_limit
from turnrow.schedule.seen import seen
from turnrow.yard import days
from turnrow.yard.entries import Weather
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO
from turnrow.yard.temperature import NINTH

HOURS = 14 * 24
MORNINGS, LOOK_AT = 9, time(9)  # earlier mornings scored; when a morning's round is over and in the book
SOONEST_S = days.DAY_S  # an outlook scored looks at least so far ahead
TEACHERS, TEACHER_DAYS = 4, 10  # the newest earlier rows, each read on so many days at least
TAUGHT_DAYS = 35  # of a teaching row's life: its hot time
RUN_C = 55.0  # the line of the run where the row's rule names none
LIMITS_OF = ("turn_limit", "fire_act", "fire_stop")  # settings whose passing is said
RESTS_ON = (
    *LIMITS_OF,
    "air_swing",
    "moisture_target",
    "moisture_low",
    "moisture_high",
    "squeeze_dry",
    "squeeze_wet",
)
Key = tuple[object, ...]


@dataclass(frozen=True, eq=False)
class Then:
    """A row as it was known at a moment [s]."""

    at_s: int
    heap: Heap


@dataclass(frozen=True, eq=False)
class Plan:
    """All that an outlook is made of.

    key       what it rests on: the row's newest line, the newest weather, the day, the settings, the rule
    limits_c  whose passing is said, the turning limit first; target: the moisture to water up to
    needed    the day (ordinal) the rule's run must last to, and its line [°C]; None where none is going on
    mornings  earlier ones, the newest first; teachers: rows as known when their hot time was over
    lines     the row's newest readings; curing: it was moved to curing
    """

    row: str
    key: Key
    now: Then
    day: int
    zone: ZoneInfo
    limits_c: tuple[float, ...]
    run_c: float
    target: float
    needed: tuple[int, float] | None
    mornings: tuple[Then, ...]
    teachers: tuple[Then, ...]
    lines: tuple[int, ...]
    curing: bool


def key_of(desk: Desk, row: str, now: datetime) -> Key:
    """What an outlook of the row rests on, as it stands; KeyError for an unknown row."""
    settings, weather = desk.settings(), desk.diary.own(Weather)
    return (
        desk.diary.history(row).last_line,
        weather[-1][0].number if weather else 0,
        now.astimezone(desk.zone).toordinal(),
        tuple(settings[name] for name in RESTS_ON),
        desk.choice(row).id,
    )


def plan_of(desk: Desk, row: str, now: datetime) -> Plan | None:
    """What the row's outlook is to be made of; None for a row that ended, or is not built and not read."""
    now_s, history = days.seconds(now), desk.diary.history(row)
    limits, weather = Limits(desk.settings()), desk.diary.own_events(Weather)
    there = history.until(now_s) if history.newest_s > now_s else history
    heap = _heap(there, desk.standing(row).suspects if there is history else None, weather, limits, now_s)
    if history.merged_into is not None or heap is None or heap.known.built_s > now_s:
        return None
    day, rule = now.astimezone(desk.zone).toordinal(), desk.choice(row).rule
    hot = hot_limit(rule)
    run_c = hot.ninths / NINTH if hot else RUN_C
    view = seen(there, (), limits, now_s)
    standing = desk.standing(row).standing
    run = alive(standing, view) if rule is not None and isinstance(rule.proof, HotDays) else None
    in_all = standing.policies.get("continuity") == "cumulative"
    days_met = (standing.hot_days if in_all else standing.longest_run_days) >= standing.days_needed
    met = standing.verdict == "PASS" or days_met
    needed = None if run is None or met else (run[0] + standing.days_needed - 1, run_c)
    return Plan(
        row=row,
        key=key_of(desk, row, now),
        now=Then(now_s, heap),
        day=day,
        zone=desk.zone,
        limits_c=tuple(limits.heat(name).ninths / NINTH for name in LIMITS_OF),
        run_c=run_c,
        target=limits.number("moisture_target") / (100 * MICRO),
        needed=needed,
        mornings=tuple(_mornings(there, weather, limits, day, heap)),
        teachers=tuple(_teachers(desk, row, heap.known.built_s, weather, limits)),
        lines=view.read_lines,
        curing=there.curing is not None,
    )


def known_then(history: History, at_s: int) -> History:
    """The row without what happened, or was written, after a moment.

    A diary brought in later, of which not a reading was in the book by then, counts as written when it
    happened.
    """
    cut = history.until(at_s)
    told = replace(cut, events=tuple(e for e in cut.events if days.seconds(e.line.written) <= at_s))
    return told if len(told.readings) else cut


def _heap(
    history: History, suspects: Sequence[Suspect] | None, weather: Lines, limits: Limits, at_s: int
) -> Heap | None:
    """The heap of a history that holds nothing later; without suspects told they are looked for."""
    doubted = find(history.readings) if suspects is None else suspects
    by_then = [pair for pair in weather if pair[0].at <= at_s]
    return heap_of(history, doubted, by_then, limits, at_s, HOURS)


def _mornings(history: History, weather: Lines, limits: Limits, day: int, heap: Heap) -> Iterator[Then]:
    """The newest earlier mornings with a round, whose first day has come and was read."""
    read = heap.known.read.at_s
    left = MORNINGS
    first = days.day_of(heap.known.built_s, history.zone)
    for earlier in range(day - 1, first, -1):
        at_s = days.seconds(datetime.combine(date.fromordinal(earlier), LOOK_AT, history.zone))
        fresh = (read <= at_s) & (read > at_s - days.DAY_S)
        if not fresh.any() or not (read > at_s + SOONEST_S - 6 * days.HOUR_S).any():
            continue
        then = _heap(known_then(history, at_s), None, weather, limits, at_s)
        if then is not None and then.known.built_s == heap.known.built_s and len(then.known.read.at_s):
            yield Then(at_s, then)
            left -= 1
        if not left:
            return


def _teachers(desk: Desk, row: str, built_s: int, weather: Lines, limits: Limits) -> Iterator[Then]:
    """Earlier rows of the same process whose hot time was over when this one was built, newest first."""
    mine = desk.diary.history(row).built
    process = mine[1].process if mine else "turned"
    earlier = []
    for name in desk.diary.rows:
        built = desk.diary.history(name).built
        if name != row and built is not None and built[1].process == process:
            end = built[0].at + TAUGHT_DAYS * days.DAY_S
            if end <= built_s:
                earlier.append((end, name))
    left = TEACHERS
    for end, name in sorted(earlier, reverse=True):
        heap = _heap(desk.diary.history(name).until(end), None, weather, limits, end)
        if heap is not None and len(set((heap.known.read.at_s // days.DAY_S).tolist())) >= TEACHER_DAYS:
            yield Then(end, heap)
            left -= 1
        if not left:
            return
