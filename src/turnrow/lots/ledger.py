"""The yard's matter in double entry: a diary folded into accounts, differences and a family tree."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from turnrow.lots.book import Book, Node
from turnrow.lots.facts import Facts, Typicals
from turnrow.lots.matter import Held, Tolerance
from turnrow.lots.moves import Account, Difference, Move, Open, Wrong
from turnrow.lots.posting import MOVING, Poster
from turnrow.lots.tree import Tree
from turnrow.yard import history as fold
from turnrow.yard.diary import Diary
from turnrow.yard.entries import LoadIn, Measured
from turnrow.yard.goods import LabResult, LoadOut
from turnrow.yard.history import Event
from turnrow.yard.kind import Kind

READ: tuple[type[Kind], ...] = (*MOVING, Measured, LabResult)


@dataclass(frozen=True, eq=False)
class Ledger:
    """What became of all that came in.

    off          t the book's own mass of an account may be out
    held         what each account holds; SKY, OUTSIDE, WEIGHING, UNEXPLAINED, UNWEIGHED among them
    moves        every move, oldest first; each sums to zero
    differences  every measurement beside the book
    wrongs       entries that cannot be so; opens: what had to be left open
    nodes, tree  the family tree; a thing's newest node is `node_of`
    tickets      loads out by ticket: line and entry
    """

    events: tuple[Event, ...]
    facts: Facts
    tolerance: Tolerance
    held: dict[Account, Held]
    off: dict[Account, float]
    moves: tuple[Move, ...]
    differences: tuple[Difference, ...]
    wrongs: tuple[Wrong, ...]
    opens: tuple[Open, ...]
    nodes: tuple[Node, ...]
    tree: Tree
    node_of: dict[Account, int]
    tickets: dict[str, tuple[int, LoadOut]]
    materials: dict[str, str]

    @cached_property
    def nodes_of(self) -> dict[Account, tuple[int, ...]]:
        """Every node of a thing, oldest first."""
        found: dict[Account, list[int]] = {}
        for number, node in enumerate(self.nodes):
            found.setdefault(node.account, []).append(number)
        return {account: tuple(numbers) for account, numbers in found.items()}

    def things(self, kind: str) -> tuple[str, ...]:
        """Names of every load, row, lot or ticket that holds or held matter, oldest first."""
        return tuple(account.name for account in self.nodes_of if account.kind == kind)

    def of(self, kind: str, name: str) -> Held:
        """What a thing holds; KeyError where the ledger knows none."""
        return self.held[Account(kind, name)]

    def place(self, account: Account) -> Held:
        """What one of the places that are no thing of the yard has come to."""
        return self.held.get(account, Held())

    def moves_of(self, account: Account) -> tuple[Move, ...]:
        return tuple(move for move in self.moves if any(p.account == account for p in move.postings))

    def differences_of(self, account: Account) -> tuple[Difference, ...]:
        return tuple(one for one in self.differences if one.account == account)


def ledger(diary: Diary, tolerance: Tolerance, typical: Typicals = lambda material: None) -> Ledger:
    """The ledger of a diary.

    typical  what is taken for a material nobody measured; None: nothing is
    """
    return folded(events_of(diary), tolerance, typical)


def events_of(diary: Diary) -> tuple[Event, ...]:
    """Every line in force that moves matter or measures it, in order."""
    return in_order(fold.event(line, diary.zone) for kind in READ for line, _ in diary.all(kind))


def folded(events: Sequence[Event], tolerance: Tolerance, typical: Typicals) -> Ledger:
    """The ledger of events that stand in their order."""
    whole = posted(events, tolerance, typical)
    return shown(events, whole, whole.over())


def posted(events: Sequence[Event], tolerance: Tolerance, typical: Typicals) -> Poster:
    """A poster that has posted events that stand in their order, knowing every figure among them."""
    poster = Poster(Book(tolerance), Facts.of(events, typical))
    for event in events:
        poster.post(event)
    return poster


def shown(events: Sequence[Event], under: Poster, layer: Poster) -> Ledger:
    """The ledger of all that a poster and a layer over it posted, as it is now."""
    below, book = under.book, layer.book
    nodes = (*below.nodes, *book.nodes)
    return Ledger(
        events=tuple(events),
        facts=Facts(layer.facts.typical, dict(layer.facts.found)),
        tolerance=book.tolerance,
        held=dict(book.held),
        off=dict(book.off),
        moves=(*below.moves, *book.moves),
        differences=(*below.differences, *book.differences),
        wrongs=(*below.wrongs, *book.wrongs),
        opens=(*below.opens, *book.opens),
        nodes=nodes,
        tree=Tree.of(len(nodes), [*below.edges, *book.edges]),
        node_of=dict(book.now_node),
        tickets=dict(layer.of_ticket),
        materials=dict(layer.material),
    )


def in_order(events: Iterable[Event]) -> tuple[Event, ...]:
    """By day; on a day, loads in first, and loads out of which only the day is known last."""
    return tuple(sorted(events, key=place))


def place(event: Event) -> tuple[int, int, int, int]:
    """What events are ordered by."""
    what = event.line.entry.what
    phase = 0 if isinstance(what, LoadIn) else 2 if isinstance(what, LoadOut) and not event.timed else 1
    return event.day, phase, event.at, event.line.number


def closes(moves: Iterable[Move], least: float = 1e-9) -> bool:
    """Whether every move sums to zero in wet mass, dry matter and water."""
    return all(
        abs(sum(part)) <= least
        for move in moves
        for part in zip(*((p.wet, p.dry, p.water) for p in move.postings), strict=True)
    )


def unclosed(book: Ledger) -> tuple[str, ...]:
    """Sentences for all that does not close: what is not explained, then what had to be left open."""
    differences = [one.sentence() for one in book.differences if not one.explained]
    return tuple(dict.fromkeys((*differences, *(one.said for one in book.opens if not one.assumed))))


def assumed(book: Ledger) -> tuple[str, ...]:
    """Sentences for what the ledger took for known without its own measurement, with where it is from."""
    return tuple(dict.fromkeys(one.said for one in book.opens if one.assumed))
