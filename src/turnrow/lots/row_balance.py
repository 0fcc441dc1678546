"""A row from its loads to its lots: dry matter lost by weights and by ash, and what does not close."""

from collections.abc import Iterable

from turnrow.lots.book import LEAST
from turnrow.lots.checks import NITROGEN, STAYS, Balance, Side, balance
from turnrow.lots.facts import IN_DRY
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import PLACES, Account

Parts = list[tuple[Account, float | None]]  # from or to where, dry matter [t]


def row_balance(book: Ledger, row: str) -> Balance:
    """What went into the row since it last was empty, beside what came of it and what is left.

    What is left of it counts by weight only once it was measured, and what left it unmeasured, by the book
    alone, shows no loss. Ash and the rest are those of its loads,
    or of the row's own first sample where a load has none; what came out is known by the row's last sample
    after that, or by its lots'. KeyError for a row the ledger does not have.
    """
    thing = Account("row", row)
    held = book.held[thing]
    went_in, came_out, since = _parts(book, thing)
    weighed = any(one.at_s > since for one in book.differences_of(thing))
    if held.wet > LEAST or not held.wet_known:
        came_out = [*came_out, (thing, held.dry if held.dry_known and weighed else None)]
    dry_in, dry_out = _sum(went_in), _sum(came_out)
    if not weighed and dry_in is not None and dry_out is not None and abs(dry_out - dry_in) <= LEAST:
        dry_out = None  # all of it went on as the book had it
    first, found_in = {}, {}
    for name in (*STAYS, NITROGEN):
        value = _mean(book, went_in, name)
        if value is None:
            timed = [one for one in book.facts.found.get((thing, name), []) if one[0] >= since]
            value = timed[0][1].value if timed else None
            if value is not None:
                first[name] = timed[0][0]
        if value is not None:
            found_in[name] = value
    found_out = {}
    for name in (*STAYS, NITROGEN):
        timed = [one for one in book.facts.found.get((thing, name), []) if one[0] > first.get(name, since)]
        value = timed[-1][1].value if timed else _mean(book, [p for p in came_out if p[0] != thing], name)
        if value is not None:
            found_out[name] = value
    low, high = book.tolerance.kept
    return balance(Side(dry_in, found_in), Side(dry_out, found_out), low, high)


def _parts(book: Ledger, thing: Account) -> tuple[Parts, Parts, int]:
    """Where matter came from and went to since the thing last was empty, and the moment that began."""
    went_in: Parts = []
    came_out: Parts = []
    wet, since = 0.0, 0
    for move in book.moves_of(thing):
        own = sum(p.wet for p in move.postings if p.account == thing)
        if wet <= LEAST and own > 0.0 and move.what != "measured":
            went_in, came_out, since = [], [], move.at_s
        wet += own
        for other in move.postings:
            if other.account == thing or other.account in PLACES:
                continue
            dry = None if move.unknown else abs(other.dry)
            (went_in if other.wet < 0.0 else came_out).append((other.account, dry))
    return went_in, came_out, since


def _mean(book: Ledger, parts: Parts, name: str) -> float | None:
    """Of several things by their dry matter; None where one of them was not tested."""
    if not parts or name not in IN_DRY:
        return None
    found = [(dry, _figure(book, account, name)) for account, dry in parts]
    if any(dry is None or value is None for dry, value in found):
        return None
    total = sum(dry or 0.0 for dry, _ in found)
    return sum((dry or 0.0) * (value or 0.0) for dry, value in found) / total if total > 0.0 else None


def _figure(book: Ledger, account: Account, name: str) -> float | None:
    at_s = book.nodes[book.node_of[account]].at_s if account in book.node_of else 0
    if account.kind == "load":
        known = book.facts.of_load(account.name, book.materials.get(account.name, ""), name, at_s)
    else:
        known = book.facts.nearest(account, name, at_s)
    return known.value if known else None


def _sum(parts: Iterable[tuple[Account, float | None]]) -> float | None:
    every = [dry for _, dry in parts]
    return None if not every or any(dry is None for dry in every) else sum(dry or 0.0 for dry in every)
