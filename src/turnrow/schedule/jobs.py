"""What each row wants today, and the day's jobs in order of the harm done if they are left.

The order, worst first: an alarm somebody wrote down; fire; a row over the limit at which it must be acted
on; a row too hot or on its last day for the rule; a turn wanted but held back by the weather; a row nobody
knows anything of; turns; a heap that is not turned and too hot; water; rounds; a run that broke; a row that
goes wrong; what was written down and waits for an answer; water held back; stations too few; the move to
curing; probes to check; rows to leave alone. Within one place, rows in the order of the diary.
"""

from collections.abc import Iterable, Mapping, Sequence

from turnrow.handbook.rules import Rule
from turnrow.sanitation.standing import RowStanding
from turnrow.schedule.agreed import agreed
from turnrow.schedule.around import Around
from turnrow.schedule.broken import restart
from turnrow.schedule.curing import ending
from turnrow.schedule.heat import fire
from turnrow.schedule.limits import Limits
from turnrow.schedule.probing import probing
from turnrow.schedule.proof import TurnPlan, hot_limit, turn_plan
from turnrow.schedule.seen import Seen, seen
from turnrow.schedule.signs import signs
from turnrow.schedule.turning import turning
from turnrow.schedule.water import water
from turnrow.schedule.words import advice, ago, count, place
from turnrow.yard import days
from turnrow.yard.entries import Advice, Amount
from turnrow.yard.history import History
from turnrow.yard.temperature import degrees

ORDER: tuple[tuple[str, bool], ...] = (  # job, urgent
    ("alarm", True),  # what a person saw comes before what a probe read
    ("fire", True),
    ("cool", True),
    ("watch", True),
    ("call back", True),  # of lots, told by whoever judges releases
    ("judge again", True),
    ("turn", True),
    ("wait", True),
    ("probe", True),
    ("check probe", True),
    ("turn", False),
    ("watch", False),
    ("water", False),
    ("wait", False),
    ("probe", False),
    ("restart", False),
    ("look", False),
    ("answer", False),
    ("hold water", False),
    ("cure", False),
    ("check probe", False),
    ("leave", False),
)
JOBS = tuple(dict.fromkeys(job for job, _ in ORDER))
NOTHING_TOLD = Around()
STANDS = {  # of a heap nobody turns, what it is doing when nothing has to be done
    "slow": "It stands unturned for about a year; curing begins when a person says so after it.",
    "worm": "Worms work it; it is fed, not turned.",
}
WHY_LEAVE = "A row that is warm, moist and read does its own work; every turn costs fuel, heat and water."


def row_jobs(
    history: History,
    row_standing: RowStanding,
    rule: Rule | None,
    settings: Mapping[str, Amount],
    now_s: int,
    *,
    now: Around = NOTHING_TOLD,
    facts: Mapping[str, str] | None = None,
) -> list[Advice]:
    """The jobs of one row at `now_s`; `history` holds nothing later. Empty for a row that ended.

    settings  every handbook setting by name, the yard's own values overlaid
    now       the day's weather; facts: the row's facts as typed (cn_initial)
    """
    if history.gone is not None:
        return []
    limits, facts = Limits(settings), facts or {}
    view = seen(history, row_standing.suspects, limits, now_s)
    burning = fire(view, limits)
    if burning is not None:
        return [burning]  # nothing else is done to the row until somebody has read it cooler
    standing = row_standing.standing
    plan = None if view.curing else turn_plan(rule, standing, history, view)
    name = rule.id if rule else ""
    more = standing.verdict != "PASS" and standing.turns_counted < standing.turns_needed
    found = [
        turning(view, plan, limits, now, name, hot_limit(rule) if more and not view.curing else None),
        probing(view, history, rule, standing, limits),
        water(view, history, limits),
        restart(rule, standing, view),
        *signs(view, history, limits, now, facts),
        ending(view, standing, limits, rule),
    ]
    jobs = agreed([job for job in found if job])
    return in_order(jobs) if jobs else [_leave(view, plan, row_standing, name)]


def in_order(jobs: Iterable[Advice]) -> list[Advice]:
    """By harm if left; equal harm keeps its order."""
    place_of = {pair: at for at, pair in enumerate(ORDER)}
    return sorted(jobs, key=lambda job: place_of[job.job, job.urgent])


def day_jobs(rows: Sequence[Sequence[Advice]]) -> tuple[Advice, ...]:
    """All rows' jobs by harm if left."""
    return tuple(in_order(job for row in rows for job in row))


def _leave(view: Seen, plan: TurnPlan | None, row_standing: RowStanding, rule: str) -> Advice:
    """Left alone, with the reason: what was read, and when the next turn is."""
    low, high = view.coldest, view.hottest
    span = ""
    if low and high and view.read_day is not None:
        read = "read today" if view.age == 0 else f"last read {ago(view.read_day, view.today)}"
        between = (
            high.words
            if low is high
            else f"{degrees(low.value, low.unit)} to {degrees(high.value, high.unit)}"
        )
        span = f": {between}, {read}"
    tail = ""
    if view.turned_today:
        tail = " It was turned today."
    elif plan is not None:
        nth = f"the {place(plan.nth)} of {count(plan.of)} turns"
        if view.today < plan.due:
            tail = f" Next, {nth}, on {days.short_date(plan.due)}"
            tail += f" and by {days.short_date(plan.latest)} at the latest." if plan.latest else "."
        else:
            cold = plan.cold(view.spots)
            if cold and plan.limit:
                tail = f" For {nth} wait until every station is at {plan.limit.words()}: {cold.words}."
    elif view.process in STANDS:
        tail = f" {STANDS[view.process]}"
    elif row_standing.standing.verdict == "PASS" and not view.curing:
        tail = " It is proven hot; turn it only for heat, air or water."
    elif view.curing:
        tail = " It is curing."
    standing_lines = row_standing.standing.lines[-1:]
    lines = [*view.read_lines, *(plan.lines if plan else ()), *standing_lines]
    return advice(
        view.row, "leave", f"Leave row {view.row} alone today{span}.{tail}", WHY_LEAVE, lines, rule=rule
    )
