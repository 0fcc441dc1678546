"""Which units an entry's amounts may have, by the field they stand in.

The gate lets no other through; a book may still bring one in from elsewhere. Fields not named here hold any
unit: a lab's own, a price's, a setting's, a cost's.
"""

from collections.abc import Iterator, Mapping
from functools import cache

from msgspec import Struct

from turnrow.yard.entries import What
from turnrow.yard.kind import Amount
from turnrow.yard.units import explained, of_kind

MATTER = (*of_kind("mass", "volume"), "bag")
LENGTH = tuple(of_kind("length"))
WATER = tuple(of_kind("volume", "mass"))
DEGREES = ("C", "F", "K")

# by the entry's kind and field; "" for any kind; a part of an entry goes by its own struct
ALLOWED: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("", "moisture"): ("%",),
    ("", "water"): WATER,
    ("", "length"): LENGTH,
    ("RowBuilt", "width"): LENGTH,
    ("RowBuilt", "height"): LENGTH,
    ("RowBuilt", "volume"): tuple(of_kind("volume")),
    ("Screened", "opening"): LENGTH,
    ("Screened", "fines_amount"): MATTER,
    ("Screened", "overs_amount"): MATTER,
    ("Screened", "fines_moisture"): ("%",),
    ("Screened", "overs_moisture"): ("%",),
    ("Sampled", "mass"): tuple(of_kind("mass")),
    ("ProductNamed", "bag"): WATER,
    ("GrowthTest", "weights"): tuple(of_kind("mass")),
    ("GrowthTest", "control_weights"): tuple(of_kind("mass")),
    ("ProbeChecked", "bath"): DEGREES,
    ("ProbeChecked", "read"): DEGREES,
    ("Weather", "air"): DEGREES,
    ("Weather", "rain"): LENGTH,
    ("Weather", "wind"): ("m/s", "km/h", "mph"),
    **{
        (kind, "amount"): MATTER
        for kind in (
            *("LoadIn", "Part", "Share", "LotMade", "RowSplit", "Weighed", "Ordered", "LoadOut", "LoadBack"),
            *("Bagged", "Spread"),
        )
    },
}


PARTS = ("parts", "sources")  # fields that may hold structs with amounts of their own


def unit_faults(what: What) -> tuple[str, ...]:
    """A sentence for each amount whose unit its field cannot have; empty where all are known."""
    return tuple(_faults(what)) if _checked(type(what)) else ()


def _faults(thing: Struct) -> Iterator[str]:
    for name, allowed in _checked(type(thing)):
        found = getattr(thing, name)
        for one in found if isinstance(found, tuple) else (found,):
            if not isinstance(one, Amount):
                yield from _faults(one) if isinstance(one, Struct) else ()
            elif one.unit not in allowed:
                yield f"{name} has the unit {one.unit!r}, which is none of {explained(allowed)}"


@cache
def _checked(kind: type[Struct]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Fields of a kind to look at, each with the units it may have."""
    found = []
    for name in kind.__struct_fields__:
        allowed = ALLOWED.get((kind.__name__, name)) or ALLOWED.get(("", name))
        if allowed or name in PARTS:
            found.append((name, allowed or ()))
    return tuple(found)
