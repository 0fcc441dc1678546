"""Releases that stand no more, as commands say them."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from turnrow.cli import speak

if TYPE_CHECKING:
    from turnrow.foreman.stands import Stands, Unproven
    from turnrow.quality.release import Ask


def stands_json(found: "Stands") -> dict[str, Any]:
    return {
        "call_back": [failed_json(*one) for one in found.failed],
        "not_proven_now": [unproven_json(one) for one in found.unproven],
    }


def failed_json(lot: str, asks: "Sequence[Ask]", customers: "Sequence[str]") -> dict[str, Any]:
    return {"lot": lot, "failed": [ask.sentence for ask in asks], "customers": list(customers)}


def say_failed(found: "Iterable[tuple[str, Sequence[Ask], Sequence[str]]]") -> None:
    for lot, asks, customers in found:
        told = f"Tell {', '.join(customers)}." if customers else "No buyer has any of it."
        why = " ".join(ask.sentence for ask in asks)
        speak.say(f"Call lot {lot} back: it was released and has failed since. {why} {told}")


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
