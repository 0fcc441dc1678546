"""A lot's family for the picture: what is in it and what came of it, chains of one thing taken as one."""

from turnrow.foreman.desk import Desk
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.records.family import Link, Member
from turnrow.yard.entries import LoadIn

HIDDEN = ("screening",)  # on the sieve: what went in comes out as lots


def lot_family(desk: Desk, asked: Account) -> tuple[tuple[Member, ...], tuple[Link, ...]]:
    """Things and links of the family of a thing; KeyError where the ledger does not have it."""
    book = desk.lots
    nodes = book.nodes_of[asked]
    shown = {*book.tree.back(nodes[-1]), *book.tree.forward(*nodes)}
    stands = _stands(book, shown)
    links: dict[tuple[int, int], float | None] = {}
    for child in sorted(shown):
        for parent, share in _parents(book, child):
            if parent not in shown:  # what else went into a thing this one went into
                continue
            pair = (stands[parent], stands[child])
            if pair[0] != pair[1]:
                links[pair] = None if share != share else share
    gained = _gained(book)
    of = {load.load: load for _, load in desk.diary.all(LoadIn)}
    members = tuple(
        Member(
            _key(book, node),
            book.nodes[node].account.name,
            _under(book, node, gained, of),
            book.nodes[node].account == asked,
        )
        for node in sorted(set(stands.values()))
        if book.nodes[node].account.kind not in HIDDEN
    )
    return members, tuple(Link(_key(book, a), _key(book, b), share) for (a, b), share in links.items())


def _key(book: Ledger, node: int) -> str:
    return f"{book.nodes[node].account.said()} {node}"


def _parents(book: Ledger, child: int) -> list[tuple[int, float]]:
    """What a node was made of, through the sieve."""
    if book.nodes[child].account.kind in HIDDEN:
        return []
    found = []
    for parent, share in book.tree.parents[child]:
        if book.nodes[parent].account.kind in HIDDEN:
            found += [(up, share * more) for up, more in book.tree.parents[parent]]
        else:
            found.append((parent, share))
    return found


def _stands(book: Ledger, shown: set[int]) -> dict[int, int]:
    """For each node the one it is drawn as: a thing that only went on as itself is its later self."""
    stands: dict[int, int] = {}
    for node in sorted(shown, reverse=True):
        later = [child for child, _ in book.tree.children[node] if child in shown]
        same = len(later) == 1 and book.nodes[later[0]].account == book.nodes[node].account
        stands[node] = stands[later[0]] if same else node
    return stands


def _gained(book: Ledger) -> dict[Account, float]:
    """Tonnes that ever went into each thing."""
    found: dict[Account, float] = {}
    for move in book.moves:
        if move.what == "measured":
            continue
        for one in move.postings:
            if one.wet > 0:
                found[one.account] = found.get(one.account, 0.0) + one.wet
    return found


def _under(book: Ledger, node: int, gained: dict[Account, float], of: dict[str, LoadIn]) -> str:
    account = book.nodes[node].account
    much = gained.get(account, 0.0)
    size = f"{much:.3g} t" if much > 0 else "not weighed"
    if account.kind == "load" and account.name in of:
        return f"{size} {of[account.name].material}"
    if account.kind == "ticket" and account.name in book.tickets:
        return f"{size} to {book.tickets[account.name][1].customer}"
    if account.kind == "row":
        return f"{size} went in"
    return size
