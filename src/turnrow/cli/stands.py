"""Releases that stand no more, as commands say them."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from turnrow.cli import speak

if TYPE_CHECKING:
    from turnrow.foreman.stands import Stands, Unproven


def stands_json(found: "Stands") -> dict[str, Any]:
    return {
        "call_back": [
            {"lot": lot, "failed": [ask.sentence for ask in asks], "customers": list(customers)}
            for lot, asks, customers in found.failed
        ],
        "not_proven_now": [unproven_json(one) for one in found.unproven],
    }


def unproven_json(one: "Unproven") -> dict[str, Any]:
    return {
        "lot": one.lot,
        "released": one.line.number,
        "by": one.released.name,
        "changed": [line.number for line in one.changed],
        "customers": list(one.customers),
        "said": [text for text, _ in one.sentences],
    }


def say_unproven(found: "Iterable[Unproven]") -> None:
    for one in found:
        for text, lines in one.sentences:
            cited = f" (lines {', '.join(map(str, lines[-6:]))})" if lines else ""
            speak.say(f"{text}{cited}")
