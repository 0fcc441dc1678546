"""A farm compost yard's diary: what to do today, what is proven hot, the paper an inspector reads.

Notebooks and scripts use the names of `__all__`, each loaded when it is first asked for (docs/python.md).
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from turnrow.api.judging import Judgement, judge, rules
    from turnrow.api.readings import Readings, read_readings, read_rows
    from turnrow.api.recipes import Recipe, recipe
    from turnrow.api.simulating import Simulation, simulate
    from turnrow.api.yards import Yard, open_yard
    from turnrow.yard.wrongs import DamagedJournal, Refused

__version__ = "0.1.0"
__all__ = [
    "DamagedJournal",
    "Judgement",
    "Readings",
    "Recipe",
    "Refused",
    "Simulation",
    "Yard",
    "judge",
    "open_yard",
    "read_readings",
    "read_rows",
    "recipe",
    "rules",
    "simulate",
]
_ROOMS = {
    "turnrow.api.judging": ("Judgement", "judge", "rules"),
    "turnrow.api.recipes": ("Recipe", "recipe"),
    "turnrow.api.readings": ("Readings", "read_readings", "read_rows"),
    "turnrow.api.simulating": ("Simulation", "simulate"),
    "turnrow.api.yards": ("Yard", "open_yard"),
    "turnrow.yard.wrongs": ("DamagedJournal", "Refused"),
}
_WHERE = {name: room for room, names in _ROOMS.items() for name in names}


def __getattr__(name: str) -> Any:
    if name in _WHERE:
        return getattr(import_module(_WHERE[name]), name)
    raise AttributeError(f"module 'turnrow' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_WHERE])
