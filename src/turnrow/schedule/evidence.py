"""How many stations a row wants: by its rule's evidence standard, else by the yard's own spacing."""

from dataclasses import dataclass

from turnrow.handbook.rules import Rule
from turnrow.sanitation.standing import Standing
from turnrow.sanitation.stations import stations_needed
from turnrow.schedule.limits import METRES, Limits, exact, words
from turnrow.yard.entries import Amount
from turnrow.yard.history import History
from turnrow.yard.units import of_kind

LITRES = {unit: 1000 * size for unit, size in of_kind("volume").items()}


@dataclass(frozen=True)
class Wanted:
    stations: int
    why: str


def wanted(history: History, rule: Rule | None, standing: Standing, limits: Limits) -> Wanted | None:
    """Stations by the row's length or volume as built, a part counting as a whole; None where unknown."""
    if history.built is None:
        return None
    built = history.built[1]
    length, litres = exact(built.length, METRES), exact(built.volume, LITRES)
    if rule is not None and rule.spatial is not None:
        length_mm = None if length is None else length * 1000
        need = stations_needed(rule.spatial, length_mm, litres)
        by = need.by(standing.policies.get("stations_by", "length"))
        sizes = [words(amount) for amount in (built.length, built.volume) if amount is not None]
        return None if by is None else Wanted(by, f"{' and '.join(sizes)} under {rule.id}")
    spacing = exact(limits.settings["station_spacing"], METRES)
    if length is None or not spacing:
        return None
    every = limits.words("station_spacing")
    return Wanted(max(1, -int(-length // spacing)), f"{_said(built.length)} at one every {every}")


def _said(amount: Amount | None) -> str:
    return words(amount) if amount else ""
