"""The family tree: what was made of what, and in which shares.

A thing becomes a new node each time something is put into it, so that overs which go back into a row
of a later day make no circle: that row is another node. Nodes are numbered in an order in which
parents stand before children, which makes every question one walk.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import nan

Edge = tuple[int, int, float]  # parent, child, share of the child that came from that parent
UNKNOWN = nan  # a share nobody can tell, because a mass was not known


@dataclass(frozen=True, eq=False)
class Tree:
    """parents, children: per node, (other node, share of the child that came from the parent).

    A share may be `UNKNOWN` (nan); what rests on it is unknown too, and still found.
    """

    parents: tuple[tuple[tuple[int, float], ...], ...]
    children: tuple[tuple[tuple[int, float], ...], ...]

    @classmethod
    def of(cls, count: int, edges: Iterable[Edge]) -> "Tree":
        """The tree over nodes 0..count-1; ValueError where an edge does not go from a lower to a higher
        number."""
        up: list[list[tuple[int, float]]] = [[] for _ in range(count)]
        down: list[list[tuple[int, float]]] = [[] for _ in range(count)]
        for parent, child, share in edges:
            if not 0 <= parent < child < count:
                raise ValueError(f"edge {parent} to {child}, want 0 <= parent < child < {count}")
            up[child].append((parent, share))
            down[parent].append((child, share))
        return cls(tuple(map(tuple, up)), tuple(map(tuple, down)))

    def back(self, node: int) -> dict[int, float]:
        """Everything in `node`, itself too: node -> its share of `node`, the sum over all ways of the
        product of the shares on the way."""
        shares = dict.fromkeys(sorted(_reached([node], self.parents), reverse=True), 0.0)
        shares[node] = 1.0
        for here, much in shares.items():
            for other, share in self.parents[here]:
                shares[other] += much * share
        return shares

    def forward(self, *nodes: int) -> dict[int, float]:
        """Everything that holds some of `nodes`, themselves too: node -> which share of it came from them."""
        shares = dict.fromkeys(sorted(_reached(nodes, self.children)), 0.0)
        shares.update(dict.fromkeys(nodes, 1.0))
        own = set(nodes)
        for here in shares:
            if here not in own:
                shares[here] = sum(shares[up] * share for up, share in self.parents[here] if up in shares)
        return shares

    def kin(self, node: int) -> set[int]:
        """Every node that shares any matter with `node`: what is in it, and all that holds some of that."""
        return _reached(_reached([node], self.parents), self.children)


def _reached(start: Iterable[int], steps: Sequence[Sequence[tuple[int, float]]]) -> set[int]:
    found = set(start)
    waiting = list(found)
    while waiting:
        for other, _ in steps[waiting.pop()]:
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found
