"""A worm bed that is too cold or too hot for its worms; all that is said of beds so far."""

from turnrow.schedule.limits import Limits
from turnrow.schedule.seen import Seen, Spot
from turnrow.schedule.words import advice
from turnrow.yard.entries import Advice

WHY_COLD = (
    "Manure worms stop feeding in the cold and die where the bed freezes through; their cocoons last longer. "
    "A bed that is deep, covered and lightly fed keeps its middle alive."
)
WHY_HOT = (
    "Worms crawl off or die above about 35 °C. A bed heats when it is fed too thick or with fresh manure: "
    "feed thin, and let the manure heat in a row first."
)


def bed(seen: Seen, limits: Limits) -> Advice | None:
    """The coldest place at or under `bed_cold`, or the hottest at or over `bed_hot`; None between them."""
    low, high = seen.coldest, seen.hottest
    if low is not None and low.heat <= limits.heat("bed_cold").ninths:
        return _cold(seen, low, limits)
    if high is not None and high.heat >= limits.heat("bed_hot").ninths:
        text = (
            f"Cool worm bed {seen.row}: {high.words}{seen.when()}, and worms want it under "
            f"{limits.words('bed_hot')}. Stop feeding, rake the hot layer thin, wet it and shade it."
        )
        return advice(seen.row, "watch", text, WHY_HOT, [high.line], urgent=True)
    return None


def _cold(seen: Seen, spot: Spot, limits: Limits) -> Advice:
    frozen = spot.heat <= 0
    head = "Frost in" if frozen else "Keep the cold from"
    text = (
        f"{head} worm bed {seen.row}: {spot.words}{seen.when()}, and worms want it over "
        f"{limits.words('bed_cold')}. Cover it thick with straw or fleece, do not water or open it, and feed "
        "a thin warm layer on top in the middle."
    )
    return advice(seen.row, "watch", text, WHY_COLD, [spot.line], urgent=frozen)
