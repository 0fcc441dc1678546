"""What a row comes to and when, in the words that Stock and the row's own page share."""

from datetime import date, timedelta
from math import ceil

from turnrow.foreman.sources import Uncounted
from turnrow.sales.promise import SPAN, Coming
from turnrow.web.render import long_day


def ripe_words(row: Coming, today: date) -> str:
    """When a row is ripe and how much of it is left then, each with the range of eight in ten."""
    said = ""
    if row.ready_day is not None:
        low, middle, high = (today + timedelta(days=ceil(day)) for day in row.ready_day)
        said = f"Ripe about {long_day(middle)}"
        said = "Ripe now" if high <= today else said
        said += f" ({long_day(low)} to {long_day(high)})" if high > low else ""
    left, off = row.amount / row.kept, SPAN * row.sd / row.kept
    be = "are left" if said == "Ripe now" else "will be left then"
    return f"{said}; about {left:.0f} t {be} ({max(0.0, left - off):.0f} to {left + off:.0f} t)."


def way_words(row: Coming) -> str:
    """How much of it may leave, and how surely."""
    sure = 1.0
    said = [f"about {row.amount:.0f} t of it pass the sieve"] if row.kept < 1 else []
    for what, chance in row.chances:
        sure *= chance
        if chance < 1:
            said.append(f"chance to be {WORDS[what]} {100 * chance:.0f} %")
    if row.after:
        said.append(f"{sum(days[1] for days in row.after):.0f} days more for {STEPS[len(row.after)]}")
    return f"{'; '.join(said)}.".capitalize() if said else ""


def row_words(found: Coming | Uncounted, today: date) -> str:
    """The same of a row that no promise counts, with why."""
    return ripe_words(found, today) if isinstance(found, Coming) else f"No promise counts it. {found.why}"


WORDS = {"proven": "proven hot", "tested": "found good by the laboratory"}
STEPS = {1: "the release", 2: "laboratory and release"}
