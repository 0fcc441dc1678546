"""What the yard's own lines say of today's weather, for all rows alike."""

from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.schedule.limits import SPEEDS, Limits, exact, words
from turnrow.yard.entries import Amount, Weather
from turnrow.yard.history import Event
from turnrow.yard.temperature import ninths


@dataclass(frozen=True)
class Told:
    """One figure of the weather and the line it stands on."""

    amount: Amount
    line: int


@dataclass(frozen=True)
class Around:
    """The day's newest figures; None where no line of the day gives one."""

    air: Told | None = None
    rain: Told | None = None
    wind: Told | None = None


def around(weather: Sequence[tuple[Event, Weather]], today: int) -> Around:
    """The newest figures among the lines that happened on day `today`; older weather is no weather."""
    newest: dict[str, Told] = {}
    for event, what in weather:
        if event.day != today:
            continue
        for name in ("air", "rain", "wind"):
            amount = getattr(what, name)
            if amount is not None:
                newest[name] = Told(amount, event.line.number)
    return Around(**newest)


def too_windy(now: Around, limits: Limits) -> Told | None:
    """The wind, where it is at the stop or over."""
    speed = exact(now.wind.amount, SPEEDS) if now.wind else None
    stop = exact(limits.settings["wind_stop"], SPEEDS)
    return now.wind if speed is not None and stop is not None and speed >= stop else None


def too_cold(now: Around, limits: Limits) -> Told | None:
    """The air, where it is under the temperature at which a row is still opened."""
    return now.air if now.air and _under(now.air.amount, limits.heat("no_turn_below").ninths) else None


def freezing(now: Around) -> Told | None:
    return now.air if now.air and _under(now.air.amount, 0) else None


def held_by(now: Around, limits: Limits) -> tuple[str, tuple[int, ...]] | None:
    """Why no row is opened today and the lines that say so; None where nothing holds."""
    wind, cold = too_windy(now, limits), too_cold(now, limits)
    said = []
    if wind:
        said.append(f"the wind is {words(wind.amount)} and turning stops at {limits.words('wind_stop')}")
    if cold:
        said.append(
            f"the air is {words(cold.amount)} and no row is opened under {limits.words('no_turn_below')}"
        )
    lines = tuple(told.line for told in (wind, cold) if told)
    return (" and ".join(said), lines) if said else None


def _under(amount: Amount, edge: int) -> bool:
    if amount.unit == "C":
        return ninths(amount.value, "C") < edge
    if amount.unit == "F":
        return ninths(amount.value, "F") < edge
    return amount.unit == "K" and ninths(amount.value, "K") < edge
