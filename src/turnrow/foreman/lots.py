"""A lot's inherited standing, and recall by what people say."""

from turnrow.foreman.desk import Desk
from turnrow.lots.recall import Recall, named, recall
from turnrow.lots.standing import RAW, Inherited, inherited
from turnrow.sanitation.standing import WORST
from turnrow.yard.entries import Complaint


def lot_standing(desk: Desk, lot: str) -> Inherited:
    """The worst standing of what is in a lot, each under its own rule as it stood when it was taken.
    KeyError where the diary makes no such lot."""

    def of_row(row: str, at_s: int) -> str:
        return desk.stood(row, at_s) if row in desk.diary.rows else RAW

    return inherited(desk.lots, lot, of_row, WORST)


def recalled(desk: Desk, name: str) -> tuple[Recall, ...]:
    """Both ways from a load, row, lot, ticket, customer or complaint (`line N`); Refused where it is none."""
    complaints = {line.number: what for line, what in desk.diary.all(Complaint)}
    return tuple(recall(desk.lots, thing) for thing in named(desk.lots, name, complaints))
