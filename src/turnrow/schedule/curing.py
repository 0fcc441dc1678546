"""The end of the hot time: no reheat after a turn, the move to curing, and what curing still watches."""

from dataclasses import dataclass

from turnrow.handbook.rules import Rule
from turnrow.sanitation.standing import Standing
from turnrow.schedule.limits import Limits
from turnrow.schedule.proof import hot_limit
from turnrow.schedule.seen import Seen
from turnrow.schedule.words import advice
from turnrow.yard import days
from turnrow.yard.entries import Advice
from turnrow.yard.temperature import from_ninths

WHY_CURE = (
    "When a turn no longer makes a row warm again, the quick food is eaten. It then ripens slowly, and "
    "must not be used as ripe until that is done."
)
WHY_SPENT = (
    "A row that cools after a turn and stays cool is finished, or too dry to go on; they look alike until "
    "someone squeezes a handful."
)
WHY_WARM = "Ripe compost stays cool. One that is hot in curing is not finished, or was stacked too high."


@dataclass(frozen=True)
class Reheat:
    """How far the row's hottest rose again after its last turn [ninths]."""

    turn_day: int
    turn_line: int
    rise: int
    now: int  # the hottest of the newest day


def reheat(seen: Seen, limits: Limits) -> Reheat | None:
    """The rise from the first day read after the last turn to the hottest day since.

    None before two days were read over at least the recovery time, or without a turn.
    """
    if seen.turn is None:
        return None
    pairs = zip(seen.high_day, seen.high, strict=True)
    after = [(day, high) for day, high in pairs if day > seen.turn.day]
    if len(after) < 2 or after[-1][0] - seen.turn.day < limits.days("recovery_days"):
        return None
    rise = max(high for _, high in after) - after[0][1]
    return Reheat(seen.turn.day, seen.turn.line.number, rise, after[-1][1])


def ending(seen: Seen, standing: Standing, limits: Limits, rule: Rule | None) -> Advice | None:
    """Move to curing when proven, squeeze first when not; hot in curing; else nothing."""
    spot = seen.hottest
    if spot is None or seen.stale or seen.process != "turned":
        return None
    if seen.curing:
        if spot.heat < limits.heat("not_heating_temp").ninths:
            return None
        text = (
            f"Row {seen.row} is still warm in curing: {spot.words}{seen.when()}. Do not sell it as ripe; "
            "squeeze it, lower it, and turn it back among the working rows if it climbs."
        )
        return advice(seen.row, "look", text, WHY_WARM, [spot.line], key="warm")
    back = reheat(seen, limits)
    if back is None or back.rise >= limits.step("reheat_done"):
        return None
    hot = hot_limit(rule)
    if back.now >= (hot or limits.heat("not_heating_temp")).ninths:
        return None  # still as hot as its rule asks for: working, not done
    name = rule.id if rule else ""
    rise = from_ninths(max(back.rise, 0), "C").removesuffix(" °C")
    after = (
        f"after the turn of {days.short_date(back.turn_day)} it warmed by only {rise} °C (done under "
        f"{limits.words('reheat_done')}) and its hottest is {spot.words}{seen.when()}"
    )
    lines = [back.turn_line, *seen.read_lines, *standing.lines[-1:]]
    if standing.verdict == "PASS":
        text = f"Move row {seen.row} to curing: it is proven hot; {after}."
        return advice(seen.row, "cure", text, WHY_CURE, lines, rule=name)
    warm = limits.heat("not_heating_temp").ninths
    if spot.heat >= warm or max(seen.high) < warm:
        return None  # warm still, or never was: that is another sign
    text = (
        f"Row {seen.row} cools after its turns and does not warm again: {after}, and it is not proven. "
        "Squeeze it: if dry, water it and it heats again; if moist, it may be done too early for its rule."
    )
    return advice(seen.row, "look", text, WHY_SPENT, lines, rule=name, key="reheat")
