"""The yard's own settings that the counting of days and turns goes by."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.handbook.book import handbook
from turnrow.yard.days import HOUR_S
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO


def with_defaults(settings: Mapping[str, Amount] | None) -> dict[str, Amount]:
    """The yard's own settings, the handbook's where it has none."""
    return {name: one.amount for name, one in handbook().settings.items()} | dict(settings or {})


@dataclass(frozen=True)
class Counts:
    """recovery_days  days within which a turned row is hot again
    visit_s        seconds from its first pass within which further passes are the same turn
    slack_s        seconds by which n days of readings may span less than (n - 1) x 24 h unremarked
    """

    recovery_days: int
    visit_s: int
    slack_s: int

    @classmethod
    def of(cls, settings: Mapping[str, Amount]) -> "Counts":
        def seconds(name: str) -> int:
            return settings[name].value * HOUR_S // MICRO

        days = settings["recovery_days"].value // MICRO
        return cls(days, seconds("visit_hours"), seconds("day_slack_hours"))
