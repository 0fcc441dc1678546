"""A record that stands alone, without a diary beside it: which of its readings may not be the heap's."""

from turnrow.handbook.rules import Rule
from turnrow.sanitation.judge import HEATED
from turnrow.sanitation.record import Record
from turnrow.sanitation.standing import Suspect
from turnrow.sanitation.suspects import find, marked


def suspects_of(rule: Rule, record: Record) -> tuple[Suspect, ...]:
    """Found as in a yard's row; none under a rule that asks for no heat."""
    if not isinstance(rule.proof, HEATED):
        return ()
    return find(record.readings, turns=[turn.at for turn in record.turns if turn.timed])


def without(record: Record, suspects: tuple[Suspect, ...]) -> Record | None:
    """The record without the faulty readings; None where there are none."""
    if not any(one.fault for one in suspects):
        return None
    return Record(record.readings.pick(~marked(record.readings, suspects)), record.turns)
