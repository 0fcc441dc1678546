"""The invented yard: its place, people (as roles), probes and materials. None of it exists.

Quillmarsh Fold milks ewes and keeps laying hens in hill country that could lie in the upper
Mississippi valley. Tonnages, distances and temperatures are made up for the demonstration.
"""

from dataclasses import dataclass

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.temperature import Unit

NAME = "Quillmarsh Fold"
PLACE = "an invented sheep dairy with laying hens"
ZONE = "America/Chicago"

HAND = "yard hand"
SECOND = "second yard hand"
TRAINEE = "trainee"
MANAGER = "manager"
OFFICE = "office"

PHONE = "yard phone"
SECOND_PHONE = "second phone"
DESK = "office computer"


@dataclass(frozen=True)
class Probe:
    """A probe: `step` in millionths of `unit`, what its display can show."""

    name: str
    unit: Unit
    step: int


DIAL = Probe("P1", "C", MICRO // 2)
DIGITAL = Probe("P2", "C", MICRO // 10)
FAHRENHEIT = Probe("P3", "F", MICRO // 10)
LOGGER = Probe("L1", "C", MICRO // 16)  # 12-bit steps
PROBES = (DIAL, DIGITAL, FAHRENHEIT)

BEDDING = "sheep manure"  # the names of the handbook's table, so that blends and outlooks know them
LITTER = "laying hen manure"
STRAW = "straw"
HAY = "hay"
CHIPS = "shrub trimmings"
POMACE = "apple pomace"
OVERS = "overs from the screen"


def amount(value: float, unit: str) -> Amount:
    """`value` to three decimals as people would type it."""
    return Amount(round(value * 1000) * (MICRO // 1000), unit)
