"""The family tree against a search over every way, on trees drawn at random."""

from collections import defaultdict

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.lots.tree import Edge, Tree


@st.composite
def trees(draw: st.DrawFn) -> tuple[int, list[Edge]]:
    count = draw(st.integers(2, 12))
    edges: list[Edge] = []
    for child in range(1, count):
        parents = draw(st.sets(st.integers(0, child - 1), max_size=4))
        parts = [draw(st.integers(1, 9)) for _ in parents]
        edges += [(p, child, part / sum(parts)) for p, part in zip(sorted(parents), parts, strict=True)]
    return count, edges


def ways(edges: list[Edge], start: int, end: int) -> list[float]:
    """The product of shares on each way from `start` down to `end`, by trying every way."""
    down = defaultdict(list)
    for parent, child, share in edges:
        down[parent].append((child, share))
    found, waiting = [], [(start, 1.0)]
    while waiting:
        here, much = waiting.pop()
        if here == end:
            found.append(much)
        waiting += [(child, much * share) for child, share in down[here]]
    return found


@given(trees())
def test_recall_is_what_trying_every_way_finds(drawn: tuple[int, list[Edge]]) -> None:
    count, edges = drawn
    tree = Tree.of(count, edges)
    for node in range(count):
        every = {other: ways(edges, other, node) for other in range(count)}
        back = {other: sum(found) for other, found in every.items() if found}
        assert tree.back(node) == pytest.approx(back)
        ahead = {other: sum(found) for other in range(count) if (found := ways(edges, node, other))}
        assert tree.forward(node) == pytest.approx(ahead)
        kin = {n for top in back for n in range(count) if ways(edges, top, n)}
        sources = [top for top in back if not tree.parents[top]]
        assert set(tree.forward(*sources)) == kin


@given(trees())
def test_what_a_thing_was_made_of_adds_up_to_the_thing(drawn: tuple[int, list[Edge]]) -> None:
    count, edges = drawn
    tree = Tree.of(count, edges)
    for node in range(count):
        back = tree.back(node)
        roots = [share for other, share in back.items() if not tree.parents[other]]
        assert sum(roots) == pytest.approx(1.0)


def test_an_unknown_share_is_found_and_stays_unknown() -> None:
    tree = Tree.of(3, [(0, 1, float("nan")), (1, 2, 1.0)])
    assert set(tree.back(2)) == {0, 1, 2}
    assert tree.back(2)[0] != tree.back(2)[0]


@pytest.mark.parametrize("edge", [(1, 1, 1.0), (2, 1, 1.0), (0, 3, 1.0)])
def test_a_circle_cannot_be_drawn(edge: Edge) -> None:
    with pytest.raises(ValueError, match="want 0 <= parent < child"):
        Tree.of(3, [edge])
