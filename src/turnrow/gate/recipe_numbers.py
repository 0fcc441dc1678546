"""Texts of a recipe form as numbers; what is wrong is gathered under the field it is about."""

from collections.abc import Mapping

from turnrow.blend.slips import day_for_range
from turnrow.yard.numbers import MICRO, parse_micro
from turnrow.yard.wrongs import Refusal, shown

NO_UNITS: Mapping[str, float] = {}
MOST_NUMBERS = 12  # in one field


class Fields:
    """The fields as sent. A number that cannot be right is told in `refusals` and read as None."""

    def __init__(self, given: Mapping[str, str]) -> None:
        self.given = given
        self.refusals: list[Refusal] = []

    def text(self, name: str) -> str:
        return " ".join(self.given.get(name, "").split())

    def has(self, name: str) -> bool:
        return bool(self.text(name))

    def wrong(self, name: str, words: str, got: str, do: str) -> None:
        self.refusals.append(Refusal(f"{words} [{name}]", got, do))

    def number(
        self,
        name: str,
        words: str,
        *,
        least: float | None = None,
        above: float | None = None,
        most: float,
        units: Mapping[str, float] = NO_UNITS,
    ) -> float | None:
        """The number in `name` within its bounds, in the first of `units` where there are any; None where
        it is absent or wrong. A decimal comma is taken for what it is."""
        text = self.text(name).removesuffix("%").strip()
        value = self._one(name, words, text, least, above, most) if self.has(name) else None
        return None if value is None else self._sized(name, words, value, units)

    def several(
        self,
        name: str,
        words: str,
        *,
        least: float | None = None,
        above: float | None = None,
        most: float,
    ) -> tuple[float, ...] | None:
        """The numbers in `name`, with blanks or semicolons between them; as `number`, None where there is
        none or one is wrong."""
        if not self.has(name):
            return None
        split = self.text(name).replace(";", " ").split()
        pieces = [one for piece in split if (one := piece.strip(","))] or [self.text(name)]
        found = [self._one(name, words, one, least, above, most) for one in pieces[:MOST_NUMBERS]]
        if len(pieces) > MOST_NUMBERS:
            self.wrong(name, words, f"{len(pieces)} numbers", f"Write at most {MOST_NUMBERS}.")
            return None
        right = [one for one in found if one is not None]
        return tuple(right) if len(right) == len(found) else None

    def _one(
        self, name: str, words: str, text: str, least: float | None, above: float | None, most: float
    ) -> float | None:
        try:
            value = parse_micro(text, comma="," in text and "." not in text) / MICRO
        except ValueError:
            do = f"{day_for_range(text)} Write a plain number, such as 12.5.".strip()
            self.wrong(name, words, shown(text), do)
            return None
        if (least is not None and value < least) or (above is not None and value <= above) or value > most:
            low = f"above {above:g}" if above is not None else f"from {least or 0:g}"
            self.wrong(name, words, shown(text), f"Write a number {low} to {most:g}.")
            return None
        return value

    def _sized(self, name: str, words: str, value: float, units: Mapping[str, float]) -> float | None:
        if not units:
            return value
        unit = self.text(f"{name}_unit") or next(iter(units))
        if unit not in units:
            self.wrong(name, words, shown(unit), f"Choose {' or '.join(units)}.")
            return None
        return value * units[unit]
