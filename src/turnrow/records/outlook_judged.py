"""What a row's forecasts were worth, and which way of forecasting speaks and why, in sentences."""

from turnrow.heap.log_says import SPEAKS_H
from turnrow.heap.outlook import Score
from turnrow.heap.scored import BETTER, LEAST
from turnrow.records.outlook_words import Reader
from turnrow.schedule.ahead import LEAST_SCORED, Ahead

MODEL, LOG = "the model of the heap", "the row’s own past readings"
COUNTED = "(wide bands count as being off, too)"
AHEAD = {24.0: "one day", 48.0: "two days", 72.0: "three days"}
NEVER_TRIED = "the model was not tried on a heap so small"


def judged(ahead: Ahead, mornings: int | None, reader: Reader) -> tuple[str, ...]:
    """Which way speaks and what it was worth; nothing before it is scored, None `mornings`."""
    if mornings is None:
        return ()
    words = (choice_words(ahead, mornings, reader), *score_words(ahead, mornings))
    return tuple(one for one in words if one)


def choice_words(ahead: Ahead, mornings: int, reader: Reader) -> str:
    """Which way of forecasting speaks, and why, with both scores; empty before they are scored."""
    one = ahead.choice
    if one is None:
        return ""
    mine, theirs = reader.apart(one.model_k), reader.apart(one.log_k)
    both = f"on {_last(mornings)} they were off by {mine} and {theirs} {COUNTED}"
    if ahead.skilled is False and one.count >= LEAST:
        return f"Neither {MODEL} nor {LOG} did better than saying “as now”: {both}."
    if one.used == "process model":
        why = f"on {_last(mornings)} it was off by {mine}, {LOG} by {theirs} {COUNTED}"
        few = f"too few past outcomes tell it from {LOG}, {one.count} of the {LEAST} that are wanted"
        return f"{MODEL.capitalize()} speaks: {few if one.count < LEAST else why}."
    who = LOG if one.used == "statistical" else f"{MODEL} and {LOG}, evenly mixed,"
    why = both
    if one.used == "statistical":
        why = f"on {_last(mornings)} they were off by {theirs}, the model by {mine} {COUNTED}"
        if one.count < LEAST or one.log_k >= (1.0 - BETTER) * one.model_k:
            why = NEVER_TRIED + (f"; {why}" if one.count >= LEAST else "")
    return (
        f"For {AHEAD[SPEAKS_H]} {who} speak, then more and more {MODEL}, and from a week on it alone: {why}."
    )


def score_words(ahead: Ahead, mornings: int) -> tuple[str, ...]:
    """How its forecasts did against what came; the last sentence says where they are not to be heeded."""
    told = [one for one in ahead.scores if one.count]
    if not told:
        return ("None of this row’s forecasts can be scored yet: take it for what its make and its air say.",)
    said = [f"Forecast anew from what was known on {_last(mornings)}, {_one_score(told[0], first=True)}."]
    said += [f"{_one_score(one).capitalize()}." for one in told[1:]]
    if ahead.skilled is False:
        said.append("Nothing is forecast for this row: its newest reading has been the better guess so far.")
    elif ahead.skilled is None:
        said.append(f"Fewer than {LEAST_SCORED} outcomes is too few to say how good it is here.")
    elif ahead.choice is not None and ahead.choice.used != "process model":
        said.append("Who speaks was chosen on these same mornings, which flatters a little.")
    return tuple(said)


def _last(mornings: int) -> str:
    return "the last morning" if mornings == 1 else f"the last {mornings} mornings"


def _one_score(one: Score, *, first: bool = False) -> str:
    kept, how = round(one.held * one.count), AHEAD.get(one.ahead_h, f"{one.ahead_h:g} hours")
    if first:
        within = f"{kept} of {one.count} readings fell within both bands (9 in 10 should)"
        return f"{how} ahead {within}, {_nearer(one.skill, ' saying “as now”')}"
    return f"{how} ahead: {kept} of {one.count}, {_nearer(one.skill)}"


def _nearer(skill: float, than: str = "") -> str:
    if skill > -1:
        way = "nearer" if skill >= 0 else "further off"
        return f"{100 * abs(skill):.0f} % {way}{than and ' than'}{than}"
    return f"{1 - skill:.0f} times as far off{than and ' as'}{than}"
