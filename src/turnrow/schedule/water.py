"""Water a row, or hold the water back, by the hand squeeze or a measured moisture."""

from fractions import Fraction

from turnrow.schedule.dry_matter import DryLeft, dry_left
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
    much, line = _how_much(seen, history, name, test, limits)
    text = f"Water row {seen.row}: {said}. {much}"
    return advice(seen.row, "water", text, WHY_DRY, [test.line, line])


AMOUNT = " To reach "  # where the sentence of the amount begins
BY_HAND = "Give water while turning, squeeze again after the pass, and stop when a drop or two comes out."
MOISTURE_OFF, SQUEEZE_OFF = (
    0.05,
    0.115,
)  # half of the 80 % range of a grab sample's and a hand's moisture (OWN)


def squeezed(score: int, limits: Limits) -> float:
    """The moisture (wet basis, 0..1) a squeeze [millionths] stands for: the dry score at the low end of the
    working range, the wet one at its high end, straight between and beyond."""
    dry, wet = limits.number("squeeze_dry"), limits.number("squeeze_wet")
    low, high = limits.number("moisture_low"), limits.number("moisture_high")
    share = (low + (high - low) * (score - dry) / max(wet - dry, 1)) / (100 * MICRO)
    return min(max(share, 0.05), 0.9)


def amount_words(target: str, low: float, middle: float, high: float, how: str) -> str:
    """One sentence for an amount of water [t], its 80 % range and what it is calculated from."""
    return (
        f"{AMOUNT.lstrip()}{target} it takes about {_tonnes(middle)} t of water (as many m³; 80 % range "
        f"{_tonnes(low)} to {_tonnes(high)}), calculated from {how}. Give it in parts while turning, squeeze "
        "after each pass, and stop when a drop or two comes out, so that none runs off."
    )


def _tonnes(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}"


def _hold(seen: Seen, said: str, test: HandTest) -> Advice:
    text = f"No water on row {seen.row}: {said}. Turn in dry coarse material when it is turned."
    return advice(seen.row, "hold water", text, WHY_WET, [test.line])


def _how_much(seen: Seen, history: History, name: str, test: HandTest, limits: Limits) -> tuple[str, int]:
    """The amount with its range, where the row's dry matter is known; else how to find it by hand."""
    moisture = (
        test.amount.value / (100 * MICRO) if name == "moisture" else squeezed(test.amount.value, limits)
    )
    off = MOISTURE_OFF if name == "moisture" else SQUEEZE_OFF
    target = limits.number("moisture_target") / (100 * MICRO)
    dry = _weighed(seen, moisture) or dry_left(seen, history, limits)
    if dry is None:
        return BY_HAND, 0

    def needed(share: float) -> float:
        """Water per tonne of dry matter from that moisture to the target."""
        part = Fraction(share)
        return float(water_needed(1 / (1 - part), part, Fraction(target)))

    middle = needed(moisture)
    mass = max(dry.high - dry.middle, dry.middle - dry.low) * middle
    wet = dry.middle * max(needed(moisture - off) - middle, middle - needed(min(moisture + off, 0.9)))
    spread, best = (mass**2 + wet**2) ** 0.5, dry.middle * middle
    words = amount_words(
        limits.words("moisture_target"), max(best - spread, 0.0), best, best + spread, dry.how
    )
    return words, dry.line


def _weighed(seen: Seen, moisture: float) -> DryLeft | None:
    """Dry matter of a row whose wet mass was measured, at the moisture it has."""
    measured = seen.tests.get("mass")
    tonnes = exact(measured.amount, TONNES) if measured else None
    if measured is None or tonnes is None:
        return None
    dry = float(tonnes) * (1 - moisture)
    how = f"{words(measured.amount)} measured {ago(measured.day, seen.today)}"
    return DryLeft(dry * 0.9, dry, dry * 1.1, how, measured.line)
