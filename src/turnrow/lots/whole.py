"""All that lies of a lot, where nobody weighed what left."""

from turnrow.lots.book import LEAST
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.lots.taking import in_tonnes
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refusal


def all_left(book: Ledger, lot: str, at_s: int) -> Amount | Refusal:
    """What lies of a lot by the ledger [t], for a move at a moment behind all that is known of it."""
    account = Account("lot", lot)
    held, later = book.of("lot", lot), [one for one in book.moves_of(account) if one.at_s > at_s]
    if later:
        do = f"Line {later[0].line} moved or weighed lot {lot} after that moment; write the amount itself."
    elif not held.wet_known:
        do = f"How much lies of lot {lot} is not known; weigh it first, or write the amount."
    elif held.wet <= LEAST:
        do = f"Nothing is left of lot {lot} by the ledger. Weigh it first if it holds more."
    else:
        return in_tonnes(held.wet)
    return Refusal("field all", "yes", do)
