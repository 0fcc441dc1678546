"""What a person asks of a row's outlook: turned now, on a day or not at all; water; a cover; which depth."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from turnrow.gate.amounts import VOLUMES, amount
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.wrongs import Refusal, Refused, shown

DAYS = 13  # a turn may be asked for so many days ahead
NOW = "now"
MOST_M3 = 500
FIELDS = ("turn", "water", "cover", "depth")


@dataclass(frozen=True)
class WhatIfAsked:
    """turn      days from today it is turned on, 0 is now; None: not at all
    water_m3  given with the turn, or now where it is not turned; cover: laid over it now"""

    turn: int | None = None
    water_m3: float = 0.0
    cover: bool = False

    @property
    def nothing(self) -> bool:
        """Nothing is done."""
        return self.turn is None and not self.water_m3 and not self.cover


def what_if_from(fields: Mapping[str, str], today: date) -> WhatIfAsked:
    """What was asked, or Refused with everything wrong in it. Fields left out or empty ask for nothing."""
    wrong: list[Refusal] = []
    turn = _turn(fields.get("turn", "").strip(), today, wrong)
    water = _water(fields.get("water", "").strip(), wrong)
    cover = fields.get("cover", "").strip().casefold()
    if cover not in ("", "no", "yes"):
        wrong.append(Refusal("cover", shown(cover), "Write yes, or leave it out."))
    if wrong:
        raise Refused(wrong)
    return WhatIfAsked(turn, water, cover == "yes")


def depth_from(text: str, depths_cm: tuple[float, ...]) -> float:
    """The depth asked for among those there are; the deepest where none is asked for."""
    if not text.strip():
        return max(depths_cm)
    found = next((depth for depth in depths_cm if f"{depth:g}" == text.strip()), None)
    if found is None:
        known = ", ".join(f"{depth:g}" for depth in depths_cm)
        raise Refused([Refusal("depth", shown(text), f"Give one of {known} (centimetres).")])
    return found


def _turn(text: str, today: date, wrong: list[Refusal]) -> int | None:
    if text in ("", "no"):
        return None
    if text == NOW:
        return 0
    try:
        ahead = (date.fromisoformat(text) - today).days
    except ValueError:
        ahead = -1
    if not 0 <= ahead <= DAYS:
        last = date.fromordinal(today.toordinal() + DAYS)
        do = f"Write now, no, or a day from {today.isoformat()} to {last.isoformat()}."
        wrong.append(Refusal("turn", shown(text), do))
        return None
    return ahead


def _water(text: str, wrong: list[Refusal]) -> float:
    if text in ("", "0"):
        return 0.0
    found = amount(text, VOLUMES, "m3")
    if not isinstance(found, Amount):
        wrong.append(Refusal("water", shown(text), found))
        return 0.0
    size = float(Fraction(found.value, MICRO) * VOLUMES.units[found.unit])
    if size > MOST_M3:
        wrong.append(Refusal("water", shown(text), f"Give {MOST_M3} m3 at most."))
        return 0.0
    return size
