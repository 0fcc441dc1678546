"""Turns for the rule: which of how many comes next, from what day it counts, by what day it is wanted."""

from dataclasses import dataclass

from turnrow.handbook.rules import Blocks, HotDays, Rule, TotalHours
from turnrow.sanitation.standing import Standing
from turnrow.schedule.seen import Seen, Spot
from turnrow.yard.history import History
from turnrow.yard.temperature import Limit


@dataclass(frozen=True)
class TurnPlan:
    """The next turn a rule asks for (days are date ordinals).

    nth, of   its place among the turns that count
    earliest  before this day it would not count: the rule's own spacing
    due       the day that spreads the turns evenly; practice, not the rule's text
    latest    the last day from which the turns left still fit into the days the rule asks for;
              None where the text ties the turns to no number of days
    limit     what every station must satisfy on the day, or the turn does not count; None: nothing
    """

    nth: int
    of: int
    earliest: int
    due: int
    latest: int | None
    limit: Limit | None = None
    upper: Limit | None = None
    lines: tuple[int, ...] = ()

    def cold(self, spots: tuple[Spot, ...]) -> Spot | None:
        """The station that keeps the turn from counting, the coldest first."""
        if self.limit is None:
            return None
        edge = self.limit.ninths
        under = [s for s in spots if s.heat < edge or (s.heat == edge and self.limit.op == ">")]
        return min(under, key=lambda s: s.heat, default=None)

    def over(self, spots: tuple[Spot, ...]) -> Spot | None:
        """The station over the rule's upper limit, where it has one."""
        if self.upper is None:
            return None
        edge = self.upper.ninths
        above = [s for s in spots if s.heat > edge or (s.heat == edge and self.upper.op == "<")]
        return max(above, key=lambda s: s.heat, default=None)


def hot_limit(rule: Rule | None) -> Limit | None:
    """The temperature the rule counts days or hours at, where it has one."""
    proof = rule.proof if rule else None
    return proof.limit if isinstance(proof, HotDays | Blocks | TotalHours) else None


def alive(standing: Standing, seen: Seen) -> tuple[int, int] | None:
    """The run of hot days that is still going on the newest day read; None when it broke or never was."""
    table, run = standing.table, standing.run
    if table is None:
        ongoing = run is not None and seen.read_day is not None and run[1] >= seen.read_day - 1
        return run if ongoing else None
    hot = table.hot.tolist()
    days = table.day.tolist()
    while days and (seen.read_day is None or days[-1] > seen.read_day):
        hot.pop()
        days.pop()
    if hot and hot[-1] == -1:  # today's round is not finished
        hot.pop()
        days.pop()
    if not hot or hot[-1] != 1:
        return None
    first = len(hot) - 1
    while first > 0 and hot[first - 1] == 1:
        first -= 1
    return int(days[first]), int(days[-1])


def turn_plan(rule: Rule | None, standing: Standing, history: History, seen: Seen) -> TurnPlan | None:
    """The next turn the rule asks for, or None: no more turns, or no hot period to turn in."""
    if rule is None or standing.verdict == "PASS" or standing.turns_counted >= standing.turns_needed:
        return None
    proof = rule.proof
    if isinstance(proof, HotDays):
        return _inside_hot_days(proof, standing, history, seen)
    if isinstance(proof, Blocks):
        return _ends_a_block(proof, standing, history, seen)
    return _spaced(proof, standing, history, seen) if isinstance(proof, TotalHours) else None


def _inside_hot_days(proof: HotDays, standing: Standing, history: History, seen: Seen) -> TurnPlan | None:
    total = standing.policies.get("continuity", "consecutive") != "consecutive"
    run = alive(standing, seen)
    if run is None and not (total and standing.hot_days):
        return None
    if not total and seen.age > 1:
        return None  # a day went by unread: the run cannot be shown past it
    counted, of = standing.turns_counted, standing.turns_needed
    gap = max(proof.spacing_days, 1)
    first = run[0] if run else seen.today
    turned = [e for e in history.turns if total or e.day >= first]
    hot_so_far = standing.hot_days if total else (run[1] - run[0] + 1 if run else 0)
    counted_today = run is not None and run[1] == seen.today
    left = max(standing.days_needed - hot_so_far, 0)
    end = seen.today + max(left if counted_today else left - 1, 0)  # if every day from now is hot
    careful = standing.policies.get("turn_count") == "recovery"  # wants a hot day after the turn
    latest = max(end - (of - counted - 1) * gap - careful, seen.today)
    earliest = turned[-1].day + gap if turned else first
    pace = max(gap, standing.days_needed // of)
    due = max(min(turned[-1].day + pace if turned else first + pace - 1, latest), earliest)
    return TurnPlan(
        nth=counted + 1,
        of=of,
        earliest=earliest,
        due=due,
        latest=max(latest, earliest),
        limit=proof.limit if proof.turns_inside else None,
        upper=proof.upper if proof.turns_inside else None,
        lines=tuple(e.line.number for e in turned),
    )


def _ends_a_block(proof: Blocks, standing: Standing, history: History, seen: Seen) -> TurnPlan | None:
    """A turn counts after so many hot days since the turn before it."""
    run = alive(standing, seen)
    if run is None:
        return None
    last = seen.turn.day if seen.turn else None
    first = run[0] if last is None else max(run[0], last + 1)
    ripe = first + proof.days - 1
    lines = (seen.turn.line.number,) if seen.turn else ()
    counted = standing.turns_counted
    return TurnPlan(counted + 1, standing.turns_needed, ripe, ripe, None, proof.limit, lines=lines)


def _spaced(proof: TotalHours, standing: Standing, history: History, seen: Seen) -> TurnPlan | None:
    """Turns at least so many days apart, spread over the process; the heat of the day does not matter."""
    if seen.built_day is None:
        return None
    last = seen.turn.day if seen.turn else None
    pace = max(proof.span_days // proof.turns, proof.spacing_days)
    earliest = seen.built_day if last is None else last + proof.spacing_days
    due = (seen.built_day if last is None else last) + pace
    lines = (seen.turn.line.number,) if seen.turn else ()
    counted = standing.turns_counted
    return TurnPlan(counted + 1, standing.turns_needed, earliest, due, None, lines=lines)
