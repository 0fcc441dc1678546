"""Water a row, or hold the water back, by the hand squeeze or a measured moisture."""

from fractions import Fraction

from turnrow.schedule.limits import TONNES, Limits, exact, words
from turnrow.schedule.seen import HandTest, Seen
from turnrow.schedule.words import advice, ago
from turnrow.yard.entries import Advice
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO

WHY_DRY = (
    "Microbes live in the thin film of water on every piece. Under about 40 % water they slow down and "
    "stop, the row cools although it is not finished, and a dry hot row can take fire."
)
WHY_WET = (
    "When water fills the holes between the pieces no air gets in; the row turns sour, smells and drips. "
    "Like a wrung-out sponge is right."
)


def water_needed(wet_t: Fraction, moisture: Fraction, target: Fraction) -> Fraction:
    """Tonnes of water that bring `wet_t` tonnes from `moisture` to `target`, both shares of wet mass.

        water = dry / (1 - target) - wet        dry = wet (1 - moisture)

    100 t at 40 % to 55 % asks for 33.3 t. 0 where it is wet enough already; ValueError at 100 %.
    """
    if not 0 <= moisture <= 1 or not 0 <= target < 1:
        raise ValueError(f"moisture {moisture} to {target}, want shares from 0 to under 1")
    return max(wet_t * (1 - moisture) / (1 - target) - wet_t, Fraction(0))


def water(seen: Seen, history: History, limits: Limits) -> Advice | None:
    """The newest of the two tests speaks; nothing tested lately, or watered since: nothing is said."""
    within = limits.days("round_every_days_curing")
    tests = {name: seen.test(name, within) for name in ("squeeze", "moisture")}
    told = [(name, test) for name, test in tests.items() if test]
    if not told:
        return None
    name, test = max(told, key=lambda pair: (pair[1].at, pair[1].line))
    value = test.amount.value
    when = "" if test.day == seen.today else f" {ago(test.day, seen.today)}"
    if name == "squeeze":
        is_dry, is_wet = value <= limits.number("squeeze_dry"), value >= limits.number("squeeze_wet")
        said = f"the hand squeeze{when} was {words(test.amount).removesuffix(' score')} of 5"
    elif test.amount.unit == "%":
        is_dry, is_wet = value < limits.number("moisture_low"), value > limits.number("moisture_high")
        said = f"moisture{when} was {words(test.amount)}"
    else:
        return None
    if is_wet:
        return _hold(seen, said, test)
    if not is_dry:
        return None
    much, lines = _how_much(seen, history, test, limits) if name == "moisture" else (_BY_HAND, ())
    text = f"Water row {seen.row}: {said}. {much}"
    return advice(seen.row, "water", text, WHY_DRY, [test.line, *lines])


_BY_HAND = "Give water while turning, squeeze again after the pass, and stop when a drop or two comes out."


def _hold(seen: Seen, said: str, test: HandTest) -> Advice:
    text = f"No water on row {seen.row}: {said}. Turn in dry coarse material when it is turned."
    return advice(seen.row, "hold water", text, WHY_WET, [test.line])


def _how_much(seen: Seen, history: History, test: HandTest, limits: Limits) -> tuple[str, tuple[int, ...]]:
    """The amount, where the row's mass is known."""
    mass = _mass(seen, history)
    if mass is None:
        return _BY_HAND, ()
    wet_t, how, line = mass
    hundred = Fraction(100 * MICRO)
    target = limits.number("moisture_target") / hundred
    tonnes = water_needed(wet_t, test.amount.value / hundred, target)
    text = (
        f"To reach {limits.words('moisture_target')} it takes about {float(tonnes):.1f} t of water (as many "
        f"m3), reckoned from {how}; give it in parts while turning and squeeze after each, so that none "
        "runs off."
    )
    return text, (line,)


def _mass(seen: Seen, history: History) -> tuple[Fraction, str, int] | None:
    """The row's wet mass in tonnes, how it is known and the line: measured, else as built if all in mass."""
    measured = seen.tests.get("mass")
    tonnes = exact(measured.amount, TONNES) if measured else None
    if measured and tonnes is not None:
        return tonnes, f"{words(measured.amount)} measured {ago(measured.day, seen.today)}", measured.line
    if history.built is None or not history.built[1].parts:
        return None
    parts = [exact(part.amount, TONNES) for part in history.built[1].parts]
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        return None
    whole = sum(known, Fraction(0))
    return (
        whole,
        f"{float(whole):.4g} t as built, which is more than it weighs now",
        history.built[0].line.number,
    )
