"""A line that others rest on is not struck before them; typed figures meet what a lab's sheet meets."""

from datetime import UTC, date, datetime
from typing import Any

import pytest

from turnrow.gate.forms import entry_from
from turnrow.yard import entries, goods
from turnrow.yard.entries import Amount
from turnrow.yard.goods import Share
from turnrow.yard.wrongs import Refused

T30 = Amount(30_000_000, "t")


def write(desk: Any, kind: str, **fields: str) -> entries.What:
    return entry_from(kind, fields, diary=desk.diary, now=datetime(2026, 6, 2, 8, tzinfo=UTC), who="ana").what


def said(desk: Any, kind: str, **fields: str) -> list[str]:
    with pytest.raises(Refused) as caught:
        write(desk, kind, **fields)
    return [one.do for one in caught.value.refusals]


def strike(desk: Any, line: int) -> list[str]:
    return said(desk, "struck", line=str(line), reason="another row")


def test_a_lot_that_left_or_became_another_keeps_its_making(desk: Any) -> None:
    made = desk.write(goods.LotMade(lot="A", sources=(Share(row="R7"),)))
    assert isinstance(write(desk, "struck", line=str(made), reason="x"), entries.Struck)
    sieved = desk.write(goods.Screened(sources=(Share(lot="A"),), fines="F", overs="O"))
    assert strike(desk, made) == [f"Line {sieved} rests on lot A: strike what rests on it first."]
    out = desk.write(goods.LoadOut(ticket="T1", lot="F", amount=T30, customer="Ann"))
    again = desk.write(entries.RowBuilt(row="R9", parts=(entries.Part("bulking", T30, lot="O"),)))
    assert strike(desk, sieved) == [
        f"Lines {out} and {again} rest on lot F and lot O: strike what rests on it first."
    ]
    desk.write(entries.Struck(line=out, reason="x"))
    assert strike(desk, sieved)[0].startswith(f"Line {again} rests on")


def test_a_release_does_not_outlive_the_lot_it_was_of(desk: Any) -> None:
    """A lot made anew under its old name is not the lot somebody released."""
    made = desk.write(goods.LotMade(lot="A", sources=(Share(row="R7"),)))
    line = desk.write(goods.Released(lot="A", name="Ana", how="proven", rule="X", verdict="PASS", upto=made))
    assert strike(desk, made) == [f"Line {line} rests on lot A: strike what rests on it first."]
    assert isinstance(write(desk, "struck", line=str(line), reason="x"), entries.Struck)


def test_a_load_that_was_billed_or_came_back_stays(desk: Any) -> None:
    desk.write(goods.LotMade(lot="A", sources=(Share(row="R7"),)))
    out = desk.write(goods.LoadOut(ticket="T1", lot="A", amount=T30, customer="Ann"))
    back = desk.write(goods.LoadBack(ticket="T1", amount=T30))
    bill = desk.write(goods.Invoiced(invoice="I1", customer="Ann", tickets=("T1",)))
    assert strike(desk, out) == [f"Lines {back} and {bill} rest on load T1: strike what rests on it first."]


@pytest.mark.parametrize(
    ("figure", "do"),
    [
        ("fecal colliform: 5000 MPN/g dry", "Did you mean fecal coliform"),  # must not be lost by a slip
        ("Pb: 20 furlong dry", "Write the unit the lab used."),
        ("Pb: 10000000 mg/kg dry", "mostly"),  # ten kilograms in one
        ("moisture: 140 %", "mostly"),
        ("Pb: 20", "Write its unit."),
    ],
)
def test_a_typed_figure_that_cannot_be_is_refused(desk: Any, figure: str, do: str) -> None:
    assert any(do in one for one in said(desk, "lab result", row="R7", results=figure))


def test_a_result_of_another_day_than_its_sample_is_refused(desk: Any) -> None:
    line = desk.write(goods.Sampled(sample="S1", row="R7"))
    (do,) = said(desk, "lab result", sample="S1", sampled="2026-01-03", results="pH: 7 pH")
    assert do.startswith(f"Line {line} ") and "S1 on 1 June" in do
    what = write(desk, "lab result", sample="S1", sampled="2026-06-01", results="pH: 7 pH")
    assert isinstance(what, goods.LabResult) and what.sampled == date(2026, 6, 1)


def test_nothing_is_taken_of_a_row_before_it_was_built_or_moved_apart(desk: Any) -> None:
    apart = datetime(2026, 5, 20, 8, tzinfo=UTC)
    desk.write(goods.RowSplit(row="R7", new="R7b", amount=T30), happened=apart)
    for kind, fields in (
        ("lot made", {"lot": "A", "sources": "row R7b: 3 t"}),
        ("screened", {"fines": "F", "sources": "row R7b: 3 t"}),
        ("merged", {"row": "R8", "sources": "R7b"}),
        ("turned", {"row": "R7b"}),
    ):
        assert "moved apart on 2026-05-20" in said(desk, kind, happened="2026-05-19", **fields)[0]
        write(desk, kind, happened="2026-05-21", **fields)
