"""Any sequence of moves sums to zero, in wet mass, dry matter and water."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.lots.ledger import closes
from turnrow.yard.entries import Amount, LoadIn, Measured, Merged, Part, RowBuilt, Turned, Watered, What
from turnrow.yard.goods import (
    LabResult,
    LoadBack,
    LoadOut,
    LotMade,
    Result,
    RowSplit,
    Screened,
    Share,
    Weighed,
)

from .conftest import Told

NAMES = st.sampled_from(("1", "2", "3"))
MAYBE = st.sampled_from(("", "1", "2"))
WET = st.none() | st.builds(lambda n: Amount(n * 1_000_000, "%"), st.integers(0, 100))
SIZES = st.builds(
    lambda n, unit: Amount(n * 100_000, unit),
    st.integers(1, 900),
    st.sampled_from(("t", "kg", "ton", "m3", "yd3")),
)
SHARES = st.builds(
    lambda kind, name, size, wet: Share(**{kind: name}, amount=size, moisture=wet),
    st.sampled_from(("load", "row", "lot")), NAMES, st.none() | SIZES, WET,
)  # fmt: skip
PARTS = st.builds(Part, st.sampled_from(("straw", "hay")), SIZES, MAYBE, MAYBE)
WATER = st.builds(lambda n: Amount(n * 1_000_000, "L"), st.integers(1, 9000))
ONE_OF = st.sampled_from(("load", "row", "lot"))
DENSE = (Result(analyte="bulk density", amount=Amount(400_000_000, "kg/m3")),)
WHATS: st.SearchStrategy[What] = st.one_of(
    st.builds(LoadIn, load=NAMES, material=st.sampled_from(("straw", "hay")), amount=SIZES),
    st.builds(RowBuilt, row=NAMES, parts=st.lists(PARTS, max_size=3).map(tuple)),
    st.builds(Turned, row=NAMES, water=st.none() | WATER),
    st.builds(Watered, row=NAMES, water=WATER),
    st.builds(Merged, row=NAMES, sources=st.lists(NAMES, min_size=1, max_size=3, unique=True).map(tuple)),
    st.builds(RowSplit, row=NAMES, new=NAMES, amount=st.none() | SIZES),
    st.builds(
        LotMade, lot=NAMES, sources=st.lists(SHARES, min_size=1, max_size=3).map(tuple),
        amount=st.none() | SIZES, moisture=WET,
    ),
    st.builds(
        Screened, sources=st.lists(SHARES, min_size=1, max_size=2).map(tuple), fines=NAMES,
        fines_amount=st.none() | SIZES, fines_moisture=WET, overs=st.sampled_from(("", "4", "5")),
        overs_amount=st.none() | SIZES, overs_moisture=WET,
    ),
    st.builds(
        lambda kind, name, size, wet: Weighed(**{kind: name}, amount=size, moisture=wet),
        ONE_OF, NAMES, SIZES, WET,
    ),
    st.builds(LoadOut, ticket=NAMES, lot=NAMES, amount=SIZES, customer=st.just("Ann"), moisture=WET),
    st.builds(LoadBack, ticket=NAMES, amount=SIZES),
    st.builds(lambda kind, name: LabResult(**{kind: name}, results=DENSE), ONE_OF, NAMES),
    st.builds(lambda row, wet: Measured(row=row, quantity="moisture", amount=wet), NAMES, WET.filter(bool)),
)  # fmt: skip
DAYS = st.integers(0, 90)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(DAYS, WHATS), max_size=25))
def test_every_move_sums_to_zero_and_the_accounts_are_its_sums(said: list[tuple[int, What]]) -> None:
    told = Told()
    for day, what in said:
        told.say(day, what)
    found = told.ledger
    assert closes(found.moves)
    for part in ("wet", "dry", "water"):
        assert sum(getattr(held, part) for held in found.held.values()) == pytest.approx(0, abs=1e-6)
    for account, held in found.held.items():
        posted = sum(p.wet for move in found.moves for p in move.postings if p.account == account)
        assert held.wet == pytest.approx(posted, abs=1e-6)
    for node in found.tree.parents:
        known = [share for _, share in node if share == share]
        assert len(known) != len(node) or not node or sum(known) == pytest.approx(1)
