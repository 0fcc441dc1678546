"""A mapping with another laid over it: what is written shows in the upper one alone."""

from collections import ChainMap
from collections.abc import MutableMapping
from typing import TypeVar

Key = TypeVar("Key")
Value = TypeVar("Value")


def over(under: MutableMapping[Key, Value]) -> ChainMap[Key, Value]:
    """An empty mapping over another, at most one level deeper than it."""
    return under.new_child() if isinstance(under, ChainMap) else ChainMap({}, under)


def settle(upper: MutableMapping[Key, Value], under: MutableMapping[Key, Value]) -> None:
    """Write what the upper mapping holds of its own into the one under it. ValueError for no layer."""
    if not isinstance(upper, ChainMap):
        raise ValueError(f"a {type(upper).__name__}, want a layer made by `over`")
    under.update(upper.maps[0])
