"""A pond through the months: nothing is lost, nothing below empty, nothing above full."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.pad.balance import Step, balance
from turnrow.pad.pond import Pond

BOX = Pond(10.0, 20.0, 0.0)  # 200 m2 at every depth
amounts = st.floats(0.0, 2000.0)
steps = st.lists(
    st.builds(Step, st.just("m"), amounts, st.floats(0, 300), st.floats(0, 300), st.floats(0, 50), amounts),
    min_size=1,
    max_size=15,
)


@given(st.floats(1.0, 60.0), st.floats(1.0, 60.0), st.floats(0.0, 4.0), st.floats(0.0, 1.0), steps)
def test_what_comes_is_what_goes_and_what_stays(width, length, side, share, months) -> None:
    pond = Pond(width, length, side)
    full = pond.volume(2.0)
    found = balance(pond, 2.0, 2.3, share * full, months)
    came = share * full + sum(one.inflow + one.rain for one in found)
    went = sum(one.evaporation + one.seepage + one.taken + one.spilt for one in found)
    assert came == pytest.approx(went + found[-1].end, rel=1e-9, abs=1e-6)
    for asked, one in zip(months, found, strict=True):
        assert 0.0 <= one.end <= full and one.depth <= 2.0 * (1.0 + 1e-9)
        assert min(one.evaporation, one.seepage, one.taken, one.spilt, one.short) >= 0.0
        assert one.taken + one.short == pytest.approx(asked.taken)
        assert not one.spilt or one.end == full


def test_a_box_by_pencil() -> None:
    """Full at 1 m (200 m3), rim at 1.3 m. 150 m3 are there, 40 come, 50 mm fall (10 m3), 20 mm evaporate
    (4 m3), 10 mm seep (2 m3), 30 are taken: 164. Then 60 come and nothing goes: 24 spill."""
    one, two = balance(BOX, 1.0, 1.3, 150.0, [Step("a", 40.0, 50.0, 20.0, 10.0, 30.0), Step("b", 60.0, 0.0)])
    assert (one.rain, one.evaporation, one.seepage) == pytest.approx((10.0, 4.0, 2.0))
    assert one.end == pytest.approx(164.0) and one.spilt == 0.0
    assert two.end == pytest.approx(200.0) and two.spilt == pytest.approx(24.0)


def test_exactly_full_spills_nothing() -> None:
    (one,) = balance(BOX, 1.0, 1.3, 150.0, [Step("a", 50.0, 0.0)])
    assert (one.end, one.spilt) == (200.0, 0.0)
    assert one.depth == pytest.approx(1.0)


def test_an_empty_pond_gives_nothing_and_says_what_is_short() -> None:
    (one,) = balance(BOX, 1.0, 1.3, 0.0, [Step("a", 0.0, 0.0, 100.0, 10.0, 25.0)])
    assert (one.end, one.taken, one.short, one.evaporation, one.seepage) == (0.0, 0.0, 25.0, 0.0, 0.0)


def test_rain_on_a_wider_rim_is_caught_and_only_water_evaporates() -> None:
    """2:1 sides: 18 by 28 m at a rim of 2 m; the bottom, 10 by 20 m, and a few centimetres of water."""
    pond = Pond(10.0, 20.0, 2.0)
    (one,) = balance(pond, 1.7, 2.0, 0.0, [Step("a", 0.0, 10.0, 1.0)])
    assert one.rain == pytest.approx(5.04)
    assert 0.2 < one.evaporation < 0.2 * 1.01


@pytest.mark.parametrize(
    ("full", "rim", "start", "step"),
    [
        (1.4, 1.3, 0.0, Step("a", 0.0, 0.0)),
        (1.0, 1.3, 201.0, Step("a", 0.0, 0.0)),
        (1.0, 1.3, -1.0, Step("a", 0.0, 0.0)),
        (1.0, 1.3, 0.0, Step("a", -1.0, 0.0)),
        (1.0, 1.3, 0.0, Step("a", 0.0, 0.0, taken=-1.0)),
    ],
)
def test_what_cannot_be_is_a_broken_promise(full, rim, start, step) -> None:
    with pytest.raises(ValueError, match="want"):
        balance(BOX, full, rim, start, [step])
