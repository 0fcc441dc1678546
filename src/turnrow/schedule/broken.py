"""A run that broke, or a proof that can no longer be met as it stands: what broke it, what restarts it."""

from turnrow.handbook.rules import HotDays, Rule
from turnrow.sanitation.standing import Standing
from turnrow.schedule.proof import alive
from turnrow.schedule.seen import Seen
from turnrow.schedule.words import advice, many
from turnrow.yard import days
from turnrow.yard.entries import Advice
from turnrow.yard.temperature import Limit, degrees, from_ninths

WHY = (
    "The rule wants the hot days one after the other. A day with a cold station ends them, because that part "
    "was not hot; a day without a reading ends them, because nobody can say."
)


def restart(rule: Rule | None, standing: Standing, seen: Seen) -> Advice | None:
    """Says what broke the run and from when days count again; None while a run goes on or none began."""
    if rule is None or seen.read_day is None or standing.verdict == "PASS" or seen.curing:
        return None
    proof = rule.proof
    if not isinstance(proof, HotDays) or not standing.hot_days:
        return None
    if standing.policies.get("continuity", "consecutive") != "consecutive":
        return None
    table = standing.table
    if alive(standing, seen) is not None or table is None:
        return None
    hot_rows = [i for i, hot in enumerate(table.hot.tolist()) if hot == 1]
    if not hot_rows or hot_rows[-1] + 1 >= len(table.hot):
        return None
    broke = hot_rows[-1] + 1
    day = int(table.day[broke])
    read = [s for s in range(len(table.stations)) if table.count[broke, s]]
    edge = proof.limit.ninths
    cold = min(read, key=lambda s: int(table.coldest[broke, s]), default=None)
    on = days.short_date(day)
    if not read:
        if day >= seen.today:
            return None
        what = f"nothing was read on {on}; if a reading was taken, write it down with its date"
    elif cold is not None and int(table.coldest[broke, cold]) < edge:
        low = _low(int(table.coldest[broke, cold]), proof.limit)
        what = f"station {table.stations[cold]} was at {low} on {on}"
    elif table.hot[broke] == 0 and proof.upper is not None:
        what = f"a station was over {degrees(proof.upper.value, proof.upper.unit)} on {on}"
    elif len(read) < len(table.stations):
        if day >= seen.today:
            return None  # the round of today is not finished
        names = ", ".join(table.stations[s] for s in range(len(table.stations)) if s not in read)
        what = f"station {names} was not read on {on}; if it was, write it down with its date"
    else:
        return None
    again = f"{many(standing.days_needed, 'day')} in a row with {many(standing.turns_needed, 'turn')} in them"
    if not standing.turns_needed:
        again = f"{many(standing.days_needed, 'day')} in a row"
    text = (
        f"Row {seen.row} must begin its days anew: {what}. They count again from the next day on which every "
        f"station is at {proof.limit.words()}: {again}. Turning and wetting brings the heat back if the mix "
        "still has food."
    )
    return advice(
        seen.row, "restart", text, WHY, [*seen.read_lines, *standing.lines[-1:]], rule=standing.rule
    )


def _low(heat: int, limit: Limit) -> str:
    """A reading under the limit with as many decimals as show that it is."""
    edge = from_ninths(limit.ninths, limit.unit, 1)
    shown = from_ninths(heat, limit.unit, 1)
    return from_ninths(heat, limit.unit, 6) if shown == edge else shown
