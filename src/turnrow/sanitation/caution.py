"""Over-temperature: always said, never part of a verdict."""

from collections.abc import Mapping

from turnrow.sanitation.cells import Cells
from turnrow.sanitation.found import counted
from turnrow.sanitation.words import date
from turnrow.yard.entries import Amount
from turnrow.yard.temperature import as_unit, degrees, from_ninths, ninths

FIRE = "Follow your fire plan and the local fire code."
LEVELS = (  # from the worst; a level that is reached covers those below it
    (
        "fire_stop",
        "at or over {limit}: keep people off the row and do not open it; call the fire service first, "
        "with water and a loader ready. It may smoulder inside. " + FIRE,
    ),
    (
        "fire_act",
        "at or over {limit}: cool the row and watch it closely, water at hand when it is turned, "
        "nobody alone. " + FIRE,
    ),
    (
        "turn_limit",
        "at or over {limit}, the yard's limit: turn the row. Hotter rows slow down and can catch fire.",
    ),
)


def cautions(cells: Cells, settings: Mapping[str, Amount]) -> tuple[str, ...]:
    """One warning for the highest level any reading reached; () when none did."""
    key = tuple(settings[name] for name, _ in LEVELS)
    if key not in cells.warned:
        cells.warned[key] = _cautions(cells, settings)
    return cells.warned[key]


def _cautions(cells: Cells, settings: Mapping[str, Amount]) -> tuple[str, ...]:
    if not cells.days:
        return ()
    hottest = cells.hottest_of_day
    day = int(hottest.argmax())
    heat = int(hottest[day])
    for name, text in LEVELS:
        limit = settings[name]
        unit = as_unit(limit.unit)
        edge = ninths(limit.value, unit)
        if heat < edge:
            continue
        reached = int((hottest >= edge).sum())
        station = cells.stations[int((cells.read[day] & (cells.hottest[day] == heat)).argmax())]
        where = f" at station {station}" if station else ""
        said = f"{from_ninths(heat, unit)}{where} on {date(cells.first + day, cells)}"
        also = f" ({counted(reached, 'day')} so hot)" if reached > 1 else ""
        return (f"{said}{also}, {text.format(limit=degrees(limit.value, unit))}",)
    return ()
