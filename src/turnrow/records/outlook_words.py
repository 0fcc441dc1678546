"""An outlook in sentences: limits, the run, water, what will be left, curing, what a deed would change."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np

from turnrow.heap.held_back import HeldBack
from turnrow.heap.outlook import REASONS, Band, Outlook, Passing, WhatIf
from turnrow.schedule.ahead import Ahead, in_ten
from turnrow.yard.days import HOUR_S, moment
from turnrow.yard.temperature import NINTH, Unit, from_ninths

PART_OF_DAY = ((5, "at night"), (11, "in the morning"), (14, "at noon"), (18, "in the afternoon"))
SOON_H = 6.0  # hours said as no more than that
SMALL_K, SMALL_WET = 0.5, 0.01  # differences under these are not worth saying
WHOLE = 3.0  # degrees from 1 in 10 to 9 in 10 from which a difference is said in whole ones
UNLIKELY = 0.05  # chance of passing a limit under which nothing is said of when
CARE = (
    "A forecast is no reading. Probe before anybody acts on a hot heap; hot heaps can burn, and the local "
    "fire code and fire service come before anything said here."
)


@dataclass(frozen=True)
class Reader:
    """Who reads: the yard's calendar and the unit they read temperatures in."""

    zone: ZoneInfo
    unit: Unit = "C"

    def heat(self, celsius: float, decimals: int = 0) -> str:
        return from_ninths(round(celsius * NINTH), self.unit, decimals)

    def limit(self, celsius: float) -> str:
        return from_ninths(round(celsius * NINTH), self.unit, 1).replace(".0 ", " ")

    def apart(self, kelvin: float) -> str:
        """A difference of temperatures, with no sign: "3.1 °C"."""
        size = abs(kelvin) * (1.8 if self.unit == "F" else 1.0)
        return f"{size:.1f} {'K' if self.unit == 'K' else '°' + self.unit}"

    def when(self, at_s: float) -> str:
        """ "Friday 22 May at noon"."""
        there = moment(round(at_s), self.zone)
        part = next((words for hour, words in PART_OF_DAY if there.hour < hour), "in the evening")
        return f"{there:%A} {there.day} {there:%B} {part}"

    def day(self, at_s: float) -> str:
        there = moment(round(at_s), self.zone)
        return f"{there:%A} {there.day} {there:%B}"


def sentences(ahead: Ahead, reader: Reader) -> tuple[str, ...]:
    """What the outlook says of the row, the most pressing first."""
    one = ahead.outlook
    highest = over_now(one)
    likely = [each for each in one.passing if each.limit_c > highest and each.chance >= UNLIKELY]
    said = (
        [f"It is over {reader.limit(highest)} now."] if np.isfinite(highest) else [warming_words(one, reader)]
    )
    if not likely and not said[0]:
        likely = list(one.passing[:1])
    said += [passing_words(each, one, reader) for each in likely]
    said += [run_words(ahead, reader), water_words(one), moisture_words(one), left_words(one)]
    said += [] if ahead.curing else [curing_words(one, reader)]
    return tuple(words for words in said if words)


def over_now(one: Outlook) -> float:
    """The highest limit its newest readings are over [°C]; minus infinity where none."""
    return max((each.limit_c for each in one.passing if each.now), default=-np.inf)


def warming_words(one: Outlook, reader: Reader) -> str:
    """Whether a row that is hot nowhere gets there, by the hottest depth of the fan; "" for others."""
    line, span, top = reader.limit(one.run_c), span_words(one), one.fan.max(axis=1)
    if _hottest(one) >= one.run_c or top[0, 3] >= one.run_c:
        return ""
    reached = [np.flatnonzero(top[:, place] >= one.run_c) for place in (3, 2, 1)]
    first, middle, last = (
        reader.when(one.at_s + one.hours[at[0]] * HOUR_S) if len(at) else "" for at in reached
    )
    if middle:
        between = (
            f"8 of 10: between {first} and {last}" if last else f"not before {first}, perhaps not {span}"
        )
        return f"It likely reaches {line} about {middle} ({between})."
    if first:
        return f"It may reach {line} {span}, but more likely does not."
    most = reader.heat(float(top[:, 4].max()))
    sure = f"at any hour the chance is 19 in 20 that it is under {most}"
    return f"It is not likely to reach {line} {span}: {sure}."


def _hottest(one: Outlook) -> float:
    """The hottest of the newest readings of its depths [°C]; minus infinity without any."""
    return float(np.nanmax(np.append(one.as_now_c, -np.inf)))


def passing_words(one: Passing, outlook: Outlook, reader: Reader) -> str:
    """When a limit is likely passed, and with what chance."""
    limit, span = reader.limit(one.limit_c), span_words(outlook)
    if one.hours is None or one.chance < UNLIKELY:
        return f"It is not likely to pass {limit} {span}: the chance is {in_ten(one.chance)}."
    first, middle, last = (
        reader.when(outlook.at_s + h * HOUR_S) for h in (one.hours.p10, one.hours.p50, one.hours.p90)
    )
    when = f"most likely {middle}" if one.hours.p50 >= SOON_H else "most likely within hours"
    between = f" (8 of 10: between {first} and {last})" if last != first else ""
    return f"The chance that it passes {limit} {span} is {in_ten(one.chance)}; if so, {when}{between}."


def span_words(outlook: Outlook, before: str = "within") -> str:
    """ "within two weeks"."""
    days = round(float(outlook.hours[-1]) / 24)
    return f"{before} two weeks" if days == 14 else f"{before} {days} days"


def run_words(ahead: Ahead, reader: Reader) -> str:
    """The chance that the coldest place keeps the rule's run to the day it is needed to."""
    one = ahead.outlook
    if not len(one.run):
        return ""
    line = reader.limit(one.run_c)
    if ahead.needed is not None and abs(ahead.needed[1] - one.run_c) < 0.01:
        place = ahead.needed[0] - ahead.day
        if 0 <= place < len(one.run):
            day = moment(one.at_s, reader.zone).toordinal() + place
            noon = moment(one.at_s, reader.zone).replace(hour=12).timestamp()
            when = reader.day(noon + (day - ahead.day) * 24 * HOUR_S)
            return (
                f"The chance that its coldest place stays at {line} or hotter to {when}, the day its rule "
                f"needs, is {in_ten(float(one.run[place]))}."
            )
    if _hottest(one) < one.run_c:
        return ""  # no place of it is hot: there is nothing to stay
    lasting = [day for day, chance in enumerate(one.run, 1) if chance >= 0.5]
    if not lasting:
        return f"Its coldest place is not likely to be at {line} or hotter all through the next day."
    more = f"{lasting[-1]} more day{'s' if lasting[-1] > 1 else ''}"
    span = f"all {span_words(one, 'the')}" if lasting[-1] == len(one.run) else more
    chance = in_ten(float(one.run[lasting[-1] - 1]))
    return f"The chance that its coldest place stays at {line} or hotter for {span} is {chance}."


UNKNOWN = 0.12  # width of a moisture's 80 % range from which it is to be squeezed first (OWN)


def water_words(one: Outlook) -> str:
    """What water brings it to its target at the next turn."""
    b = one.water_m3
    target = f"{100 * one.target:.0f} % moisture"
    if one.moisture and one.moisture[0].p90 - one.moisture[0].p10 > UNKNOWN:
        return (
            f"Squeeze or sample it first: its moisture is not known ({_range(one.moisture[0])}), and to be "
            f"at {target} the next turn may want {_figure(b.p10)} to {_figure(b.p90)} m³ of water."
        )
    if b.p50 < 0.1:
        return f"It likely needs no water at the next turn to be at {target}" + (
            f" (the chance is 1 in 10 that it wants {b.p90:.1f} m³ or more)." if b.p90 >= 0.1 else "."
        )
    return (
        f"To bring it to {target} the next turn wants about {_figure(b.p50)} m³ of water (8 of 10: "
        f"{_figure(b.p10)} to {_figure(b.p90)}); give it in parts and squeeze after each."
    )


def moisture_words(one: Outlook) -> str:
    if not one.moisture:
        return ""
    first, last = one.moisture[0], one.moisture[-1]
    return (
        f"Its moisture is about {_pct(first)} now ({_range(first)}) and likely {_pct(last)} "
        f"({_range(last)}) in {len(one.moisture)} days, if nobody waters it."
    )


def left_words(one: Outlook) -> str:
    days = round(float(one.hours[-1]) / 24)
    if one.mass_t is None or one.volume_m3 is None:
        return ""
    m, v = one.mass_t, one.volume_m3
    return (
        f"In {days} days about {_figure(m.p50)} t ({_figure(m.p10)} to {_figure(m.p90)}) and "
        f"{_figure(v.p50)} m³ ({_figure(v.p10)} to {_figure(v.p90)}) of it will be left."
    )


def curing_words(one: Outlook, reader: Reader) -> str:
    if one.curing_h is None:
        chance = in_ten(one.curing_chance)
        return (
            f"Curing is not likely to start {span_words(one)}: the chance is {chance}. It may once "
            f"this holds: {one.curing_rule}."
        )
    first, middle, last = (
        reader.day(one.at_s + h * HOUR_S) for h in (one.curing_h.p10, one.curing_h.p50, one.curing_h.p90)
    )
    return f"Curing can start about {middle} (8 of 10: {first} to {last}), by this: {one.curing_rule}."


def what_if_words(one: WhatIf, reader: Reader, over_c: float = -np.inf) -> tuple[str, ...]:
    """What a way of doing things changes against doing nothing, a sentence each; the reason comes last.

    over_c  the highest limit the row is over now: of that and lower ones no chance is said
    """
    warmer = [f"{_ahead(hours)} {_warmer(band, reader)}" for hours, band in sorted(one.temp_k.items())]
    said = [f"{_upfirst(', '.join(warmer))}."] if warmer else []
    for limit, (chance, without) in sorted(one.passing.items()):
        if limit > over_c and in_ten(chance) != in_ten(without):
            said.append(
                f"The chance that it passes {reader.limit(limit)} is {in_ten(chance)}, without it "
                f"{in_ten(without)}."
            )
    if abs(one.moisture.p50) >= SMALL_WET:
        wet = "wetter" if one.moisture.p50 > 0 else "drier"
        ends = sorted(100 * abs(v) for v in (one.moisture.p10, one.moisture.p90))
        much = round(100 * abs(one.moisture.p50))
        points = f"{much} point{'' if much == 1 else 's'} of moisture {wet}"
        said.append(f"At the end of the outlook it is {points} (8 of 10: {ends[0]:.0f} to {ends[1]:.0f}).")
    reason = REASONS[one.reason]
    if one.reason == "no difference":  # which is said of the last hours looked at: at once it may be cooler
        return (*said, f"{_upfirst(f'{_ahead(max(one.temp_k))} {reason}' if one.temp_k else reason)}.")
    return (*said, f"Why: {reason}.")


def _upfirst(text: str) -> str:
    return text[:1].upper() + text[1:]


def _ahead(hours: int) -> str:
    return f"after {hours} hours" if hours < 48 else f"after {hours / 24:g} days"


def _warmer(band: Band, reader: Reader) -> str:
    """All three figures to the same place: whole degrees where they are unsure by as much."""
    if abs(band.p50) < SMALL_K and band.p90 - band.p10 < 2 * SMALL_K:
        return "no warmer and no cooler"
    size = 1.8 if reader.unit == "F" else 1.0
    places = 0 if (band.p90 - band.p10) * size >= WHOLE else 1
    low, middle, high = (round(k * size, places) + 0.0 for k in (band.p10, band.p50, band.p90))
    ends = f"8 of 10: {_signed(low, places)} to {_signed(high, places)}"
    if not middle:
        return f"as warm as without ({ends})"
    unit = "K" if reader.unit == "K" else f"°{reader.unit}"
    return f"{abs(middle):.{places}f} {unit} {'warmer' if middle > 0 else 'cooler'} ({ends})"


def _signed(size: float, places: int) -> str:
    number = f"{abs(size):.{places}f}"
    return number if not size else ("+" if size > 0 else "−") + number


NAMES = {
    "water": "water",
    "air": "air",
    "pores": "room for air",
    "warmth": "warmth",
    "nitrogen": "nitrogen",
    "life": "microbes",
    "food": "food left",
}
HOLDS = {
    "water": "Microbes live in the film of water on every piece.",
    "air": "They breathe, as we do, and use up the oxygen in the pores.",
    "pores": "Holes between the pieces. Where it is packed or drowned no air gets in.",
    "warmth": "They work best near 60 °C, slowly when cold; over 70 °C most of them die.",
    "nitrogen": "They build themselves from it; straw and chips have little.",
    "life": "The living part itself. A fresh or overheated heap has few of them.",
    "food": "What rots easily goes first; what is left is slow.",
}


def part_rows(held: HeldBack) -> list[tuple[str, str, Band]]:
    """(its name, what it means, its share of its best) for the bars, the one that holds back most first."""
    rows = [(NAMES[part], HOLDS[part], share) for part, share in held.parts.items()]
    return sorted(rows, key=lambda row: row[2].p50)


def _figure(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 10 or abs(value) < 0.05 else f"{value:.1f}"


def _pct(b: Band) -> str:
    return f"{100 * b.p50:.0f} %"


def _range(b: Band) -> str:
    return f"8 of 10: {100 * b.p10:.0f} to {100 * b.p90:.0f}"
