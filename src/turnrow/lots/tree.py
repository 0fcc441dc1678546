"""The family tree: what was made of what, and in which shares.

A thing becomes a new node each time something is put into it, so that overs which go back into a row
of a later day make no circle: that row is another node. Nodes are numbered in an order in which
parents stand before children, which makes every question one walk.
"""

from collections.abc import Iterable
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
        found = {}
        shares = {node: 1.0}
        for here in range(node, -1, -1):
            if here in shares:
                found[here] = much = shares[here]
                for other, share in self.parents[here]:
                    shares[other] = shares.get(other, 0.0) + much * share
        return found

    def forward(self, *nodes: int) -> dict[int, float]:
        """Everything that holds some of `nodes`, themselves too: node -> which share of it came from them."""
        own, shares = set(nodes), dict.fromkeys(nodes, 1.0)
        found = {}
        for here in range(min(nodes), len(self.children)):
            if here in shares:
                found[here] = much = 1.0 if here in own else shares[here]
                for other, share in self.children[here]:
                    shares[other] = shares.get(other, 0.0) + much * share
        return found
