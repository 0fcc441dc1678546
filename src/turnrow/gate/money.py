"""Money as people write it: "1250 EUR", "18.50 EUR/m3"; the currency is a code of three letters."""

import re
from fractions import Fraction

from turnrow.gate.amounts import USED, Measure, amount
from turnrow.yard.entries import Amount
from turnrow.yard.units import explained, unit_named

_TEXT = re.compile(r"(\S+)\s*([A-Za-z]{3})\s*(?:(?:/|per)\s*(\S(?:.*\S)?))?")
PER_GOODS = ("m3", "yd3", "ft3", "bu", "t", "ton", "long ton", "bag")
PER_COST = tuple(USED.units)
MOST = Fraction(10_000_000)


def words(per: tuple[str, ...]) -> str:
    """What to write, in words."""
    return (
        f"money and what it is for: 18.50 EUR/{per[0]} (or for {explained(per[1:])})" if per else "12.50 EUR"
    )


def money(text: str, per: tuple[str, ...] = ()) -> Amount | str:
    """The money in `text`, or what to do about it.

    per  what a price may be for; none: a sum of money and not a price
    """
    found = _TEXT.fullmatch(text.strip())
    if not found:
        return f"Write {words(per)}."
    number, currency, each = found[1], found[2].upper(), found[3] or ""
    if each not in per:
        each = {"hour": "h", "days": "day", "bags": "bag"}.get(each.casefold()) or unit_named(each) or each
    if each and each not in per:
        return f"Write {words(per)}."
    if per and not each:
        return f"Write what the price is for: {' or '.join(f'{currency}/{one}' for one in per)}."
    unit = f"{currency}/{each}" if each else currency
    return amount(number, Measure({unit: Fraction(1)}, Fraction(0), MOST), unit)
