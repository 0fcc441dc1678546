"""A monthly mean counts a sample to the month it was taken in by the yard's own calendar."""

from datetime import UTC, date, datetime

import pytest

from turnrow.foreman.lot_figures import Lab, lot_figures
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry, Line, What, YardLaidOut
from turnrow.yard.goods import LabResult, LotMade, Result, Sampled, Share


@pytest.mark.parametrize(
    ("zone", "day"), [("America/New_York", date(2026, 1, 31)), ("UTC", date(2026, 2, 1))]
)
def test_a_month_ends_in_the_yards_zone(zone: str, day: date) -> None:
    """Half past four on 1 February in Greenwich is half past eleven on 31 January in New York."""
    taken = datetime(2026, 2, 1, 4, 30, tzinfo=UTC)
    lead = Result(analyte="Pb", amount=Amount(20_000_000, "mg/kg"), basis="dry")
    whats: tuple[What, ...] = (
        YardLaidOut(name="a yard", zone=zone),
        LotMade(lot="A", sources=(Share(row="R7"),)),
        Sampled(sample="S1", lot="A"),
        LabResult(results=(lead,), sample="S1", lot="A"),
    )
    diary = Diary({}.__getitem__)
    for number, what in enumerate(whats, 1):
        diary.add([Line(number, taken, "", Entry(id=str(number), happened=taken, who="ana", what=what))])
    assert [one.day for one in lot_figures(Lab(diary), "A").counted] == [day]
