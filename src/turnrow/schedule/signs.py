"""Signs of a row that goes wrong, each with its likely causes and what to do, from what is known.

Source: the failure table of farm practice (handbook source practice-c8), own words.
"""

from collections.abc import Mapping

from turnrow.schedule.around import Around, freezing
from turnrow.schedule.limits import METRES, Limits, exact, words
from turnrow.schedule.seen import Seen
from turnrow.schedule.words import advice, many
from turnrow.yard.entries import Advice, Amount, Measured, Merged
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO, parse_micro
from turnrow.yard.temperature import from_ninths

WHY_COLD = (
    "A row heats because microbes eat. They need water, air, enough nitrogen and a heap big enough to keep "
    "its warmth; when one of the four is missing it stays cold."
)
WHY_DROP = "A hot row that cools in a few days without being turned has most often run out of air or water."
WHY_UNEVEN = (
    "Where one place is much cooler than another the row was mixed unevenly, or a spot is wet or dry. "
    "The cold place is the one that is not proven."
)
UNKNOWN = (
    "Not known why: squeeze a handful at three spots first, then look at the mix (carbon to nitrogen), the "
    "size of the row and the age of what went in"
)


def signs(
    seen: Seen, history: History, limits: Limits, now: Around, facts: Mapping[str, str]
) -> list[Advice]:
    """What a fresh round shows to be wrong; nothing from a row unread or read too long ago."""
    if not seen.sound or seen.stale or seen.process != "turned":
        return []
    found = [_not_heating(seen, history, limits, now, facts), _dropped(seen, limits), _uneven(seen, limits)]
    return [sign for sign in found if sign]


def _not_heating(
    seen: Seen, history: History, limits: Limits, now: Around, facts: Mapping[str, str]
) -> Advice | None:
    spot, low = seen.hottest, limits.heat("not_heating_temp").ninths
    wait = limits.days("not_heating_days")
    if spot is None or seen.built_day is None or seen.curing or max(seen.high) >= low:
        return None
    age = seen.today - seen.built_day
    if age < wait:
        return None
    causes, lines = _causes(seen, history, limits, now, facts)
    text = (
        f"Row {seen.row} does not heat: {many(age, 'day')} after building its hottest is {spot.words}"
        f"{seen.when()}, under {limits.words('not_heating_temp')}. {'. '.join(causes or [UNKNOWN])}."
    )
    return advice(seen.row, "look", text, WHY_COLD, [*seen.read_lines, *lines], key="cold")


def _causes(
    seen: Seen, history: History, limits: Limits, now: Around, facts: Mapping[str, str]
) -> tuple[list[str], list[int]]:
    """Likely causes with their remedies, and the lines they rest on."""
    causes: list[str] = []
    lines: list[int] = []

    def say(cause: str, line: int = 0) -> None:
        causes.append(cause)
        lines.append(line)

    week = limits.days("round_every_days_curing")
    squeeze, moisture = seen.test("squeeze", week), seen.test("moisture", week)
    if squeeze and moisture:  # the newer of the two speaks, as it does of water
        older = min(squeeze, moisture, key=lambda test: (test.at, test.line))
        squeeze, moisture = (None if test is older else test for test in (squeeze, moisture))
    if squeeze and squeeze.amount.value <= limits.number("squeeze_dry"):
        say("Likely too dry by the squeeze: water it while turning", squeeze.line)
    elif moisture and moisture.amount.value < limits.number("moisture_low"):
        say(f"Likely too dry ({words(moisture.amount)}): water it while turning", moisture.line)
    if squeeze and squeeze.amount.value >= limits.number("squeeze_wet"):
        say("Likely too wet by the squeeze: turn in dry coarse material", squeeze.line)
    elif moisture and moisture.amount.value > limits.number("moisture_high"):
        say(f"Likely too wet ({words(moisture.amount)}): turn in dry coarse material", moisture.line)
    ratio = _number(facts.get("cn_initial", ""))
    if ratio is not None and ratio > limits.number("cn_high"):
        say(
            f"Likely too little nitrogen (C:N {facts['cn_initial']}, over "
            f"{limits.words('cn_high').removesuffix(' ratio')}): mix in manure or fresh grass",
            _cn_line(history),
        )
    height = _height(seen, history)
    tall, least = exact(height[0], METRES) if height else None, exact(limits.settings["small_height"], METRES)
    if height and tall is not None and least is not None and tall < least:
        say(f"Small ({words(height[0])} high): raise its section or merge it with another row", height[1])
    merged = [e for e, what in history.of(Merged) if what.row == seen.row]
    if merged and seen.today - merged[-1].day <= limits.days("not_heating_days"):
        say("Other material was pushed in lately: give it three days, then turn", merged[-1].line.number)
    if now.rain and now.rain.amount.value > 0:
        say(f"Rain ({words(now.rain.amount)}): crest it up and cover it", now.rain.line)
    cold = freezing(now)
    if cold:
        say(f"Frost ({words(cold.amount)}): cover it with fines, or merge into a bigger row", cold.line)
    return causes, lines


def _number(text: str) -> int | None:
    try:
        return parse_micro(text) if text else None
    except ValueError:
        return None


def _cn_line(history: History) -> int:
    found = [
        e.line.number for e, what in history.of(Measured) if what.quantity in ("cn", "C:N", "cn_initial")
    ]
    return found[-1] if found else 0


def _height(seen: Seen, history: History) -> tuple[Amount, int] | None:
    """The row's height as last measured, else as built."""
    test = seen.tests.get("height")
    if test:
        return test.amount, test.line
    if history.built and history.built[1].height:
        return history.built[1].height, history.built[0].line.number
    return None


def _dropped(seen: Seen, limits: Limits) -> Advice | None:
    """Heats, then drops fast: no turn and no water in between."""
    spot, span = seen.hottest, limits.days("recovery_days")
    if spot is None or seen.curing or seen.read_day is None or not seen.high:
        return None
    since = seen.read_day - span
    quiet = not any(e and e.day >= since for e in (seen.turn, seen.watered))
    before = [(h, d) for d, h in zip(seen.high_day, seen.high, strict=True) if since <= d < seen.read_day]
    if not before or not quiet:
        return None
    high, day = max(before)
    warm = high >= limits.heat("not_heating_temp").ninths
    if not warm or high - spot.heat < limits.step("drop_fast"):
        return None
    text = (
        f"Look into row {seen.row}: its hottest fell from {from_ninths(high, spot.unit)} to {spot.words}"
        f"{seen.when()} in {many(seen.read_day - day, 'day')} without a turn. Likely out of air or dry "
        "inside: squeeze it, turn and wet it, and check the gas."
    )
    return advice(seen.row, "look", text, WHY_DROP, seen.read_lines, key="drop")


def _uneven(seen: Seen, limits: Limits) -> Advice | None:
    """Stations far apart at the same depth."""
    if any(spot.suspect for spot in seen.spots) or seen.curing:
        return None
    worst = None
    for depth in dict.fromkeys(spot.depth_mm for spot in seen.spots):
        same = [spot for spot in seen.spots if spot.depth_mm == depth]
        low, high = min(same, key=lambda s: s.heat), max(same, key=lambda s: s.heat)
        spread = high.heat - low.heat
        if spread >= limits.step("uneven_stations") and (worst is None or spread > worst[0]):
            worst = spread, low, high
    if worst is None:
        return None
    _, low, high = worst
    apart = words(Amount(worst[0] // 9 // (MICRO // 10) * (MICRO // 10), "C"))
    text = (
        f"Row {seen.row} is uneven: {low.words} but {high.words}{seen.when()}, {apart} apart. Look for a wet "
        f"or dry spot at station {low.station} and mix the row again when it is next turned."
    )
    return advice(seen.row, "look", text, WHY_UNEVEN, [low.line, high.line], key="uneven")
