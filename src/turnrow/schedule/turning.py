"""Turn a row today, or hold the turner back: heat first, then the rule, then the weather."""

from turnrow.schedule import heat
from turnrow.schedule.around import Around, held_by, too_windy
from turnrow.schedule.beds import bed
from turnrow.schedule.limits import Limits, words
from turnrow.schedule.proof import TurnPlan
from turnrow.schedule.seen import Seen, Spot
from turnrow.schedule.words import advice, count, place
from turnrow.yard import days
from turnrow.yard.entries import Advice
from turnrow.yard.temperature import Limit, degrees

WHY_RULE = (
    "Weed seeds and germs die when every part has been hot long enough. The outside of a row stays cooler, "
    "so it is turned in and the middle out; a turn is only worth its fuel for the proof while the whole "
    "row is hot. Nobody stands near or in line with the turner."
)
WHY_WAIT = (
    "Wind carries dust, spores and smell to the neighbours, and sparks from a hot row; hard frost takes "
    "the heat out of an opened row and it may not come back."
)


def turning(
    seen: Seen, plan: TurnPlan | None, limits: Limits, now: Around, rule: str, asked: Limit | None = None
) -> Advice | None:
    """The row's turn of today. Nothing for a row unread, read too long ago, or turned since its reading.

    asked  the heat the rule wants for the turns it still asks for, where no hot period is going on
    """
    spot = seen.hottest
    if spot is None or seen.stale or seen.after_turn or seen.turned_today:
        return None
    hot = heat.reaches(spot, limits, "turn_limit")
    if seen.process == "worm" and not hot:
        return bed(seen, limits)
    if seen.process != "turned":
        return heat.hot_but_unturned(seen, spot, limits) if hot else None
    acted = heat.reaches(spot, limits, "fire_act")
    if hot and spot.suspect and not acted:
        return None  # read it again first; the probe job says so
    wanted = wanted_today(seen, plan)
    if acted:
        job = heat.cool(seen, spot, limits)
    elif hot:
        job = _too_hot(seen, spot, plan, limits, rule, asked)
    elif wanted and plan is not None:
        job = _for_the_rule(seen, plan, rule)
    else:
        return None
    return _held(seen, job, hot, limits, now) or job


def wanted_today(seen: Seen, plan: TurnPlan | None) -> bool:
    """The rule's next turn is due and would count: every station read, and each one hot enough."""
    if plan is None or seen.today < plan.due or seen.missing or not seen.sound:
        return False
    if any(spot.suspect for spot in seen.spots):
        return False
    return plan.cold(seen.spots) is None and plan.over(seen.spots) is None


def counts_as(seen: Seen, plan: TurnPlan | None, asked: Limit | None = None) -> str:
    """What today's turn would be for the rule, one sentence with a space before it; "" for nothing."""
    if plan is None:
        low = seen.coldest
        if asked is None or low is None or low.heat >= asked.ninths:
            return ""
        return f" For the rule it will not count: {low.words}, it asks for {asked.words()} everywhere."
    if seen.today < plan.earliest:
        return f" For the rule it will not count: the next turn counts from {days.short_date(plan.earliest)}."
    cold, over = plan.cold(seen.spots), plan.over(seen.spots)
    if cold and plan.limit:
        return f" For the rule it will not count: {cold.words}, it asks for {plan.limit.words()} everywhere."
    if over and plan.upper:
        return f" For the rule it will not count: {over.words} is over {_bare(plan.upper)}."
    if seen.missing:
        return " For the rule it may not count: not every station was read."
    return f" It will be the {place(plan.nth)} of {count(plan.of)} turns."


def _bare(limit: Limit) -> str:
    return degrees(limit.value, limit.unit)


def _too_hot(
    seen: Seen, spot: Spot, plan: TurnPlan | None, limits: Limits, rule: str, asked: Limit | None
) -> Advice:
    text = (
        f"Turn row {seen.row} this morning: {spot.words}{seen.when()}, the limit is "
        f"{limits.words('turn_limit')}.{counts_as(seen, plan, asked)}"
    )
    lines = [spot.line, *(plan.lines if plan else ())]
    return advice(
        seen.row, "turn", text, heat.WHY_TURN, lines, urgent=True, rule=rule if plan or asked else ""
    )


def _for_the_rule(seen: Seen, plan: TurnPlan, rule: str) -> Advice:
    coldest = min(seen.spots, key=lambda spot: spot.heat)
    last = plan.latest is not None and seen.today >= plan.latest
    by = ""
    if plan.latest is not None:
        by = (
            " Today is the latest day for it"
            if last
            else f" The latest day is {days.short_date(plan.latest)}"
        )
        by += ", or the days are done before the turns are."
    state = f"every station is at {plan.limit.words()}" if plan.limit else "it is far enough from the last"
    text = (
        f"Turn row {seen.row} today: the {place(plan.nth)} of {count(plan.of)} turns, and it counts because "
        f"{state} (coldest {coldest.words}{seen.when()}).{by}"
    )
    lines = [*seen.read_lines, *plan.lines]
    return advice(seen.row, "turn", text, WHY_RULE, lines, urgent=last, rule=rule)


def _held(seen: Seen, job: Advice, hot: bool, limits: Limits, now: Around) -> Advice | None:
    """The same turn put off by the weather; frost does not hold back a row that is too hot."""
    if hot:
        wind = too_windy(now, limits)
        if wind is None:
            return None
        stop = limits.words("wind_stop")
        held: tuple[str, tuple[int, ...]] | None = (
            f"the wind is {words(wind.amount)} and turning stops at {stop}",
            (wind.line,),
        )
    else:
        held = held_by(now, limits)
    if held is None:
        return None
    wet = " Wet it from outside meanwhile and keep watching it." if hot else ""
    then = job.text[0].lower() + job.text[1:]
    text = f"Do not open row {seen.row} yet: {held[0]}.{wet} When that is over: {then}"
    return advice(
        seen.row, "wait", text, WHY_WAIT, [*job.because, *held[1]], urgent=job.urgent, rule=job.rule
    )
