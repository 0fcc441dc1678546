"""Heat that does harm: over the fire limits nobody opens the row; under them it is cooled, or turned.

Sources of the limits: handbook settings fire_stop, fire_act (rules on self-heating), turn_limit
(common practice). A reading at a limit has reached it; all are compared exactly.
"""

from turnrow.schedule.limits import Limits, words
from turnrow.schedule.seen import Seen, Spot
from turnrow.schedule.words import advice, ago
from turnrow.yard.entries import Advice

WHY_FIRE = (
    "Above about 80 °C a heap heats itself without its microbes, like hay that takes fire. Opening it lets "
    "air in and it can burst into flame; a burnt hollow inside gives way under a person or a machine. "
    "Smoke and fumes harm. The fire service and the local fire rules decide; wait for them upwind."
)
WHY_COOL = (
    "Microbes make a heap hot up to about 70 or 80 °C; above that it can go on heating by itself. Turning "
    "and water take heat out, but opening also lets air in, so water and a loader stand ready first. "
    "Follow the local fire rules."
)
WHY_TURN = (
    "Too hot and the microbes that make compost die off; the middle dries and the row can go on heating. "
    "Turning lets the heat out and brings the outside in. Nobody stands near or in line with the turner, "
    "and whoever has weak lungs keeps away from the dust and spores."
)
SMOKE = "At any smoke or burnt smell stop, keep people away and call the fire service before opening it."


def reaches(spot: Spot, limits: Limits, name: str) -> bool:
    return spot.heat >= limits.heat(name).ninths


def fire(seen: Seen, limits: Limits) -> Advice | None:
    """Stop: people away, call first. Rests on the newest reading whatever its age: heat unread is
    not heat gone, only a newer reading takes the warning back."""
    spot = seen.hottest
    if spot is None or not reaches(spot, limits, "fire_stop"):
        return None
    old = ""
    if seen.age > 0 and seen.read_day is not None:
        old = f" That was {ago(seen.read_day, seen.today)} and nobody has read it since: it counts as hot."
    doubt = f" The reading is doubted ({spot.sentence.rstrip('.')}); until it is shown wrong it stands."
    text = (
        f"Keep everybody away from row {seen.row}: {spot.words}, the stop is {limits.words('fire_stop')}. "
        "Call the fire service before anyone opens it. Do not turn, dig or climb it; until they have said "
        f"so, nothing beside it is turned, watered or probed either.{old}{doubt if spot.suspect else ''}"
    )
    return advice(seen.row, "fire", text, WHY_FIRE, [spot.line], urgent=True)


def dry(seen: Seen, limits: Limits) -> tuple[str, int] | None:
    """How the row was found dry enough to burn, and the line."""
    week = limits.days("round_every_days_curing")
    moisture = seen.test("moisture", week)
    if moisture and moisture.amount.unit == "%":
        low, high = limits.number("fire_dry_low"), limits.number("fire_dry_high")
        inside = low <= moisture.amount.value <= high
        return (f"{words(moisture.amount)} moisture", moisture.line) if inside else None
    squeeze = seen.test("squeeze", week)
    if squeeze and squeeze.amount.value <= limits.number("squeeze_dry"):
        return f"squeeze {words(squeeze.amount)}", squeeze.line
    return None


def cool(seen: Seen, spot: Spot, limits: Limits) -> Advice:
    """Over the limit at which it must be acted on, under the stop."""
    found = dry(seen, limits)
    caution = ""
    if found:
        caution = f" It is dry as well ({found[0]}), which is how rows take fire: wet it before opening it."
    text = (
        f"Cool row {seen.row} now: {spot.words}{seen.when()}, and at {limits.words('fire_act')} it is acted "
        f"on. Turn it with water and a loader ready, from the upwind side, and lay it lower.{caution} {SMOKE}"
    )
    lines = [spot.line, *([found[1]] if found else [])]
    return advice(seen.row, "cool", text, WHY_COOL, lines, urgent=True, key="turn")


def hot_but_unturned(seen: Seen, spot: Spot, limits: Limits) -> Advice:
    """A static pile, slow heap or bed over the turning limit: it is not a row to turn."""
    urgent = reaches(spot, limits, "fire_act")
    text = (
        f"Watch {seen.process} heap {seen.row}: {spot.words}{seen.when()}, the limit is "
        f"{limits.words('turn_limit')}. It is not turned: wet it, take off cover, open its air, and read it "
        f"again today. {SMOKE}"
    )
    return advice(seen.row, "watch", text, WHY_COOL, [spot.line], urgent=urgent)
