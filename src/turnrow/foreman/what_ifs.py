"""Ways of dealing with a row, as an outlook can be asked about them: named in words, and as deeds to come."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from turnrow.gate.what_if_form import WhatIfAsked
from turnrow.heap.known import Done
from turnrow.heap.outlook import Outlook
from turnrow.yard import days

TURN_AT = time(9)  # of a day to come
WORTH_M3 = 1.0  # of water, to be asked about unasked
SOON = 2  # days
NOTHING = "Nothing done"
Ways = Mapping[str, Sequence[Done]]


def way(asked: WhatIfAsked, outlook: Outlook, zone: ZoneInfo) -> Ways:
    """What was asked, by its name; empty where nothing was."""
    if asked.nothing:
        return {}
    return {words(asked, days.moment(outlook.at_s, zone).date()): deeds(asked, outlook, zone)}


def usual(outlook: Outlook, zone: ZoneInfo) -> Ways:
    """What most people would ask: a turn now, with the water it wants, a turn in two days."""
    each = [WhatIfAsked(turn=0)]
    if outlook.water_m3.p50 >= WORTH_M3:
        each.append(WhatIfAsked(turn=0, water_m3=float(round(outlook.water_m3.p50))))
    each.append(WhatIfAsked(turn=SOON))
    return {name: done for one in each for name, done in way(one, outlook, zone).items()}


def deeds(asked: WhatIfAsked, outlook: Outlook, zone: ZoneInfo) -> tuple[Done, ...]:
    """What was asked as deeds from the outlook's moment on; water without a turn is given now."""
    found = [Done(outlook.at_s, "cover")] if asked.cover else []
    if asked.turn is not None:
        found.append(Done(_moment(asked.turn, outlook, zone), "turn", asked.water_m3))
    elif asked.water_m3:
        found.append(Done(outlook.at_s, "water", asked.water_m3))
    return tuple(found)


def words(asked: WhatIfAsked, today: date) -> str:
    """ "Turned on Friday 22 May with 10 m³ of water, covered now"."""
    water = f"{asked.water_m3:.3g} m³ of water" if asked.water_m3 else ""
    said = []
    if asked.turn is not None:
        day = date.fromordinal(today.toordinal() + asked.turn)
        when = "now" if asked.turn == 0 else f"on {day:%A} {day.day} {day:%B}"
        said.append(f"Turned {when}" + (f" with {water}" if water else ""))
    elif water:
        said.append(f"Watered now with {water}, not turned")
    if asked.cover:
        said.append("covered now" if said else "Covered now")
    return ", ".join(said) or NOTHING


def _moment(ahead: int, outlook: Outlook, zone: ZoneInfo) -> int:
    if not ahead:
        return outlook.at_s
    there = days.moment(outlook.at_s, zone).toordinal() + ahead
    return days.seconds(datetime.combine(date.fromordinal(there), TURN_AT, zone))
