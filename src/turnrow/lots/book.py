"""The book being written: accounts, moves between them, and the family tree that grows with them."""

from collections import ChainMap
from collections.abc import MutableMapping, Sequence
from dataclasses import dataclass, field, replace
from math import hypot
from typing import NamedTuple

from turnrow.lots.layers import over, settle
from turnrow.lots.matter import Held, Tolerance
from turnrow.lots.moves import (
    OUTSIDE,
    PLACES,
    SKY,
    UNEXPLAINED,
    UNWEIGHED,
    WEIGHING,
    Account,
    Difference,
    Move,
    Open,
    Posting,
    Wrong,
)
from turnrow.lots.tree import UNKNOWN, Edge
from turnrow.yard.days import DAY_S
from turnrow.yard.wrongs import Refusal, shown

LEAST = 1e-6  # t: less is nothing
LEAST_DAYS = 1.0  # over which matter may dry and rot before a measurement of the same day
NO_RAIN = ("load", "screening")  # nothing is added to them between two measurements
ROOMED = ("lot", "ticket")  # whose volume is kept beside their mass
ALIVE = ("row", "lot", "screening")  # where things rot; a load is as it came
Triple = tuple[float, float, float]  # wet mass, dry matter, water [t]


@dataclass(frozen=True)
class Taken:
    """What was taken of a thing [t]; None where it is not known.

    off     how far the mass may be out; whole: all that was left, and nothing is there any more
    doubt   of a mass that was made of a volume by a density nobody measured; both things bear it
    volume  m3, where it was measured so
    """

    source: Account
    wet: float | None
    dry: float | None
    since_s: int
    off: float = 0.0
    whole: bool = False
    doubt: float = 0.0
    volume: float | None = None


class Measured(NamedTuple):
    line: int
    at_s: int
    account: Account
    wet: float
    dry: float | None


@dataclass(frozen=True)
class Node:
    """A thing from one change of its matter to the next; `line` made it."""

    account: Account
    at_s: int
    line: int


@dataclass
class Book:
    """Mutable while it is written; `ledger.py` shows it to others."""

    tolerance: Tolerance
    held: MutableMapping[Account, Held] = field(default_factory=dict)
    off: MutableMapping[Account, float] = field(default_factory=dict)  # t the book's own mass may be out
    moves: list[Move] = field(default_factory=list)
    differences: list[Difference] = field(default_factory=list)
    wrongs: list[Wrong] = field(default_factory=list)
    opens: list[Open] = field(default_factory=list)
    nodes: list[Node] = field(default_factory=list)
    edges: list[Edge] = field(default_factory=list)
    now_node: MutableMapping[Account, int] = field(default_factory=dict)
    first_node: int = 0  # number of the first of `nodes`: 0, but in a layer

    def over(self) -> "Book":
        """An empty book over this one: it sees all that is here; what is posted in it shows in it alone."""
        return Book(
            self.tolerance, over(self.held), over(self.off), now_node=over(self.now_node),
            first_node=self._next_node,
        )  # fmt: skip

    def settle(self, layer: "Book") -> None:
        """Take what was posted in a layer over this book into it."""
        settle(layer.held, self.held)
        settle(layer.off, self.off)
        settle(layer.now_node, self.now_node)
        self.moves += layer.moves
        self.differences += layer.differences
        self.wrongs += layer.wrongs
        self.opens += layer.opens
        self.nodes += layer.nodes
        self.edges += layer.edges

    @property
    def _next_node(self) -> int:
        return self.first_node + len(self.nodes)

    def of(self, account: Account) -> Held:
        """What an account holds, to be changed: a layer changes its own copy."""
        if isinstance(self.held, ChainMap):
            own: MutableMapping[Account, Held] = self.held.maps[0]
            if account not in own:
                found = self.held.get(account)
                own[account] = Held() if found is None else replace(found, lines=list(found.lines))
            return own[account]
        return self.held.setdefault(account, Held())

    def wrong(self, line: int, where: str, got: object, do: str) -> None:
        self.wrongs.append(Wrong(line, Refusal(where, shown(got), do)))

    def left_open(
        self, line: int, account: Account, said: str, *, assumed: bool = False, untraced: bool = False
    ) -> None:
        self.opens.append(Open(line, account, said, assumed, untraced))

    def all_of(self, account: Account) -> Taken:
        """All that is left of a thing, as the book has it."""
        held = self.of(account)
        known = held.wet if held.wet_known else None
        dry = held.dry if held.dry_known and held.wet_known else None
        return Taken(account, known, dry, held.since_s or 0, self.off.get(account, 0.0), whole=True)

    def move(self, line: int, at_s: int, what: str, taken: Taken, target: Account) -> None:
        """Matter from one account to another. Of a mass that is not known nothing is posted, of a moisture
        that is not known neither dry matter nor water; both accounts are unsure of it from then on."""
        source, into = self.of(taken.source), self.of(target)
        if into.wet_known and abs(into.wet) <= LEAST:  # what was there before has nothing to do with it
            into.since_s, self.off[target] = None, 0.0
        self._room(taken, source, target)
        if taken.whole:
            wet, dry, water = source.wet, source.dry, source.water
        else:
            wet = taken.wet or 0.0
            dry = 0.0 if taken.dry is None or taken.wet is None else taken.dry
            water = 0.0 if taken.dry is None else wet - dry
        unknown = ("wet", "dry") if taken.wet is None else ("dry",) if taken.dry is None else ()
        self._post(line, at_s, what, ((taken.source, target, wet, dry, water),), unknown)
        for account in (taken.source, target):
            held = self.of(account)
            held.wet_known = held.wet_known and taken.wet is not None
            held.dry_known = held.dry_known and not unknown
            if account not in PLACES:
                held.lines.append(line)
        into.wet_most = into.wet_most and taken.wet is not None
        if taken.whole:
            source.wet_known = source.dry_known = source.wet_most = True
        into.since_s = taken.since_s if into.since_s is None else min(into.since_s, taken.since_s)
        self.off[target] = self.off.get(target, 0.0) + taken.off + taken.doubt
        if taken.source not in PLACES:
            left = max(0.0, self.off.get(taken.source, 0.0) - taken.off)
            self.off[taken.source] = left + (0.0 if taken.whole else taken.doubt)

    def _room(self, taken: Taken, source: Held, target: Account) -> None:
        """What a move makes of both things' volumes: less by the volume taken, or by its share of the mass.

        Of rows none is kept: they sink from day to day.
        """
        into, volume = self.of(target), taken.volume
        if source.room is not None:
            if taken.whole:
                volume = source.room
            elif volume is None and taken.wet is not None and source.wet_known and source.wet > LEAST:
                volume = source.room * min(1.0, taken.wet / source.wet)
            source.room = None if taken.whole else max(0.0, source.room - (volume or 0.0))
        empty = into.room is None and into.wet_known and abs(into.wet) <= LEAST
        if target.kind in ROOMED and (into.room is not None or empty):
            into.room = None if volume is None else (into.room or 0.0) + volume
            into.room_off = max(into.room_off, source.room_off)

    def filled(self, account: Account, volume: float) -> None:
        """Set the volume [m3] of a thing to what was measured of it."""
        held = self.of(account)
        held.room, held.room_off = volume, volume * self.tolerance.buckets

    def made(
        self, line: int, at_s: int, account: Account, takens: Sequence[Taken], before: float | None
    ) -> None:
        """A new node of the tree: the thing as it is once `takens` are in it.

        before  t it held before them; None: not known
        """
        node = self._next_node
        old = self.now_node.get(account)
        self.nodes.append(Node(account, at_s, line))
        parents: dict[int, float | None] = {}
        for taken in takens:
            if taken.source == OUTSIDE:
                continue
            parent = self.now_node[taken.source]
            there = parents.get(parent, 0.0)
            parents[parent] = None if there is None or taken.wet is None else there + taken.wet
        if old is not None and (before is None or before > LEAST):
            parents[old] = before
        total = 0.0
        for much in parents.values():
            total = UNKNOWN if much is None else total + much
        for parent, much in parents.items():
            share = 1.0 if len(parents) == 1 else UNKNOWN if much is None or not total > 0.0 else much / total
            self.edges.append((parent, node, share))
        self.now_node[account] = node

    def leaf(self, line: int, at_s: int, account: Account, *, known: bool = True) -> None:
        """A thing that was made of nothing the diary knows; `known`: what is in it will be said."""
        if account not in self.now_node:
            self.now_node[account] = self._next_node
            self.nodes.append(Node(account, at_s, line))
            held = self.of(account)
            held.wet_known = held.dry_known = held.wet_most = known

    def measured(
        self, line: int, at_s: int, account: Account, wet: float, dry: float | None, how: str
    ) -> Difference | None:
        """Set a thing to what was measured of it [t]; the difference to the book is posted in the open.

        dry  None: no moisture was measured; it is taken to be as before where the mass is too
        None where the book did not know its mass before.
        """
        held, tolerance = self.of(account), self.tolerance
        if held.room is not None and held.wet_known and held.wet > LEAST:
            held.room = None if wet > held.wet else held.room  # more than the volume then measured
        held.wet_most = True
        off = wet * tolerance.of_mass(how)
        tol_wet = hypot(off, self.off.get(account, 0.0))
        held.lines.append(line)
        if not held.wet_known:
            self._post(
                line, at_s, "measured", (_part(account, UNWEIGHED, _less(held, wet, dry)),), _unknown(dry)
            )
            held.wet_known, held.dry_known = True, dry is not None
            held.since_s, self.off[account] = at_s, off
            return None
        tol_dry = tol_wet * (held.dry / held.wet if held.wet > LEAST else 1.0)
        if dry is not None:
            tol_dry = hypot(tol_dry, tolerance.moisture * (wet + held.wet) / 2)
        elif held.dry_known and held.wet > LEAST and abs(held.wet - wet) <= tol_wet:
            dry = held.dry * wet / held.wet
        found = self._compared(Measured(line, at_s, account, wet, dry), held, (tol_wet, tol_dry))
        self.differences.append(found)
        no_rain = account.kind in NO_RAIN or held.since_s == at_s
        last = WEIGHING if found.explained else UNEXPLAINED
        lost = _less(held, wet, dry)
        parts = [_part(account, SKY, found.sky)]
        if found.rest[1] is None:
            parts += [
                _part(account, UNWEIGHED, (0.0, lost[1], lost[2])),
                _part(account, last, (found.rest[0], 0.0, 0.0)),
            ]
        else:
            parts.append(_part(account, last, _minus(lost, found.sky)))
        self._post(line, at_s, "measured", tuple(parts), _unknown(dry))
        held.dry_known = dry is not None
        held.since_s, self.off[account] = at_s, off
        self._cannot_be(found, no_rain)
        return found

    def _cannot_be(self, found: Difference, no_rain: bool) -> None:
        """Wrong where more dry matter came out than went in, or more of anything where no rain can be."""
        gain = self.tolerance.gain
        gained = -(found.rest[1] or 0.0) > gain * found.off[1]
        if gained and found.wet > 0.0 and found.dry is not None:
            self.wrong(found.line, "moisture", f"{(1 - found.dry / found.wet) * 100:.3g} %", found.sentence())
        elif gained or (no_rain and -found.rest[0] > gain * found.off[0]):
            self.wrong(found.line, "amount", f"{found.wet:.4g} t", found.sentence())

    def _compared(self, new: "Measured", held: Held, off: tuple[float, float]) -> Difference:
        """What of a difference the air can have taken since the thing was last known."""
        days = max(LEAST_DAYS, (new.at_s - (held.since_s if held.since_s is not None else new.at_s)) / DAY_S)
        rot = self.tolerance.rotted(days) if new.account.kind in ALIVE else 0.0
        dried = self.tolerance.dried(days)
        lost = _less(held, new.wet, new.dry)
        if new.dry is not None and held.dry_known:
            dry, water = _up_to(lost[1], held.dry * rot), _up_to(lost[2], held.water * dried)
            sky = (dry + water, dry, water)
            rest: tuple[float, float | None, float | None] = _minus(lost, sky)
            fits = abs(lost[1] - dry) <= off[1] and abs(lost[0] - sky[0]) <= hypot(*off)
        else:
            most = held.dry * rot + held.water * dried if held.dry_known else held.wet * max(rot, dried)
            sky = (_up_to(lost[0], most), 0.0, 0.0)
            rest = (lost[0] - sky[0], None, None)
            fits = abs(rest[0]) <= off[0]
        book = (held.wet, held.dry if held.dry_known else None)
        return Difference(new.line, new.at_s, new.account, new.wet, new.dry, book, sky, rest, off, fits, days)

    def _post(
        self,
        line: int,
        at_s: int,
        what: str,
        parts: tuple[tuple[Account, Account, float, float, float], ...],
        unknown: tuple[str, ...],
    ) -> None:
        postings = []
        for source, target, wet, dry, water in parts:
            for account, sign in ((source, -1.0), (target, 1.0)):
                held = self.of(account)
                held.wet += sign * wet
                held.dry += sign * dry
                held.water += sign * water
                postings.append(Posting(account, sign * wet, sign * dry, sign * water))
        self.moves.append(Move(line, at_s, what, tuple(postings), unknown))


def _up_to(lost: float, most: float) -> float:
    return min(max(lost, 0.0), most)


def _less(held: Held, wet: float, dry: float | None) -> Triple:
    """How much more the book has; of dry matter and water nothing where they were not measured."""
    if dry is None:
        return held.wet - wet, 0.0, 0.0
    return held.wet - wet, held.dry - dry, held.water - (wet - dry)


def _minus(one: Triple, other: Triple) -> Triple:
    return one[0] - other[0], one[1] - other[1], one[2] - other[2]


def _part(source: Account, target: Account, much: Triple) -> tuple[Account, Account, float, float, float]:
    return source, target, *much


def _unknown(dry: float | None) -> tuple[str, ...]:
    return () if dry is not None else ("dry",)
