"""A lot's inherited standing, and recall by what people say."""

from turnrow.foreman.desk import Desk
from turnrow.lots.recall import Recall, named, recall
from turnrow.lots.standing import RAW, Beside, Inherited, inherited
from turnrow.sanitation.standing import WORST
from turnrow.yard.entries import Complaint


def lot_standing(desk: Desk, lot: str) -> Inherited:
    """The worst standing of what is in a lot, each under its own rule as it stood when it was taken.
    KeyError where the diary makes no such lot."""

    def of_row(row: str, at_s: int) -> tuple[str, Beside]:
        return desk.stood(row, at_s) if row in desk.diary.rows else (RAW, ())

    return inherited(desk.lots, lot, of_row, WORST)


def proof_beside(desk: Desk, found: Recall) -> Beside:
    """What stands beside the proof of heat of every lot that a recall names, and of the row asked about."""
    said = [one for lot in found.lots for one in lot_standing(desk, lot).beside]
    if found.asked.kind == "row" and found.asked.name in desk.diary.rows:
        said += [
            (f"{found.asked.titled()}: {text}", at) for text, at in desk.standing(found.asked.name).beside
        ]
    return tuple(dict.fromkeys(said))


def recalled(desk: Desk, name: str) -> tuple[Recall, ...]:
    """Both ways from a load, row, lot, ticket, customer or complaint (`line N`); Refused where it is none."""
    complaints = {line.number: what for line, what in desk.diary.all(Complaint)}
    return tuple(recall(desk.lots, thing) for thing in named(desk.lots, name, complaints))
