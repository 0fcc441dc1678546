"""Ponds: volume and depth are one another's inverse, and the least depth holds just what it must."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.handbook.figures import pond_figures
from turnrow.pad.pond import Needs, Pond, storage, usual_freeboard

BOOK = pond_figures()
lengths, slopes = st.floats(0.0, 200.0), st.floats(0.0, 6.0)


@st.composite
def ponds(draw) -> Pond:
    width, length, side, is_round = draw(lengths), draw(lengths), draw(slopes), draw(st.booleans())
    holds = side > 0.1 or (width > 1.0 and (is_round or length > 1.0))
    return Pond(width, length, side, is_round) if holds else Pond(width + 1.0, length + 1.0, side, is_round)


@given(ponds(), st.floats(1e-6, 1e6))
def test_the_depth_of_a_volume_holds_that_volume(pond: Pond, volume: float) -> None:
    assert pond.volume(pond.depth(volume)) == pytest.approx(volume, rel=1e-9)


@given(ponds(), st.floats(1e-3, 30.0))
def test_the_volume_of_a_depth_is_that_deep(pond: Pond, depth: float) -> None:
    assert pond.depth(pond.volume(depth)) == pytest.approx(depth, rel=1e-6)


@given(ponds(), st.floats(0.01, 20.0))
def test_a_little_deeper_holds_its_surface_more(pond: Pond, depth: float) -> None:
    step = depth * 1e-4
    grown = (pond.volume(depth + step) - pond.volume(depth - step)) / (2.0 * step)
    assert grown == pytest.approx(pond.surface(depth), rel=1e-4)


def test_an_empty_pond_is_no_depth_and_a_depth_of_nothing_empty() -> None:
    pond = Pond(10.0, 20.0, 2.0)
    assert pond.depth(0.0) == 0.0 and pond.volume(0.0) == 0.0 and pond.surface(0.0) == 200.0


def test_upright_walls_are_a_box_and_a_tube() -> None:
    assert Pond(10.0, 20.0, 0.0).volume(3.0) == 600.0
    assert Pond(10.0, 0.0, 0.0, round=True).volume(3.0) == pytest.approx(math.pi * 75.0)
    assert Pond(10.0, 20.0, 0.0).depth(600.0) == pytest.approx(3.0)


def test_a_hole_without_a_bottom_is_a_pyramid_and_a_cone() -> None:
    """A third of base times height: 12 by 12 by 3 m; a circle 12 m across, 3 m deep."""
    assert Pond(0.0, 0.0, 2.0).volume(3.0) == pytest.approx(144.0)
    assert Pond(0.0, 0.0, 2.0, round=True).volume(3.0) == pytest.approx(36.0 * math.pi)


@given(ponds(), st.floats(0.0, 5000.0), st.floats(0.0, 3000.0), st.floats(0.0, 300.0), st.floats(0.0, 1.0))
def test_the_least_depth_holds_its_needs_and_a_hair_less_does_not(pond, runoff, storm, rain, free) -> None:
    needs = Needs(solids=10.0, runoff=runoff, storm_runoff=storm, rain=0.0, storm_rain=rain)
    found = storage(pond, needs, free)
    assert found.needed == pytest.approx(pond.volume(found.water), rel=1e-6)
    assert found.needed == pytest.approx(sum(found.parts.values()))
    assert found.depth == found.water + free
    less = found.water * (1.0 - 1e-4)
    caught = rain / 1000.0 * pond.surface(less + free)
    assert pond.volume(less) < 10.0 + runoff + storm + caught


def test_a_pond_that_needs_hold_nothing_is_all_freeboard() -> None:
    found = storage(Pond(10.0, 20.0, 2.0), Needs(), 0.3)
    assert (found.water, found.needed, found.depth) == (0.0, 0.0, 0.3)


def test_a_dug_rim_catches_all_that_falls_within_it() -> None:
    """By hand: walls upright, 10 by 20 m, 50 m3 and 100 mm of storm: 0.25 + 0.1 m."""
    box = Pond(10.0, 20.0, 0.0)
    found = storage(box, Needs(storm_runoff=50.0, storm_rain=100.0), 0.3, rim=2.0)
    assert found.water == pytest.approx(0.35)
    assert found.parts["storm rain on the pond"] == pytest.approx(20.0)
    sloped = Pond(10.0, 20.0, 2.0)
    deep = storage(sloped, Needs(storm_runoff=50.0, storm_rain=100.0), 0.3, rim=2.0)
    assert deep.parts["storm rain on the pond"] == pytest.approx(0.1 * 18.0 * 28.0)


def test_more_evaporation_than_rain_is_no_room() -> None:
    dry = storage(Pond(10.0, 20.0, 2.0), Needs(runoff=80.0, rain=-200.0), 0.3)
    assert dry.parts["rain on the pond"] == 0.0


def test_rain_that_no_depth_holds_is_told() -> None:
    """Walls upright and a metre of rain a metre of depth: each is caught by the same surface; 100 m deep."""
    assert storage(Pond(1.0, 1.0, 0.0), Needs(storm_rain=100_000.0), 0.0).water == pytest.approx(100.0)
    with pytest.raises(ValueError, match="no depth"):
        storage(Pond(1.0, 1.0, 0.0), Needs(storm_rain=2e9), 0.0)


def test_freeboard_grows_with_the_catchment() -> None:
    edge = BOOK["large_catchment"].value * 10_000.0
    assert usual_freeboard(edge - 1.0, BOOK) == BOOK["freeboard"].value
    assert usual_freeboard(edge, BOOK) == BOOK["freeboard_large"].value > BOOK["freeboard"].value


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Pond(-1.0, 2.0, 1.0),
        lambda: Pond(1.0, 2.0, -1.0),
        lambda: Pond(0.0, 5.0, 0.0),
        lambda: Pond(0.0, 5.0, 0.0, round=True),
        lambda: Pond(1.0, 1.0, 0.0).volume(-0.1),
        lambda: Pond(1.0, 1.0, 0.0).surface(-0.1),
        lambda: Pond(1.0, 1.0, 0.0).depth(-0.1),
        lambda: storage(Pond(1.0, 1.0, 0.0), Needs(solids=-1.0), 0.3),
        lambda: storage(Pond(1.0, 1.0, 0.0), Needs(), -0.3),
    ],
)
def test_what_cannot_be_is_a_broken_promise(wrong) -> None:
    with pytest.raises(ValueError, match=r"want|holds nothing"):
        wrong()
