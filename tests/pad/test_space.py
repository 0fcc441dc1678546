"""Pads for a flow, rows in lanes and pairs, and what is free beside rows that lie there."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.pad.section import Section, row_volume
from turnrow.pad.space import Flow, Free, Lanes, There, free_space, free_volume, pad_for

ROW = Section("parabola", 4.3, 1.8)
whole = st.integers(0, 40)


@given(whole, st.floats(0.5, 9.0), st.floats(0.0, 9.0), st.booleans())
def test_as_many_rows_fit_as_the_width_was_made_for(rows, base, lane, pairs) -> None:
    lanes = Lanes(lane, pairs=pairs)
    wide = lanes.width(rows, base) if rows else lane
    assert lanes.fit(wide - lane, base) == rows
    assert lanes.fit(wide - lane - base * 1e-3, base) == max(0, rows - 1)


def test_a_pad_of_a_flow_by_pencil() -> None:
    """5000 t a year at 0.55 t/m3 for 70 days, three quarters of it lying: 1307.6 m3, 253.4 m of row, four
    rows of at most 80 m; 4 (4.3 + 4.5) + 4.5 = 39.7 m by 80 + 2 x 10 m. In pairs two lanes fewer."""
    flow = Flow(5000.0 / 0.55, 70.0, left=0.5)
    assert flow.standing == pytest.approx(1307.6, abs=0.05)
    pad = pad_for(flow.standing, ROW, 80.0, Lanes(4.5, 10.0))
    assert (pad.rows, pad.length) == (4, pytest.approx(253.4, abs=0.05))
    assert (pad.wide, pad.long, pad.area) == (pytest.approx(39.7), 100.0, pytest.approx(3970.0))
    assert pad_for(flow.standing, ROW, 80.0, Lanes(4.5, 10.0, pairs=True)).wide == pytest.approx(30.7)
    assert Lanes(4.5, pairs=True).width(3, 4.3) == pytest.approx(3 * 4.3 + 3 * 4.5)


@given(st.floats(1.0, 1e5), st.floats(10.0, 300.0), st.booleans())
def test_the_rows_hold_the_volume_and_one_fewer_would_not(volume, longest, sloped) -> None:
    pad = pad_for(volume, ROW, longest, Lanes(4.5), sloped=sloped)
    each = row_volume(ROW, longest, sloped=sloped)
    assert pad.rows * each >= volume * (1.0 - 1e-6)
    assert (pad.rows - 1) * each < volume


def test_a_volume_that_fills_rows_exactly_asks_for_no_more() -> None:
    assert pad_for(3 * row_volume(ROW, 80.0, sloped=False), ROW, 80.0, Lanes(4.5)).rows == 3
    nothing = pad_for(0.0, ROW, 80.0, Lanes(4.5, 10.0))
    assert (nothing.rows, nothing.area) == (0, 0.0)


@given(st.floats(1.0, 1e5), st.floats(1.0, 300.0), st.floats(1.0, 3.0))
def test_a_peak_stands_in_proportion(volume, days, peak) -> None:
    assert Flow(volume, days, peak).standing == pytest.approx(peak * Flow(volume, days).standing)


def test_free_space_by_pencil() -> None:
    """48 m wide, 100 m long, headlands 10 m: after two rows 48 - 4.5 - 2 (8.8) = 25.9 m: two more rows.
    Behind the row of 45 m lie 35 m, 3 of them kept clear; the row of 80 m fills its strip."""
    lanes = Lanes(4.5, 10.0)
    there = [There("a", 4.3, 80.0, 1), There("b", 4.3, 45.0, 2)]
    free = free_space(100.0, 48.0, there, 4.3, lanes, gap=3.0)
    assert (free.strips, free.metres, free.over) == (2, 160.0, {})
    assert free.wide == pytest.approx(25.9)
    assert free.beside == {2: pytest.approx(32.0)}
    assert free_volume(free, 80.0, ROW) == pytest.approx(ROW.area * 192.0)


def test_rows_end_to_end_share_a_strip_and_a_wider_one_sets_it() -> None:
    lanes = Lanes(4.0)
    there = [There("a", 4.0, 30.0, 1), There("b", 6.0, 30.0, 1), There("c", 4.0, 90.0, 2)]
    free = free_space(80.0, 24.0, there, 4.0, lanes, gap=2.0)
    assert free.wide == pytest.approx(24.0 - 4.0 - 10.0 - 8.0)
    assert free.beside == {1: pytest.approx(16.0)}
    assert free.over == {2: pytest.approx(10.0)}
    assert free.strips == 0


def test_rows_that_do_not_fit_leave_less_than_nothing() -> None:
    there = [There(str(n), 5.0, 50.0, n) for n in range(1, 5)]
    free = free_space(60.0, 20.0, there, 5.0, Lanes(4.0))
    assert free.wide < 0.0 and free.strips == 0


def test_the_second_of_a_pair_needs_no_lane_of_its_own() -> None:
    """One row of a pair lies there: 5 m are enough for its fellow, and 9 m more for the next pair's first."""
    lanes, there = Lanes(4.0, pairs=True), [There("a", 5.0, 50.0, 1)]
    assert free_space(60.0, 4.0 + 9.0 + 5.0, there, 5.0, lanes).strips == 1
    assert free_space(60.0, 4.0 + 9.0 + 4.9, there, 5.0, lanes).strips == 0
    assert free_space(60.0, 4.0 + 9.0 + 5.0 + 9.0, there, 5.0, lanes).strips == 2


def test_an_empty_pad_is_all_free_and_one_too_short_takes_no_row() -> None:
    lanes = Lanes(4.0, 10.0)
    assert free_space(100.0, 22.0, [], 5.0, lanes).strips == 2
    assert free_space(20.0, 22.0, [], 5.0, lanes).strips == 0


def test_behind_a_row_shorter_than_it_would_be_wide_nothing_fits_with_sloped_ends() -> None:
    free = Free(0, 0.0, {1: 4.0, 2: 10.0}, 0.0, {})
    assert free_volume(free, 80.0, ROW, sloped=True) == pytest.approx(row_volume(ROW, 10.0))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: pad_for(-1.0, ROW, 80.0, Lanes(4.0)),
        lambda: pad_for(1.0, ROW, 0.0, Lanes(4.0)),
        lambda: pad_for(1.0, ROW, 4.0, Lanes(4.0), sloped=True),
        lambda: Lanes(-1.0).width(2, 4.0),
        lambda: Lanes(1.0).fit(10.0, 0.0),
    ],
)
def test_what_cannot_be_is_a_broken_promise(wrong) -> None:
    with pytest.raises(ValueError, match="want"):
        wrong()
