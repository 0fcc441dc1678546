"""What every kind of entry is made of: an amount as typed, and the manners of a frozen, tagged struct."""

from datetime import datetime
from typing import Annotated

from msgspec import Meta, Struct

Moment = Annotated[datetime, Meta(tz=True)]


class Amount(Struct, frozen=True, array_like=True, gc=False):
    """A number as typed: `value` in millionths of `unit`."""

    value: int
    unit: str


class Kind(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    forbid_unknown_fields=True,
    tag_field="kind",
    gc=False,  # nothing here refers back to itself, and a year of readings is a great many objects to walk
):
    """What an entry says; each kind below is one thing that happens on a yard."""
