"""Figures as a lab would write them, by hand."""

from collections.abc import Callable
from datetime import date

import pytest

from turnrow.quality.found import Figure
from turnrow.yard.goods import Result
from turnrow.yard.kind import Amount
from turnrow.yard.numbers import parse_micro

DAY = date(2026, 9, 1)
Make = Callable[..., Figure]


@pytest.fixture
def figure() -> Make:
    """`figure("Cu", "<10 mg/kg dry", line=3)`: one figure, typed as a lab writes it."""
    return make


def make(analyte: str, text: str, *, line: int = 1, day: date = DAY, sample: str = "S1") -> Figure:
    number, _, unit = text.partition(" ")
    basis = next((b for b in ("as received", "organic matter", "dry") if unit.endswith(b)), "")
    unit = unit.removesuffix(basis).strip()
    amount = Amount(parse_micro(number.lstrip("<>")), unit)
    below, above = number.startswith("<"), number.startswith(">")
    return Figure(
        Result(analyte=analyte, amount=amount, basis=basis, below=below, above=above), day, line, sample
    )
