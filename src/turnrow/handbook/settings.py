"""The yard's settings: each a handbook row with a default, a range and a source."""

from collections.abc import Mapping

from msgspec import Struct

from turnrow.yard.entries import Amount


class Setting(Struct, frozen=True):
    """One row of `tables/settings.csv`."""

    name: str  # "turn_limit"
    amount: Amount  # the default
    low: int  # millionths of the unit; what a yard may choose
    high: int
    words: str  # what it is, for people
    source: str
    known: str  # READ, MEMORY, OWN


Chosen = Mapping[str, Amount]  # the yard's own values, by name
