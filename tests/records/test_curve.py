"""The curve: no line where nothing was read, and no extreme thinned away."""

import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from turnrow.records.curve import (
    GAP_STEPS,
    Trace,
    curve_rows,
    curve_words,
    temperature_curve,
    thinned,
    traces,
)
from turnrow.records.row_picture import LimitLine, RowPicture
from turnrow.sanitation.standing import Suspect
from turnrow.yard.days import HOUR_S, days_of, zone
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import NINTH

from .conftest import WINDROW, Pages, build, ordinary, stand

DUBLIN = zone("Europe/Dublin")
MAY = 1_777_800_000  # a moment in May 2026


def log(at: NDArray[np.int64], value: NDArray[np.int64]) -> Readings:
    count = len(at)
    return Readings(
        at=at,
        day=days_of(at, DUBLIN),
        station=np.zeros(count, np.int32),
        depth=np.full(count, 900, np.int32),
        value=value,
        unit=np.zeros(count, np.int8),
        timed=np.ones(count, np.bool_),
        line=np.ones(count, np.int32),
        item=np.arange(1, count + 1, dtype=np.int32),
        stations=("1",),
    )


def drawn(readings: Readings, **more: object) -> RowPicture:
    return RowPicture("R1", readings, ("1",), DUBLIN, **more)  # type: ignore[arg-type]


def segments(svg: str) -> list[list[tuple[float, float]]]:
    """Points of each unbroken stroke of the lines drawn."""
    found = []
    for d in re.findall(r'class="trace" d="([^"]+)"', svg):
        for piece in d.split("M")[1:]:
            points = piece.replace("L", " ").replace("h0", "").split()
            found.append([(float(x), float(y)) for x, y in zip(points[::2], points[1::2], strict=True)])
    return found


steps = st.lists(st.sampled_from([600, 3600, 3600, 3600, 7200, 20_000, 400_000]), min_size=2, max_size=120)


@given(steps, st.integers(0, 2**32 - 1))
@settings(max_examples=80, deadline=None)
def test_no_line_is_drawn_where_nothing_was_read(gaps: list[int], seed: int) -> None:
    at = MAY + np.cumsum(np.array(gaps, dtype=np.int64))
    value = np.random.default_rng(seed).integers(10 * MICRO, 75 * MICRO, len(at))
    picture = drawn(log(at, value))
    usual = float(np.median(np.diff(at)))
    first, last = int(at[0]), int(at[-1])
    if last - first < 86_400:
        first, last = first - 43_200, last + 43_200
    pixel_s = (last - first) / (960 - 190 - 46)
    for stroke in segments(temperature_curve(picture)):
        lefts = [first + (x - 46) * pixel_s for x, _ in stroke]
        for start, end in pairwise(lefts):
            inside = at[(at >= start - pixel_s) & (at <= end + pixel_s)]
            holes = np.diff(np.concatenate(([start], inside, [end])))
            assert holes.max() <= GAP_STEPS * usual + 2 * pixel_s


@given(
    st.lists(st.integers(-100, 100), min_size=1, max_size=300),
    st.floats(0.01, 3),
    st.sets(st.integers(0, 299), max_size=5),
)
def test_thinning_keeps_the_extremes_the_ends_and_every_suspect(
    heat: list[int], step: float, suspect: set[int]
) -> None:
    x = np.arange(len(heat)) * step
    values = np.array(heat, dtype=np.int64)
    flags = np.isin(np.arange(len(heat)), sorted(suspect))
    kept = thinned(x, values, flags)
    assert list(kept) == sorted(set(kept.tolist()))
    assert set(np.flatnonzero(flags)) <= set(kept.tolist())
    for column in np.unique(np.floor(x)):
        here = np.flatnonzero(np.floor(x) == column)
        chosen = values[np.intersect1d(here, kept)]
        assert chosen.min() == values[here].min() and chosen.max() == values[here].max()
        assert here[0] in kept and here[-1] in kept


def test_a_long_log_stays_small_and_keeps_its_hottest_minute() -> None:
    at = MAY + 60 * np.arange(200_000, dtype=np.int64)
    value = (55 + 8 * np.sin(np.arange(200_000) / 900)) * MICRO
    value = value.astype(np.int64)
    value[123_456] = 91 * MICRO
    svg = temperature_curve(drawn(log(at, value)))
    assert len(svg) < 80_000
    highest_ink = min(y for stroke in segments(svg) for _, y in stroke)
    with_limit = temperature_curve(drawn(log(at, value), limits=(LimitLine(91 * NINTH, "91 °C"),)))
    dotted = re.search(r"M46 ([\d.]+)L[^>]+dasharray", with_limit)
    assert dotted and float(dotted[1]) == highest_ink


def test_hot_and_cold_ends_of_each_round_are_the_lines_of_a_row_with_several_stations() -> None:
    history = ordinary()
    hottest, coldest = traces(RowPicture.of(history, None, None))
    for i, at in enumerate(hottest.at.tolist()):
        heat = history.readings.heat[history.readings.at == at]
        assert (hottest.heat[i], coldest.heat[i]) == (heat.max(), heat.min())


def test_a_week_without_readings_is_left_open_and_counted() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    for day in [*range(1, 8), *range(15, 22)]:
        pages.round(day, "R1", [50.0 + day])
    picture = RowPicture.of(pages.history("R1"), None, None)
    assert len(segments(temperature_curve(picture))) == 2
    assert "1 gap left open" in curve_words(picture)
    assert len(curve_rows(picture)) == 2


def test_a_single_reading_is_a_dot_not_a_line() -> None:
    picture = drawn(log(np.array([MAY], np.int64), np.array([40 * MICRO], np.int64)))
    svg = temperature_curve(picture)
    assert segments(svg) == [] and svg.count('class="alone"') == 1


def test_usual_step_is_the_middle_one() -> None:
    at = MAY + HOUR_S * np.array([0, 1, 2, 3, 50], dtype=np.int64)
    assert Trace("x", at, at, at > 0).usual_step_s() == HOUR_S


def test_limits_carry_their_words_and_suspects_a_square() -> None:
    history = ordinary()
    standing = stand(history, (Suspect("5", 0, 9, "jump", "x"),))
    further = (LimitLine(9 * 65_500_000, "65.5 °C, turn now"),)
    svg = temperature_curve(RowPicture.of(history, standing, WINDROW, further=further))
    assert "65.5 °C, turn now" in svg and "55 °C or hotter, 15 days" in svg
    assert svg.count('class="suspect"') == 2  # the coldest of two rounds


@pytest.mark.parametrize("unit, tens", [("C", "60°"), ("F", "140°")])
def test_degrees_stand_in_the_readers_unit(unit: str, tens: str) -> None:
    history = ordinary()
    svg = temperature_curve(RowPicture.of(history, None, None, unit=unit))  # type: ignore[arg-type]
    place = re.search(rf'y="([\d.]+)"[^>]*>{tens}<', svg)
    limit = temperature_curve(
        RowPicture.of(history, None, None, unit=unit, further=(LimitLine(60 * NINTH, "sixty"),))  # type: ignore[arg-type]
    )
    dotted = re.search(r"M46 ([\d.]+)L[^>]+dasharray", limit)
    assert place and dotted
    # 60 °C is 140 °F: the label stands 4 px beneath the height of its line
    assert float(place[1]) - 4 == pytest.approx(float(dotted[1]), abs=0.11)


def test_words_beside_the_lines_do_not_touch() -> None:
    history = ordinary()
    further = tuple(LimitLine(9 * (62_000_000 + i * 100_000), f"limit {i}") for i in range(6))
    svg = temperature_curve(RowPicture.of(history, None, WINDROW, further=further))
    beside = sorted(float(y) for y in re.findall(r'<text x="7[78][\d.]*" y="([\d.]+)"', svg))
    assert len(beside) == 9
    assert all(below - above >= 13.9 for above, below in pairwise(beside))
