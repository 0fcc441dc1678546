"""One table of a recipe file, read key by key; what is wrong is gathered, and named by its place."""

import math
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from turnrow.blend.slips import day_for_range
from turnrow.gate.toml_file import toml_of
from turnrow.yard.wrongs import Refusal, shown

MOST_NUMBERS = 12  # in one list
NUMBER = "Write a plain number, without quotes or unit."


class Values:
    """The keys of one table. A value that cannot be right is told in `refusals` and read as None."""

    def __init__(self, raw: Mapping[str, Any], where: str) -> None:
        self.raw, self.where = raw, where
        self.refusals: list[Refusal] = []

    def wrong(self, key: str, got: object, do: str) -> None:
        self.refusals.append(Refusal(f"{self.where}, {key}", shown(got), do))

    def known(self, keys: Iterable[str]) -> None:
        """Refuse every key that is not one of `keys`."""
        allowed = list(keys)
        for key in self.raw:
            if key not in allowed:
                near = get_close_matches(key, allowed, n=1, cutoff=0.6)
                do = f"Likely {near[0]}." if near else f"Known here: {', '.join(allowed)}."
                self.wrong(key, "an unknown key", do)

    def number(
        self,
        key: str,
        *,
        least: float | None = None,
        above: float | None = None,
        most: float | None = None,
        below: float | None = None,
        do: str = "",
    ) -> float | None:
        """The number at `key` within its bounds; None where it is absent or wrong."""
        if key not in self.raw:
            return None
        value = self.raw[key]
        if isinstance(value, bool) or not isinstance(value, int | float) or not _finite(value):
            made_day = day_for_range(value) if isinstance(value, str) else ""
            self.wrong(key, value, f"{made_day} {NUMBER}".strip())
            return None
        bounds = (
            (least is not None and value < least, f"{least:.10g} or more" if least is not None else ""),
            (above is not None and value <= above, f"above {above:g}" if above is not None else ""),
            (most is not None and value > most, f"at most {most:.10g}" if most is not None else ""),
            (below is not None and value >= below, f"below {below:g}" if below is not None else ""),
        )
        if any(failed for failed, _ in bounds):
            wanted = " and ".join(words for _, words in bounds if words)
            self.wrong(key, value, do or f"Write a number {wanted}.")
            return None
        return float(value)

    def numbers(self, key: str, *, above: float, most: float) -> tuple[float, ...] | None:
        """The list of numbers at `key`, one alone taken as a list of one; None where absent or wrong."""
        if key not in self.raw:
            return None
        value = self.raw[key]
        listed = value if isinstance(value, list) else [value]
        if not 0 < len(listed) <= MOST_NUMBERS:
            self.wrong(key, f"{len(listed)} numbers", f"Write 1 to {MOST_NUMBERS} numbers: [10.2, 9.8].")
            return None
        each = [Values({key: one}, self.where) for one in listed]
        found = [one.number(key, above=above, most=most) for one in each]
        self.refusals += [wrong for one in each for wrong in one.refusals]
        right = [one for one in found if one is not None]
        return tuple(right) if len(right) == len(found) else None

    def text(self, key: str) -> str:
        """The text at `key`, stripped; empty where it is absent or wrong."""
        value = self.raw.get(key, "")
        if not isinstance(value, str):
            self.wrong(key, value, "Write a text in quotes.")
            return ""
        return value.strip()

    def pair(self, key: str, least: float, most: float) -> tuple[float, float] | None:
        """Low and high at `key`; one number is not guessed at."""
        if key not in self.raw:
            return None
        value = self.raw[key]
        plain = isinstance(value, list) and all(
            isinstance(one, int | float) and not isinstance(one, bool) and math.isfinite(one) for one in value
        )
        if not plain or len(value) != 2:
            self.wrong(
                key, value, "Write two numbers, low and high: [25, 35]; the same twice is an exact target."
            )
            return None
        low, high = float(value[0]), float(value[1])
        if low > high:
            self.wrong(key, value, f"Low comes first: [{high:g}, {low:g}].")
            return None
        if low < least or high > most:
            self.wrong(key, value, f"Keep both from {least:g} to {most:g}.")
            return None
        return low, high

    def table(self, key: str, keys: Iterable[str]) -> "Values | None":
        """The table at `key`, its refusals told with this one's; None where it is absent or none."""
        if key not in self.raw:
            return None
        value = self.raw[key]
        if not isinstance(value, dict):
            self.wrong(key, value, f"Write a table: [{key}] with {', '.join(keys)}.")
            return None
        part = Values(value, f"{self.where}, [{key}]")
        part.refusals = self.refusals
        part.known(keys)
        return part

    def each(self, key: str, keys: Iterable[str], most: int) -> "list[Values]":
        """Each table under [[key]], its refusals told with this one's; none where they are no tables."""
        given = self.raw.get(key, [])
        if not isinstance(given, list) or len(given) > most or not all(isinstance(o, dict) for o in given):
            self.wrong(key, given, f"Write each under its own [[{key}]], {most} at most.")
            return []
        found = []
        for place, one in enumerate(given, start=1):
            part = Values(one, f"{self.where}, {key} {place}")
            part.refusals = self.refusals
            part.known(keys)
            found.append(part)
        return found

    def told_apart(self, key: str, names: Iterable[str]) -> None:
        """Refuse every name that stands twice."""
        every = list(names)
        for name in sorted({one for one in every if every.count(one) > 1}):
            self.wrong(key, name, "Give each a name of its own.")


def of_toml(data: bytes, name: str, command: str) -> Values:
    """The top table of a TOML file. Raises Refused where it is none, naming the command with an example."""
    return Values(toml_of(data, name, f"Write TOML, as `turnrow {command} --example` prints it."), name)


def _finite(value: int | float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number of hundreds of digits, which TOML may hold
        return False


def typed(text: str) -> float | str:
    """The number in a field's text; the text itself where it is none, for `Values` to tell."""
    try:
        return float(text)
    except ValueError:
        return text
