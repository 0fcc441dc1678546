"""From a complaint, a ticket, a lot or a load: everything in it, and everybody who has some of that."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isnan
from typing import NamedTuple

from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.yard.entries import Complaint
from turnrow.yard.wrongs import refuse, shown

KINDS = ("load", "row", "lot", "ticket", "customer", "material")
SHARERS = ("row", "lot", "ticket")
NO_COMPLAINTS: Mapping[int, Complaint] = {}


class Kin(NamedTuple):
    """A thing related to the one asked for.

    share     going back: which share of the asked thing is this; forward: which share of this came of the
              asked thing; of a sharer: which share came of the same loads; None where a mass was not known
    line      that made it; customer: of a ticket
    wet       t it holds, of a ticket what left; None where it is not known
    """

    account: Account
    share: float | None
    line: int
    wet: float | None = None
    customer: str = ""
    lot: str = ""


@dataclass(frozen=True)
class Recall:
    """Both ways from one thing.

    back     what is in it, loads first; forward: what holds some of it, lots, rows and tickets
    sharing  every other lot, row and ticket that holds some of the same loads
    gaps     where something on the way was made of what nobody named, with its line: the recall may miss
             something there
    """

    asked: Account
    back: tuple[Kin, ...]
    forward: tuple[Kin, ...]
    sharing: tuple[Kin, ...]
    gaps: tuple[tuple[str, int], ...] = ()

    @property
    def loads(self) -> tuple[Kin, ...]:
        return tuple(one for one in self.back if one.account.kind in ("load", "material"))

    @property
    def lots(self) -> tuple[str, ...]:
        """Every lot in it, of it or beside it, itself too, by name."""
        every = (self.asked, *(one.account for one in (*self.back, *self.forward, *self.sharing)))
        return tuple(sorted({one.name for one in every if one.kind == "lot"}))

    @property
    def customers(self) -> tuple[str, ...]:
        """Everybody who got some of the thing, or of anything that is in it; a load of theirs that partly
        came back, and is in it by that, is one they still have some of."""
        every = (*self.back, *self.forward, *self.sharing)
        return tuple(sorted({one.customer for one in every if one.customer}))


def recall(book: Ledger, asked: Account) -> Recall:
    """Both ways from a thing; KeyError where the ledger does not have it."""
    nodes = book.nodes_of[asked]
    back, forward = book.tree.back(nodes[-1]), book.tree.forward(*nodes)
    for node in nodes[-2::-1]:  # a thing emptied and filled again is of two lives, and a recall of both
        if node not in back:
            back = {**book.tree.back(node), **back}
    sources = [node for node in back if not book.tree.parents[node]]
    kin = book.tree.forward(*sources)
    in_it, of_it = _things(book, back, asked), _things(book, forward, asked)
    known = {asked, *(one.account for one in (*in_it, *of_it))}
    rest = {n: s for n, s in kin.items() if n not in back and book.nodes[n].account not in known}
    sharing = tuple(one for one in _things(book, rest, asked) if one.account.kind in SHARERS)
    return Recall(asked, in_it, of_it, sharing, _gaps(book, {*nodes, *back, *forward, *kin}))


def _gaps(book: Ledger, nodes: Iterable[int]) -> tuple[tuple[str, int], ...]:
    """Sentences of what was laid or taken on the way without naming its source, each with its line."""
    lines = {book.nodes[node].line for node in nodes}
    found = {one.said: one.line for one in book.opens if one.untraced and one.line in lines}
    return tuple(found.items())


def named(
    book: Ledger, name: str, complaints: Mapping[int, Complaint] = NO_COMPLAINTS
) -> tuple[Account, ...]:
    """What a name means: "lot 26-04", "load L3", "ticket T-9", "row R7", "customer Ann", "line 17" of a
    complaint, or a bare name that only one thing has. A customer means each of their tickets.

    Raises Refused, with what to do, where it means nothing or several things.
    """
    word, _, rest = name.strip().partition(" ")
    rest = rest.strip()
    if word == "line" and rest.isdigit():
        return _of_complaint(book, int(rest), complaints)
    if word in KINDS and rest:
        found = _all_named(book, rest, (word,))
    else:
        found = _all_named(book, name.strip(), KINDS)
    if not found:
        do = "Name a load, row, lot, ticket or customer of the diary, or `line N` of a complaint."
        raise refuse("NAME", name, do)
    if len({one.kind for one in found}) > 1:
        ways = ", ".join(f'"{one.kind} {one.name}"' for one in found)
        raise refuse("NAME", name, f"It is the name of several things; write one of {ways}.")
    return found


def _all_named(book: Ledger, name: str, kinds: Iterable[str]) -> tuple[Account, ...]:
    found = [Account(kind, name) for kind in kinds if Account(kind, name) in book.nodes_of]
    if "customer" in kinds:
        found += [Account("ticket", key) for key, (_, out) in book.tickets.items() if out.customer == name]
    return tuple(dict.fromkeys(found))


def _of_complaint(book: Ledger, line: int, complaints: Mapping[int, Complaint]) -> tuple[Account, ...]:
    """The goods a complaint is about. One of smell, noise or dust names none, and is no recall."""
    if (told := complaints.get(line)) is None:
        about = (f"line {n}" for n, one in complaints.items() if _goods_in(book, one))
        have = ", ".join(about) or "none"
        raise refuse("NAME", f"line {line}", f"Complaints about goods of the diary: {have}.")
    if not (found := _goods_in(book, told)):
        do = (
            "It names no ticket, lot or customer the diary knows, so nothing is recalled by it: a complaint "
            "of smell, noise or dust is answered on Today. Of compost, ask for the ticket, and recall by it."
        )
        raise refuse("NAME", shown(f"{told.nature} {told.done}".strip()), do)
    return found


def _goods_in(book: Ledger, told: Complaint) -> tuple[Account, ...]:
    """Tickets it names, else lots, else all tickets of the customer who complains."""
    text = f"{told.nature} {told.done}"
    named_in = [
        one
        for one in book.nodes_of
        if one.kind in ("ticket", "lot") and re.search(rf"(?<!\w){re.escape(one.name)}(?!\w)", text)
    ]
    tickets = [one for one in named_in if one.kind == "ticket"]
    return tuple(tickets or named_in or (_all_named(book, told.by, ("customer",)) if told.by else ()))


def _things(book: Ledger, nodes: Mapping[int, float], asked: Account) -> tuple[Kin, ...]:
    """Each thing once, by its largest share, loads first, then oldest first."""
    best: dict[Account, tuple[int, float]] = {}
    for node, share in nodes.items():
        account = book.nodes[node].account
        if account == asked or account.kind not in KINDS:
            continue
        if account not in best or isnan(share) or share > best[account][1]:
            best[account] = (node, share)
    order = {"load": 0, "material": 1}
    kin = [_kin(book, account, node, share) for account, (node, share) in best.items()]
    return tuple(sorted(kin, key=lambda one: (order.get(one.account.kind, 2), one.line)))


def _kin(book: Ledger, account: Account, node: int, share: float) -> Kin:
    held = book.held.get(account)
    ticket = book.tickets.get(account.name) if account.kind == "ticket" else None
    return Kin(
        account,
        None if isnan(share) else share,
        book.nodes[node].line,
        held.wet if held and held.wet_known else None,
        ticket[1].customer if ticket else "",
        ticket[1].lot if ticket else "",
    )
