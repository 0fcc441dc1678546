"""A lot is as well proven as the worst of what is in it, as each stood when it was taken."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account

Beside = tuple[tuple[str, tuple[int, ...]], ...]  # sentences that stand beside a verdict, with their lines
OfRow = Callable[[str, int], tuple[str, Beside]]  # a row's verdict at a moment, and what stands beside it
STOOD = {
    "PASS": "was proven hot",
    "FAIL": "did not meet its rule",
    "NOT_PROVEN": "was not proven hot",
    "REVIEW": "was for a person to decide",
}
RAW = "NOT_PROVEN"  # of a load, and of what nobody wrote


@dataclass(frozen=True)
class Parent:
    """One thing taken straight from where heat is proven: a row, or a load that never was in one."""

    account: Account
    at_s: int
    line: int
    verdict: str


@dataclass(frozen=True)
class Inherited:
    """What a lot inherits. parents: worst first; lines: that made it what it is.

    beside  what stands beside its rows' verdicts wherever they go, each sentence with its lines
    """

    verdict: str
    parents: tuple[Parent, ...]
    because: tuple[str, ...]
    lines: tuple[int, ...]
    beside: Beside = ()


def inherited(book: Ledger, lot: str, of_row: OfRow, order: Sequence[str]) -> Inherited:
    """The worst standing among a lot's parents, through every lot it was made of.

    of_row  a row's verdict at the moment it was taken [s UTC], and what stands beside it
    order   verdicts from best to worst
    A load put in without having been in a row is not proven, and makes the lot so. KeyError for a lot the
    ledger does not have.
    """
    top = book.node_of[Account("lot", lot)]
    found: dict[tuple[Account, int], Parent] = {}
    lines = {book.nodes[top].line}
    beside: list[tuple[str, tuple[int, ...]]] = []
    waiting, seen = [top], {top}
    while waiting:
        child = waiting.pop()
        made = book.nodes[child]
        for node, _ in book.tree.parents[child]:
            account = book.nodes[node].account
            if account.kind in ("row", "load", "material"):
                if (account, made.at_s) not in found:
                    verdict, own = of_row(account.name, made.at_s) if account.kind == "row" else (RAW, ())
                    found[account, made.at_s] = Parent(account, made.at_s, made.line, verdict)
                    beside += [(f"{account.titled()}: {said}", at) for said, at in own]
                lines.add(made.line)
            elif node not in seen:
                seen.add(node)
                waiting.append(node)
                lines.add(book.nodes[node].line)
    parents = sorted(found.values(), key=lambda one: (-order.index(one.verdict), one.line, one.account))
    if not parents:
        nothing = (f"Lot {lot}: the diary does not say what it was made of.",)
        return Inherited(RAW, (), nothing, tuple(sorted(lines)))
    because = tuple(_sentence(one) for one in parents)
    return Inherited(
        parents[0].verdict, tuple(parents), because, tuple(sorted(lines)), tuple(dict.fromkeys(beside))
    )


def _sentence(one: Parent) -> str:
    if one.account.kind == "row":
        return f"Row {one.account.name} {STOOD[one.verdict]} when it was taken (line {one.line})."
    return f"{one.account.titled()} went in without having been in a row (line {one.line}): not proven hot."
