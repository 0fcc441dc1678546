"""From a bag of the invented yard back to its loads and its rows' heat, and from a bad load to its buyers.

The paths are searched here once more, over the entries as typed, by a walk that knows nothing of the ledger.
"""

import pytest

from turnrow.foreman.lots import lot_standing, recalled
from turnrow.foreman.quality import lot_quality, to_call_back
from turnrow.yard import entries, goods
from turnrow.yard.entries import Line


def _parents(lines: tuple[Line, ...]) -> dict[str, set[str]]:
    """What each row and lot is made of, by name, as typed; "lot L1" or "row R4"."""
    out: dict[str, set[str]] = {}
    for line in lines:
        what = line.entry.what
        if isinstance(what, entries.RowBuilt):
            named = {f"lot {p.lot}" if p.lot else f"load {p.load}" for p in what.parts if p.lot or p.load}
            out.setdefault(f"row {what.row}", set()).update(named)
        elif isinstance(what, entries.Merged):
            named = {f"row {name}" for name in what.sources if name != what.row}
            out.setdefault(f"row {what.row}", set()).update(named)
        elif isinstance(what, goods.RowSplit):
            out.setdefault(f"row {what.new}", set()).add(f"row {what.row}")
        elif isinstance(what, goods.LotMade | goods.Screened):
            made = [what.lot] if isinstance(what, goods.LotMade) else [what.fines, what.overs]
            named = {f"{'row' if one.row else 'lot'} {one.row or one.lot}" for one in what.sources}
            for lot in filter(None, made):
                out.setdefault(f"lot {lot}", set()).update(named)
    return out


def _back(lines: tuple[Line, ...], start: str) -> set[str]:
    of, found, left = _parents(lines), set(), [start]
    while left:
        for one in of.get(left.pop(), set()) - found:
            found.add(one)
            left.append(one)
    return found


def _all(built, kind: type) -> list:
    return [line.entry.what for line in built.lines if isinstance(line.entry.what, kind)]


def test_a_bag_goes_back_to_its_loads_and_its_rows_temperatures(built) -> None:
    out = next(one for one in _all(built, goods.LoadOut) if one.bags)
    (found,) = recalled(built.desk, out.ticket)
    mine = _back(built.lines, f"lot {out.lot}")
    assert {one.account.name for one in found.loads} == {
        name[5:] for name in mine if name.startswith("load ")
    }
    assert len(found.loads) == 16  # four rows pushed together, four loads each
    rows = {name[4:] for name in mine if name.startswith("row ")}
    assert rows == {"R1", "R2", "R3", "R4"}
    for row in rows:
        read = [one for one in _all(built, entries.Round) if one.row == row]
        assert sum(len(one.readings) for one in read) > 50
    assert lot_standing(built.desk, out.lot).verdict == "PASS"


def test_a_bad_load_goes_forward_to_every_buyer_of_it(built) -> None:
    load = "R12-3"
    (found,) = recalled(built.desk, load)
    bought = {
        (one.ticket, one.customer)
        for one in _all(built, goods.LoadOut)
        if f"load {load}" in _back(built.lines, f"lot {one.lot}")
    }
    assert len(bought) == 2
    assert {(one.account.name, one.customer) for one in found.forward if one.customer} == bought


def test_a_complaint_that_names_a_ticket_leads_to_the_other_buyer(built) -> None:
    line = next(
        one
        for one in built.lines
        if isinstance(one.entry.what, entries.Complaint) and "T-106" in one.entry.what.nature
    )
    found = recalled(built.desk, f"line {line.number}")
    assert {name for each in found for name in each.customers} == {"Plover Orchard"}


@pytest.mark.parametrize(("lot", "how"), [("L1", "proven"), ("L2", "treated as raw"), ("L3", "proven")])
def test_the_lots_were_released_as_told(built, lot: str, how: str) -> None:
    (released,) = [one for one in _all(built, goods.Released) if one.lot == lot]
    assert released.how == how
    assert bool(released.limits) or how == "proven"


def test_the_lot_that_failed_was_called_back_and_may_not_leave(built) -> None:
    assert to_call_back(built.desk, built.morning) == ()
    release = lot_quality(built.desk, "L3", built.morning).release
    assert release.can_be == "not at all"
    assert {ask.what for ask in release.of("failed")} == {"Salmonella", "fecal coliform", "held"}


def test_overs_went_back_into_a_later_row(built) -> None:
    assert "lot L1-overs" in _back(built.lines, "row R33")
