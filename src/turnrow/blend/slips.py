"""Slips of units and of spreadsheets, told with the value that was likely meant. Nothing is changed here."""

import re

from turnrow.blend.basis import LB_FT3, LB_YD3
from turnrow.blend.notices import Notice

MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
LIGHTEST, HEAVIEST = 15.0, 1250.0  # kg/m3 that compost materials have in a heap: OWN
NEAR = 0.08  # how close a ratio must come to a unit's factor

_DAY_FIRST = re.compile(r"(\d{1,2})[-/ ]([A-Za-z]{3,9})")
_MONTH_FIRST = re.compile(r"([A-Za-z]{3,9})[-/ ](\d{1,2})")

DENSITY_SLIPS = (
    (LB_YD3, "looks like lb/yd3 written as kg/m3"),
    (LB_FT3, "looks like lb/ft3 written as kg/m3"),
    (1 / LB_YD3, "looks like lb/yd3 turned into kg/m3 twice"),
    (1000.0, "looks like kg per litre"),
)
SHARE_SLIPS = (
    (100.0, "looks like a fraction where percent is wanted"),
    (0.01, "looks like percent taken times a hundred"),
    (10.0, "looks like a decimal point one place to the left"),
    (0.1, "looks like a decimal point one place to the right"),
)
RATIO_SLIPS = SHARE_SLIPS[2:]


def density_slip(
    where: str, density: float, low: float | None = None, high: float | None = None
) -> Notice | None:
    """A density [kg/m3] outside low-high (the handbook's range, or what any material has) that another
    unit would bring inside; the likely value in kg/m3."""
    bottom, top = (LIGHTEST if low is None else low), (HEAVIEST if high is None else high)
    return _slip(where, density, "kg/m3", bottom, top, DENSITY_SLIPS)


def percent_slip(where: str, percent: float, low: float, high: float) -> Notice | None:
    """A percentage outside low-high that a factor of ten or a hundred would bring inside."""
    return _slip(where, percent, "%", low, high, SHARE_SLIPS)


def cn_slip(where: str, cn: float, low: float, high: float) -> Notice | None:
    """A C:N outside low-high that a moved decimal point would bring inside: 1.8 for 18."""
    return _slip(where, cn, "", low, high, RATIO_SLIPS)


def dated_range(text: str) -> tuple[int, int] | None:
    """The range that a spreadsheet turned into a day: (4, 27) for "27-Apr", (12, 18) for "18-Dec".

    None when the text is not such a day. Ranges are written upwards, so the smaller number leads.
    """
    found = _DAY_FIRST.fullmatch(text.strip())
    day, month = (found[1], found[2]) if found else ("", "")
    if not found and (turned := _MONTH_FIRST.fullmatch(text.strip())):
        month, day = turned[1], turned[2]
    named = [n for n, name in enumerate(MONTHS, 1) if month.casefold() in (name, name[:3])]
    if not named:
        return None
    low, high = sorted((named[0], int(day)))
    return low, high


def day_for_range(text: str) -> str:
    """What to do about a number that a spreadsheet made a day of; empty for anything else."""
    numbers = dated_range(text)
    return f"A spreadsheet has made a day of a range, likely {numbers[0]}-{numbers[1]}." if numbers else ""


def _slip(
    where: str, value: float, unit: str, low: float, high: float, slips: tuple[tuple[float, str], ...]
) -> Notice | None:
    if low <= value <= high or value <= 0:
        return None
    for factor, words in slips:
        if low <= value * factor <= high:
            return Notice(where, f"{value:g} {unit}".rstrip(), value * factor, unit, words)
    return Notice(where, f"{value:g} {unit}".rstrip(), None, unit, f"outside the usual {low:g}-{high:g}")
